package dropoff

import (
	"context"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// refuseForm is a refusal as typed.
type refuseForm struct {
	Act, Finding, Reason, Species, Name, Phone, Tag, Deep, Told string
}

// refusedView is what was turned away, and the form for the next.
type refusedView struct {
	Form refuseForm
	List []db.RefusedAtDoor
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
	f := refuseForm{Act: v("act"), Finding: v("finding"), Reason: v("reason"), Species: v("species"), Name: v("name"), Phone: v("phone"), Tag: v("tag"), Deep: v("deep"), Told: v("told")}
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
		err = p.DB.RefuseAtDoor(r.Context(), act, refusal, picture)
	}
	if err == nil {
		http.Redirect(w, r, "/dropoff/refused", http.StatusSeeOther)
		return nil
	}
	if wrong := domain.As(err); wrong.Kind == domain.Invalid {
		return p.refused(w, r, http.StatusUnprocessableEntity, f, wrong)
	}
	return err
}

func (f refuseForm) refusal(ctx context.Context) (animal.Refusal, error) {
	species := f.Species
	if species == "-" {
		species = ""
	}
	r := animal.Refusal{Finding: animal.Finding(f.Finding), Reason: f.Reason, Species: domain.Species(species), Name: f.Name, Phone: f.Phone, Tag: f.Tag, Told: f.Told}
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
	list, err := p.DB.RefusedAtDoor(r.Context(), listed)
	if err != nil {
		return err
	}
	return ui.Render(w, r, status, refusedPage(refusedView{Form: f, List: list}, wrong))
}
