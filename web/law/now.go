package law

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// nowView is the sheet for a visitor: everything in the house, in the order of a walk.
type nowView struct {
	In   []db.InNow
	Bay  []db.NightFind
	Made time.Time
}

// unmatched counts what is not joined to its tag.
func (v nowView) unmatched() (n int) {
	for _, a := range v.In {
		if a.Unmatched() {
			n++
		}
	}
	return n + len(v.Bay)
}

// ShowNow serves GET /register/now: every animal in the house with its tags, where
// it hangs and who brought it. Tablets keep this page, so that it can be shown and
// printed while the network is down (web/round/offline.go).
func (p *Pages) ShowNow(w http.ResponseWriter, r *http.Request) error {
	v, err := p.now(r.Context())
	if err != nil {
		return err
	}
	if err := signin.Look(r.Context(), p.DB, p.Now(), db.Looked{Page: "sheet", Shown: []domain.Private{domain.Names}}); err != nil {
		return err
	}
	if err := signin.PageShown(r, p.DB, p.Now(), ui.T(r.Context(), "Opened on the screen: everything in the house (animals: %d)", len(v.In))); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, nowSheet(v))
}

func (p *Pages) now(ctx context.Context) (v nowView, err error) {
	v.Made = p.Now()
	if v.In, err = p.DB.InNow(ctx); err != nil {
		return v, err
	}
	v.Bay, err = p.DB.OpenFinds(ctx)
	return v, err
}

// nowSum is how many there are, and how many of them are in question.
func nowSum(ctx context.Context, v nowView) string {
	said := ui.T(ctx, "%d animals, in the order of a walk.", len(v.In))
	if n := v.unmatched(); n > 0 {
		said += " " + ui.T(ctx, "%d not joined to a tag.", n)
	}
	return said
}

func tagsSaid(ctx context.Context, a db.InNow) string {
	if len(a.Tags) == 0 {
		return ui.T(ctx, "none read")
	}
	tags := make([]string, len(a.Tags))
	for i, tag := range a.Tags {
		tags[i] = tag
		if number, state, _ := strings.Cut(tag, " "); state != "" && strings.HasPrefix(number, state) {
			tags[i] = number // it names its state itself
		}
	}
	return strings.Join(tags, ", ")
}

// whereSaid is the hook, or what the animal is doing instead of hanging.
func whereSaid(ctx context.Context, a db.InNow) string {
	switch {
	case a.Place == "" && (a.Physical == animal.Arrived || a.Physical == animal.Received):
		return ui.T(ctx, "Bay, not hung")
	case a.Place == "":
		return ui.Capital(ui.Say(ctx, a.Physical.Words()))
	}
	return ui.T(ctx, "%s %s", a.Room, a.Place)
}
