package office

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// staffView is who works here, and the form that takes somebody on.
type staffView struct {
	Up      *ui.Up
	People  []db.Employed
	Changes []db.StaffChange
	Now     time.Time
	Form    hireForm
}

type hireForm struct {
	Act, Name, Initials, Ends string
	Roles                     []string
}

// ShowStaff serves GET /office/staff.
func (p *Pages) ShowStaff(w http.ResponseWriter, r *http.Request) error {
	return p.staff(w, r, http.StatusOK, hireForm{Act: signin.NewAct()}, nil)
}

// Hire serves POST /office/staff.
func (p *Pages) Hire(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f := hireForm{Act: act.ID.String(), Name: r.FormValue("name"), Initials: r.FormValue("initials"), Ends: r.FormValue("ends"), Roles: r.Form["roles"]}
	err = p.hire(r, act, f)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		return p.staff(w, r, http.StatusUnprocessableEntity, f, e)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/staff", http.StatusSeeOther)
	return nil
}

func (p *Pages) hire(r *http.Request, act db.Act, f hireForm) error {
	ends, err := readEnds(r.Context(), f.Ends)
	if err != nil {
		return err
	}
	if err := signin.PIN(r, p.DB, act.At); err != nil {
		return err
	}
	_, err = p.DB.Hire(r.Context(), act, db.NewStaff{Name: f.Name, Initials: f.Initials, Roles: f.Roles, PIN: r.FormValue("new_pin"),
		Password: r.FormValue("password"), EndsOn: ends})
	return err
}

// readEnds reads a last day; empty is for good.
func readEnds(ctx context.Context, typed string) (*time.Time, error) {
	if strings.TrimSpace(typed) == "" {
		return nil, nil
	}
	day, err := ui.ReadDay(ctx, "ends", typed)
	return &day, err
}

func (p *Pages) staff(w http.ResponseWriter, r *http.Request, status int, f hireForm, wrong *domain.Error) (err error) {
	v := staffView{Now: p.Now(), Form: f}
	if v.People, err = p.DB.Everybody(r.Context(), v.Now); err != nil {
		return err
	}
	if v.Changes, err = p.DB.StaffChanges(r.Context()); err != nil {
		return err
	}
	if v.Up, err = p.setUp(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, status, staffPage(v, wrong))
}

// personView is one person, and the three things that can be changed.
type personView struct {
	db.Employed
	Act   string
	Roles []string // ticked
	Ends  string
	Owner bool   // the owner looks, who may give a password
	In    string // the form that was refused: its address after the person's
	Wrong *domain.Error
}

// wrong is the refusal of one of the three forms.
func (v personView) wrong(in string) *domain.Error {
	if v.In != in {
		return nil
	}
	return v.Wrong
}

// ShowPerson serves GET /office/staff/{id}.
func (p *Pages) ShowPerson(w http.ResponseWriter, r *http.Request) error {
	v, err := p.person(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, personPage(v))
}

// ChangePerson serves POST /office/staff/{id}: other work, or another last day.
func (p *Pages) ChangePerson(w http.ResponseWriter, r *http.Request) error {
	return p.change(w, r, func(v *personView, act db.Act) error {
		v.Roles, v.Ends = r.Form["roles"], r.FormValue("ends")
		ends, err := readEnds(r.Context(), v.Ends)
		if err != nil {
			return err
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.ChangeStaff(r.Context(), act, v.ID, r.Form["seen"], v.Roles, ends)
	})
}

// GivePIN serves POST /office/staff/{id}/pin.
func (p *Pages) GivePIN(w http.ResponseWriter, r *http.Request) error {
	return p.change(w, r, func(v *personView, act db.Act) error {
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		err := p.DB.GivePIN(r.Context(), act, v.ID, r.FormValue("new_pin"))
		if e := domain.As(err); err != nil && e.At == "pin" {
			return &domain.Error{Kind: e.Kind, At: "new_pin", Msg: e.Msg}
		}
		return err
	})
}

// GivePassword serves POST /office/staff/{id}/password.
func (p *Pages) GivePassword(w http.ResponseWriter, r *http.Request) error {
	return p.change(w, r, func(v *personView, act db.Act) error {
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.GivePassword(r.Context(), act, v.ID, r.FormValue("password"))
	})
}

// change does one thing to a person, and shows the page again where it is refused.
func (p *Pages) change(w http.ResponseWriter, r *http.Request, do func(v *personView, act db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.person(r)
	if err != nil {
		return err
	}
	err = do(&v, act)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.In, v.Wrong = strings.TrimPrefix(r.URL.Path, "/office/staff/"+v.ID.String()), e
		return ui.Render(w, r, http.StatusUnprocessableEntity, personPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/staff", http.StatusSeeOther)
	return nil
}

func (p *Pages) person(r *http.Request) (v personView, err error) {
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return v, domain.Missing("That person has never worked here.")
	}
	if v.Employed, err = p.DB.Person(r.Context(), id); err != nil {
		return v, err
	}
	v.Act, v.Roles, v.Owner = signin.NewAct(), v.Employed.Roles, signin.Holder(r.Context()).Staff.Has("owner")
	if v.EndsOn != nil {
		v.Ends = ui.TypedDay(r.Context(), *v.EndsOn)
	}
	return v, nil
}

func staffNote(ctx context.Context, e db.Employed, now time.Time) string {
	note := ui.RoleNames(ctx, e.Roles)
	switch {
	case e.EndsOn == nil:
	case e.EndsOn.Before(now.AddDate(0, 0, -1)):
		note = ui.T(ctx, "worked here until %s", ui.Date(ctx, *e.EndsOn))
	default:
		note += ", " + ui.T(ctx, "until %s", ui.Date(ctx, *e.EndsOn))
	}
	if e.WaitsUntil != nil && e.WaitsUntil.After(now) {
		note += ". " + ui.T(ctx, "Too many wrong PINs: waits until %s.", ui.Clock(ctx, *e.WaitsUntil))
	}
	return note
}

// changeSaid words one line of who changed what.
func changeSaid(ctx context.Context, c db.StaffChange) string {
	switch c.What {
	case "hire":
		return ui.T(ctx, "%s took on %s", c.By, c.Who)
	case "change-staff":
		return ui.T(ctx, "%s changed the work of %s", c.By, c.Who)
	case "give-pin":
		return ui.T(ctx, "%s gave a new PIN to %s", c.By, c.Who)
	case "give-password":
		return ui.T(ctx, "%s gave a new password to %s", c.By, c.Who)
	}
	return ui.T(ctx, "%s turned away %s", c.By, c.Who)
}
