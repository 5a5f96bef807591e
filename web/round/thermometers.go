package round

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// thermometersView is the shop's hand thermometers and what their checks throw
// doubt on.
type thermometersView struct {
	All   []db.Thermometer
	Back  map[int16][]db.LookBackRow
	Form  form
	At    string // which form came back
	Wrong *domain.Error
	Now   time.Time
}

// ShowThermometers serves GET /round/thermometers.
func (p *Pages) ShowThermometers(w http.ResponseWriter, r *http.Request) error {
	v, err := p.thermometers(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, thermometersPage(v))
}

func (p *Pages) thermometers(ctx context.Context) (v thermometersView, err error) {
	v.Now, v.Back = p.Now(), map[int16][]db.LookBackRow{}
	if v.All, err = p.DB.Thermometers(ctx); err != nil {
		return v, err
	}
	for _, t := range v.All {
		if v.Back[t.ID], err = p.DB.LookBacks(ctx, t.ID); err != nil {
			return v, err
		}
	}
	return v, nil
}

// AddThermometer serves POST /round/thermometers.
func (p *Pages) AddThermometer(w http.ResponseWriter, r *http.Request) error {
	return p.measure(w, r, "add", func(f form, act db.Act) error { return p.DB.AddThermometer(r.Context(), act, f.get("thermometer")) })
}

// RetireThermometer serves POST /round/thermometers/{id}/retire.
func (p *Pages) RetireThermometer(w http.ResponseWriter, r *http.Request) error {
	return p.measure(w, r, chi.URLParam(r, "id"), func(f form, act db.Act) error {
		id, err := thermometerID(r)
		if err != nil {
			return err
		}
		return p.DB.RetireThermometer(r.Context(), act, id)
	})
}

// CheckInIce serves POST /round/thermometers/{id}/ice.
func (p *Pages) CheckInIce(w http.ResponseWriter, r *http.Request) error {
	return p.measure(w, r, chi.URLParam(r, "id"), func(f form, act db.Act) error {
		id, err := thermometerID(r)
		if err != nil {
			return err
		}
		reading, err := ui.ReadTemp(r.Context(), "reading", f.get("reading"))
		if err != nil {
			return err
		}
		return p.DB.CheckInIce(r.Context(), act, id, db.IceCheckMade{Reading: reading, Adjusted: f.get("adjusted") != "", Note: f.get("note")}, act.Arrival())
	})
}

// LookAgain serves POST /round/look-back/{check}/{round}.
func (p *Pages) LookAgain(w http.ResponseWriter, r *http.Request) error {
	return p.measure(w, r, chi.URLParam(r, "check")+chi.URLParam(r, "round"), func(f form, act db.Act) error {
		check, err := uuid.Parse(chi.URLParam(r, "check"))
		walked, err2 := uuid.Parse(chi.URLParam(r, "round"))
		if err != nil || err2 != nil {
			return domain.Missing("That round is not to be looked at again.")
		}
		return p.DB.LookAgain(r.Context(), act, check, walked, f.get("says"))
	})
}

func thermometerID(r *http.Request) (int16, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "id"), 10, 16)
	if err != nil {
		return 0, domain.Missing("There is no such thermometer.")
	}
	return int16(id), nil
}

// measure carries out one of the page's forms.
func (p *Pages) measure(w http.ResponseWriter, r *http.Request, at string, do func(form, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	err = do(form(r.PostForm), act)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal && e.Kind != domain.NotFound {
		v, err := p.thermometers(r.Context())
		if err != nil {
			return err
		}
		v.Form, v.At, v.Wrong = form(r.PostForm), at, e
		return ui.Render(w, r, http.StatusUnprocessableEntity, thermometersPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/round/thermometers", http.StatusSeeOther)
	return nil
}

func (v thermometersView) form(at string) form {
	if v.At == at {
		return v.Form
	}
	return form{"act": {signin.NewAct()}}
}

func (v thermometersView) wrong(at string) *domain.Error {
	if v.At == at {
		return v.Wrong
	}
	return nil
}

// stands says how a thermometer is, and why.
func stands(ctx context.Context, t db.Thermometer, now time.Time) string {
	last := t.Last()
	if t.RetiredAt != nil {
		return ui.T(ctx, "taken out of use %s", ui.Day(ctx, *t.RetiredAt))
	}
	if last == nil {
		return ui.T(ctx, "never checked in ice: check it before it measures anything")
	}
	said := ui.T(ctx, "read %s in ice water %s, by %s", ui.Temp1(ctx, last.Reading), ui.Moment(ctx, last.At), t.CheckedBy)
	switch round.Stands(last, now) {
	case round.OutOfService:
		return ui.T(ctx, "out of service: %s", said)
	case round.IceDue:
		return ui.T(ctx, "due for an ice check: %s", said)
	}
	return said
}

// doubt says of one round what its reading may have been in truth.
func doubt(ctx context.Context, b db.LookBackRow) string {
	if b.OwnC == nil {
		return ""
	}
	trueAir := round.IceCheck{At: b.CheckedAt, Reading: b.ReadingC}.True(*b.OwnC)
	said := ui.T(ctx, "It read %s; less what it was off in ice, about %s.", ui.Temp1(ctx, *b.OwnC), ui.Temp1(ctx, trueAir))
	judge := round.JudgeAir
	if b.RoomKind == "freezer" {
		judge = round.JudgeFreezerAir
	}
	if verdict, do := judge(trueAir); verdict != round.Fine {
		said += " " + ui.Say(ctx, do)
	}
	if b.PanelC != nil && round.Apart(*b.PanelC, trueAir) {
		said += " " + ui.T(ctx, "The panel said %s: check its probe too.", ui.Temp1(ctx, *b.PanelC))
	}
	return said
}
