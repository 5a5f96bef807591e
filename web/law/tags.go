package law

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/cutting"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
)

// tagsView is where an animal's official tags are and were.
type tagsView struct {
	Animal db.Animal
	Tags   []db.TagRow
	Moves  []db.TagMove
	Rules  []statute.Rule // of the state, about tags
	Warden string
	Act    string
	Step   db.TagStep
}

// ShowTags serves GET /animals/{number}/tags.
func (p *Pages) ShowTags(w http.ResponseWriter, r *http.Request) error {
	v, err := p.tags(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	v.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, tagsPage(v, nil))
}

func (p *Pages) tags(ctx context.Context, n domain.ShopNumber) (v tagsView, err error) {
	if v.Animal, err = p.DB.Animal(ctx, n); err != nil {
		return v, err
	}
	if v.Tags, err = p.DB.OfficialTags(ctx, v.Animal.ID); err != nil {
		return v, err
	}
	if v.Moves, err = p.DB.TagMoves(ctx, v.Animal.ID); err != nil {
		return v, err
	}
	if slices.ContainsFunc(v.Moves, func(m db.TagMove) bool { return m.Signer != "" }) {
		if err = p.namesShown(ctx, n, "tags"); err != nil {
			return v, err
		}
	}
	rules, err := p.DB.RulesFor(ctx, statute.Tag)
	if err != nil {
		return v, err
	}
	for _, r := range rules {
		if r.For(v.Animal.Species, v.Animal.Form) {
			v.Rules = append(v.Rules, r)
		}
	}
	shop, err := p.DB.Shop(ctx)
	v.Warden = shop.WardenPhone
	return v, err
}

// MoveTag serves POST /animals/{number}/tags.
func (p *Pages) MoveTag(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	typed := func(field string) string { return strings.TrimSpace(r.FormValue(field)) }
	s := db.TagStep{Number: typed("tag"), To: typed("to"), Note: typed("note"), Warden: typed("warden")}
	if s.To == "lost" {
		s.Signed = db.Signature{Signer: typed("signer"), Strokes: typed("strokes")}
	}
	if err = p.DB.MoveTag(r.Context(), act, ui.ShopNumber(r), s); err == nil {
		http.Redirect(w, r, "/animals/"+string(ui.ShopNumber(r))+"/tags", http.StatusSeeOther)
		return nil
	}
	v, errRead := p.tags(r.Context(), ui.ShopNumber(r))
	if errRead != nil {
		return errRead
	}
	v.Act, v.Step = act.ID.String(), s
	return again(w, r, err, func(wrong *domain.Error) templ.Component { return tagsPage(v, wrong) })
}

// namesShown writes down that names of an animal's people are shown on a page.
func (p *Pages) namesShown(ctx context.Context, n domain.ShopNumber, page string) error {
	return signin.Look(ctx, p.DB, p.Now(), db.Looked{Number: n, Page: page, Shown: []domain.Private{domain.Names}})
}

// noteSaid is what was noted of a step; the statement about a lost tag is the counter's
// to read, as its signer's name is.
func noteSaid(ctx context.Context, m db.TagMove) string {
	if m.Signer == "" {
		return m.Note
	}
	return ui.Private(ctx, domain.Names, m.Note)
}

func tagOptions(ctx context.Context, tags []db.TagRow) (list []ui.Option) {
	for _, t := range tags {
		list = append(list, ui.Option{Value: t.Number, Label: ui.T(ctx, "%s of %s", t.Number, t.State), Note: custodySaid(ctx, t.Custody)})
	}
	return list
}

func moveSaid(ctx context.Context, m db.TagMove) string {
	said := ui.T(ctx, "%s, from: %s", custodySaid(ctx, m.Now), custodySaid(ctx, m.Was))
	if m.Warden != "" {
		said = ui.T(ctx, "%s. Warden: %s", said, m.Warden)
	}
	return said
}

// reachedView is what a positive test may have reached.
type reachedView struct {
	Animal db.Animal
	db.Touched
	db.AlsoTouched
	Now time.Time
}

