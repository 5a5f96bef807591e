package dropoff

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// refuseForm is a refusal as typed.
type refuseForm struct {
	Act, Finding, Reason, Species, Name, Phone, Tag, Deep, Told, Said, Rule string
}

// refusedView is what was turned away, and the form for the next.
type refusedView struct {
	Form  refuseForm
	Just  []db.RefusedAtDoor // the one that was written down a moment ago, at the top; or none
	List  []db.RefusedAtDoor
	Rules []db.Statute // of the state, by which something may be turned away
}

// listed is how many refusals the page shows.
const listed = 200

// ShowRefused serves GET /dropoff/refused: what was turned away, and the form.
func (p *Pages) ShowRefused(w http.ResponseWriter, r *http.Request) error {
	return p.refused(w, r, http.StatusOK, refuseForm{Act: signin.NewAct(), Finding: r.FormValue("finding"), Species: r.FormValue("species")}, nil)
}

// TurnAway serves POST /dropoff/refused: writes a refusal down.
func (p *Pages) TurnAway(w http.ResponseWriter, r *http.Request) error {
	v := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	f := refuseForm{Act: v("act"), Finding: v("finding"), Reason: v("reason"), Species: v("species"), Name: v("name"), Phone: v("phone"), Tag: v("tag"), Deep: v("deep"), Told: v("told"), Said: v("said"), Rule: v("rule")}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	refusal, err := f.refusal(r.Context())
	var picture []byte
	if err == nil {
		picture, err = photo.Read(r, "photo")
	}
	if err == nil {
		err = p.DB.RefuseAtDoor(r.Context(), act, refusal, noneOf(f.Rule), picture)
	}
	if err == nil {
		http.Redirect(w, r, "/dropoff/refused?written="+act.ID.String(), http.StatusSeeOther)
		return nil
	}
	if wrong := domain.As(err); wrong.Kind == domain.Invalid {
		return p.refused(w, r, http.StatusUnprocessableEntity, f, wrong)
	}
	return err
}

func (f refuseForm) refusal(ctx context.Context) (animal.Refusal, error) {
	r := animal.Refusal{Finding: animal.Finding(f.Finding), Reason: f.Reason, Species: domain.Species(noneOf(f.Species)), Name: f.Name, Phone: f.Phone, Tag: f.Tag, Told: f.Told, Said: f.Said}
	if f.Deep != "" {
		c, err := ui.ReadTemp(ctx, "deep", f.Deep)
		if err != nil {
			return r, err
		}
		r.Deep = &c
	}
	return r, nil
}

func (p *Pages) refused(w http.ResponseWriter, r *http.Request, status int, f refuseForm, wrong *domain.Error) error {
	v := refusedView{Form: f}
	var err error
	if v.List, err = p.DB.RefusedAtDoor(r.Context(), listed); err != nil {
		return err
	}
	for i, t := range v.List {
		if t.ID.String() == r.FormValue("written") {
			v.Just, v.List = []db.RefusedAtDoor{t}, slices.Delete(v.List, i, i+1)
			break
		}
	}
	if v.Rules, err = p.DB.Statutes(r.Context()); err != nil {
		return err
	}
	v.Rules = slices.DeleteFunc(v.Rules, func(s db.Statute) bool { return !s.AtDoor() })
	return ui.Render(w, r, status, refusedPage(v, wrong))
}

// noneOf reads the answer of a list in which a dash is none of them.
func noneOf(typed string) string {
	if typed == "-" {
		return ""
	}
	return typed
}

// slipView is a refusal on paper.
type slipView struct {
	db.RefusedAtDoor
	Rule *db.Statute // nil: the shop decided by itself
	Now  time.Time
}

// RefusalSlip serves GET /dropoff/refused/{id}/slip: the refusal in writing, for
// whoever brought it and for the agency that asks.
func (p *Pages) RefusalSlip(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("Nothing like that was turned away.")
	}
	v := slipView{Now: p.Now()}
	if v.RefusedAtDoor, v.Rule, err = p.DB.RefusalSlip(r.Context(), id); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, slipSheet(v))
}
