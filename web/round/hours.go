package round

import (
	"fmt"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// hoursView is the owner's form of the rounds' times, with who changed them.
type hoursView struct {
	Now     round.Hours
	History []db.HoursSet
	Form    form
	Wrong   *domain.Error
}

// ShowHours serves GET /office/rounds.
func (p *Pages) ShowHours(w http.ResponseWriter, r *http.Request) error {
	v, err := p.hours(r)
	if err != nil {
		return err
	}
	v.Form = form{"act": {signin.NewAct()}, "morning": {field(v.Now.Morning)}, "evening": {field(v.Now.Evening)}, "half": {fmt.Sprint(int(v.Now.Half.Minutes()))}}
	return ui.Render(w, r, http.StatusOK, hoursPage(v))
}

// SetHours serves POST /office/rounds.
func (p *Pages) SetHours(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f := form(r.PostForm)
	set, err := readHours(f, "")
	if err == nil {
		var seen round.Hours
		if seen, err = readHours(f, "seen_"); err == nil {
			err = p.DB.SetRoundHours(r.Context(), act, set, seen)
		}
	}
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v, err := p.hours(r)
		if err != nil {
			return err
		}
		v.Form, v.Wrong = f, e
		return ui.Render(w, r, http.StatusUnprocessableEntity, hoursPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/rounds", http.StatusSeeOther)
	return nil
}

func (p *Pages) hours(r *http.Request) (v hoursView, err error) {
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return v, err
	}
	v.Now = shop.RoundHours()
	v.History, err = p.DB.HoursHistory(r.Context())
	return v, err
}

func readHours(f form, before string) (h round.Hours, err error) {
	if h.Morning, err = round.ReadTimeOfDay(before+"morning", f.get(before+"morning")); err != nil {
		return h, err
	}
	if h.Evening, err = round.ReadTimeOfDay(before+"evening", f.get(before+"evening")); err != nil {
		return h, err
	}
	minutes, err := readCount(before+"half", f.get(before+"half"))
	h.Half = time.Duration(minutes) * time.Minute
	return h, err
}

// field writes a time of day as a field of kind time wants it.
func field(t round.TimeOfDay) string { return fmt.Sprintf("%02d:%02d", int(t)/60, int(t)%60) }
