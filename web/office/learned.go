package office

import (
	"context"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/learn"
	"coldrail/domain/plan"
	"coldrail/domain/yield"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// learnedView is what the shop's own animals say, beside the tables.
type learnedView struct {
	Numbers []db.OwnNumber
	Choices []db.NumberChoice
	Act     string
	Reason  string
	Sent    string // which row's form came back
	Wrong   *domain.Error
}

// ShowLearned serves GET /office/learned.
func (p *Pages) ShowLearned(w http.ResponseWriter, r *http.Request) error {
	v, err := p.learned(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, learnedPage(v))
}

// ChooseNumber serves POST /office/learned: the shop's own number or the table's,
// with the owner's PIN and the reason.
func (p *Pages) ChooseNumber(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	measure, kind, _ := strings.Cut(r.FormValue("number"), " ")
	if err = signin.PIN(r, p.DB, act.At); err == nil {
		err = p.DB.ChooseNumber(r.Context(), act, learn.Measure(measure), kind, r.FormValue("use") == "own", r.FormValue("reason"))
	}
	if err == nil {
		http.Redirect(w, r, "/office/learned", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.learned(r.Context())
	if err != nil {
		return err
	}
	v.Act, v.Sent, v.Reason, v.Wrong = r.FormValue("act"), r.FormValue("number"), r.FormValue("reason"), wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, learnedPage(v))
}

func (p *Pages) learned(ctx context.Context) (v learnedView, err error) {
	numbers, err := p.DB.Numbers(ctx)
	if err != nil {
		return v, err
	}
	v.Numbers = numbers.List
	v.Choices, err = p.DB.NumberChoices(ctx)
	return v, err
}

func rowName(n db.OwnNumber) string { return string(n.Measure) + " " + n.Kind }

// rowID is the row's name as an id on the page.
func rowID(n db.OwnNumber) string {
	return string(n.Measure) + "-" + strings.ReplaceAll(n.Kind, "/", "-")
}

// act is the id of one row's form: the one sent keeps its own.
func (v learnedView) act(n db.OwnNumber) string {
	if v.Sent == rowName(n) {
		return v.Act
	}
	return signin.NewAct()
}

func (v learnedView) wrong(n db.OwnNumber) *domain.Error {
	if v.Sent == rowName(n) {
		return v.Wrong
	}
	return nil
}

func (v learnedView) reason(n db.OwnNumber) string {
	if v.Sent == rowName(n) {
		return v.Reason
	}
	return ""
}

func measureSaid(ctx context.Context, m learn.Measure) string {
	switch m {
	case learn.Yield:
		return ui.T(ctx, "Boneless meat, as a part of the weight")
	case learn.Shrink:
		return ui.T(ctx, "Loss while hanging, as a multiple of the table's")
	case learn.Mould:
		return ui.T(ctx, "Growth inside the ribs, in days at 35 °F (1.7 °C)")
	}
	return ui.T(ctx, "Minutes of one person at the table")
}

// kindSaid names the animals or the work a number is about.
func kindSaid(ctx context.Context, m learn.Measure, kind string) string {
	switch parts := strings.Split(kind, "/"); {
	case m == learn.Yield && len(parts) == 3:
		said := ui.Say(ctx, domain.Species(parts[1]).Words()) + ", " + ui.Say(ctx, domain.Class(parts[2]).Words())
		if parts[0] == "hanging" {
			return ui.T(ctx, "%s, of the hanging weight", said)
		}
		return ui.T(ctx, "%s, of the field-dressed weight", said)
	case kind == learn.MouldFirst:
		return ui.T(ctx, "day it is first seen, 1 mm long")
	case kind == learn.MouldPace:
		return ui.T(ctx, "pace, mm a day")
	}
	if said, known := kindWords[kind]; known {
		return ui.T(ctx, said)
	}
	return kind
}

// kindWords names the ways of hanging and the kinds of work.
var kindWords = map[string]string{
	"game": "game, skinned", "livestock": "livestock", "hide-on": "hide on", string(plan.Boned): "deer and like game, off the bone",
	string(plan.BoneIn): "deer and like game, chops on the bone", string(plan.Heavy): "beef, bison, veal, elk, moose: a pound hanging",
	string(plan.Hogs): "hog, wild hog, bear", string(plan.Lambs): "lamb, goat",
}

// value writes a number of a measure in the shop's own way.
func value(ctx context.Context, m learn.Measure, kind string, n float64) string {
	switch {
	case m == learn.Yield:
		return ui.T(ctx, "%.0f %%", 100*n)
	case kind == learn.PerKg:
		return ui.T(ctx, "%.2f", n/domain.Kilogram(1).Lb())
	case m == learn.Minutes:
		return ui.T(ctx, "%.0f", n)
	}
	return ui.T(ctx, "%.2f", n)
}

// spread is "from to" of two values.
func spread(ctx context.Context, n db.OwnNumber, from, to float64) string {
	return ui.T(ctx, "%s to %s", value(ctx, n.Measure, n.Kind, from), value(ctx, n.Measure, n.Kind, to))
}

// tableSaid is what the program's table has for the same number.
func tableSaid(ctx context.Context, n db.OwnNumber) string {
	switch n.Measure {
	case learn.Yield:
		parts := strings.Split(n.Kind, "/")
		e, err := yield.FromFieldDressed(domain.Species(parts[1]), 100)
		if parts[0] == "hanging" {
			e, err = yield.FromHanging(domain.Species(parts[1]), domain.Class(parts[2]), 100)
		}
		if err != nil {
			return ui.T(ctx, "none")
		}
		return spread(ctx, n, float64(e.Typical)/100, float64(e.Clean)/100)
	case learn.Shrink:
		return ui.T(ctx, "1.00 (0.50 to 1.50)")
	case learn.Mould:
		if n.Kind == learn.MouldPace {
			return value(ctx, n.Measure, n.Kind, ageing.UsualMould.Pace)
		}
		return value(ctx, n.Measure, n.Kind, ageing.UsualMould.First)
	}
	pace := plan.Paces[plan.Work(n.Kind)]
	if pace.PerKg > 0 {
		return value(ctx, n.Measure, n.Kind, pace.PerKg)
	}
	return value(ctx, n.Measure, n.Kind, float64(pace.Minutes))
}

// useSaid says which of the two is in use, and why.
func useSaid(ctx context.Context, n db.OwnNumber) string {
	switch {
	case n.InUse():
		return ui.T(ctx, "the shop's own")
	case n.Count < learn.Enough:
		return ui.T(ctx, "the table: %d of %d animals so far", n.Count, learn.Enough)
	}
	return ui.T(ctx, "the table, by the owner's choice")
}

// choiceEntries is the history of the switches.
func choiceEntries(ctx context.Context, list []db.NumberChoice) []ui.Entry {
	entries := make([]ui.Entry, len(list))
	for i, c := range list {
		what := ui.T(ctx, "Back to the table: %s", kindSaid(ctx, c.Measure, c.Kind))
		if c.Own {
			what = ui.T(ctx, "The shop's own: %s", kindSaid(ctx, c.Measure, c.Kind))
		}
		entries[i] = ui.Entry{At: c.At, What: what, Who: c.By, Note: c.Reason}
	}
	return entries
}

// of keeps the numbers of one measure.
func (v learnedView) of(m learn.Measure) (list []db.OwnNumber) {
	for _, n := range v.Numbers {
		if n.Measure == m {
			list = append(list, n)
		}
	}
	return list
}