// ShowReached serves GET /animals/{number}/reached: batches, packs, places and
// people, by the order in which the machines ran (trade.md 2.5).
func (p *Pages) ShowReached(w http.ResponseWriter, r *http.Request) error {
	v, err := reachedView{Now: p.Now()}, error(nil)
	if v.Animal, err = p.DB.Animal(r.Context(), ui.ShopNumber(r)); err != nil {
		return err
	}
	if v.Touched, err = p.DB.Touched(r.Context(), ui.ShopNumber(r)); err != nil {
		return err
	}
	if v.AlsoTouched, err = p.DB.AlsoTouched(r.Context(), v.Animal, v.Touched); err != nil {
		return err
	}
	if slices.ContainsFunc(v.Pieces, func(k db.Piece) bool { return k.TakenBy != "" }) {
		if err = p.namesShown(r.Context(), v.Animal.Number, "reached"); err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, reachedPage(v))
}

// reachedSaid says when something was reached, over which machine and after what.
func reachedSaid(ctx context.Context, r batch.Touch) string {
	if r.Machine == "" {
		return ui.T(ctx, "%s: meat of %s went in", ui.Moment(ctx, r.At), thingSaid(ctx, r.After))
	}
	return ui.T(ctx, "%s: through the %s after %s", ui.Moment(ctx, r.At), r.Machine, thingSaid(ctx, r.After))
}

// batchSaid is what a batch is and how far it has come.
func batchSaid(ctx context.Context, b db.Batch) string {
	what := ui.T(ctx, "%s, %s in it", b.Product.Words(), ui.T(ctx, "%d animals", b.Animals))
	switch b.Status {
	case db.BatchOpen, db.BatchMixed:
		return ui.T(ctx, "%s: still in the making, stop it", what)
	case db.BatchFinished:
		return ui.T(ctx, "%s: packed, not given out yet", what)
	case db.BatchDestroyed:
		return ui.T(ctx, "%s: destroyed", what)
	}
	return ui.T(ctx, "%s: its packs lie with each owner's boxes", what)
}

// pieceSaid says where a piece is, or who has it.
func pieceSaid(ctx context.Context, k db.Piece) string {
	switch {
	case k.GoneAt != nil:
		return ui.T(ctx, "gone %s: %s %s", ui.Moment(ctx, *k.GoneAt), cutting.WayWords(k.GoneTo), ui.Private(ctx, domain.Names, k.TakenBy))
	case k.Place == "":
		return ui.T(ctx, "here; nobody has said where it lies")
	}
	return k.Place
}

// taskSaid is by when a task is due, or how it was done.
func taskSaid(ctx context.Context, n db.Notice) string {
	if n.SentAt != nil {
		return ui.T(ctx, "Told %s by %s, %s", ui.Moment(ctx, *n.SentAt), n.SentBy, n.How)
	}
	return ui.T(ctx, "Due %s", ui.Moment(ctx, n.DueAt))
}

// thingSaid names a batch or an animal.
func thingSaid(ctx context.Context, t batch.Thing) string {
	if t.Batch != 0 {
		return ui.T(ctx, "Batch B-%s", ui.T(ctx, "%d", t.Batch))
	}
	return string(t.Number)
}

// packSaid says where a pack is.
func packSaid(ctx context.Context, k db.TouchedPack) string {
	switch {
	case k.Released != nil:
		return ui.T(ctx, "gone home %s", ui.Moment(ctx, *k.Released))
	case k.Box == 0:
		return ui.T(ctx, "in no box yet")
	case k.Place == "":
		return ui.T(ctx, "box %d, no place yet", k.Box)
	}
	return ui.T(ctx, "box %d at %s", k.Box, k.Place)
}

// firstTag is the tag tapped, or the only one.
func firstTag(v tagsView) string {
	if v.Step.Number == "" && len(v.Tags) == 1 {
		return v.Tags[0].Number
	}
	return v.Step.Number
}
