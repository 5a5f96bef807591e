package dropoff

import (
	"net/http"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// intakeView is the page of what the shop takes just now.
type intakeView struct {
	Doors    map[animal.Intake]db.IntakeDoor
	Capacity db.Capacity
	Form     string // the form that was sent
	Why      string
	Wrong    *domain.Error
}

// wrong is the error of one of the page's forms.
func (v intakeView) wrong(form animal.Intake) *domain.Error {
	if v.Form == string(form) {
		return v.Wrong
	}
	return nil
}

// ShowForms serves GET /dropoff/forms: what the shop takes, one form at a time.
func (p *Pages) ShowForms(w http.ResponseWriter, r *http.Request) error {
	v, err := p.intakeView(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, formsPage(v))
}

// SwitchForm serves POST /dropoff/forms: closes one form with a reason, or opens it.
func (p *Pages) SwitchForm(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	form, why := r.FormValue("shape"), r.FormValue("why")
	err = p.DB.SwitchIntake(r.Context(), act, animal.Intake(form), r.FormValue("closed") == "yes", why)
	if err == nil {
		http.Redirect(w, r, "/dropoff/forms", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind != domain.Invalid && wrong.Kind != domain.Conflict {
		return err
	}
	v, err := p.intakeView(r)
	if err != nil {
		return err
	}
	v.Form, v.Why, v.Wrong = form, why, wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, formsPage(v))
}

func (p *Pages) intakeView(r *http.Request) (v intakeView, err error) {
	if v.Doors, err = p.DB.IntakeDoors(r.Context()); err != nil {
		return v, err
	}
	v.Capacity, err = p.DB.Capacity(r.Context(), p.Now())
	return v, err
}
