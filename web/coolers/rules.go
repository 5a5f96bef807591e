package coolers

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// rulesForm is a room's limits and defrosts as typed.
type rulesForm struct {
	Act, Warm, WarmFor, TooWarm, TooLong, FarToo, Defrosts, Reason string
}

// rulesView is the page on which a room's own limits are set.
type rulesView struct {
	Room  db.Cooler
	Now   cooler.Rules
	Form  rulesForm
	Wrong *domain.Error
}

// ShowRules serves GET /coolers/{name}/limits.
func (p *Pages) ShowRules(w http.ResponseWriter, r *http.Request) error {
	v, err := p.rules(r)
	if err != nil {
		return err
	}
	v.Form = typedRules(r.Context(), v.Now)
	return ui.Render(w, r, http.StatusOK, rulesPage(v))
}

// SetRules serves POST /coolers/{name}/limits.
func (p *Pages) SetRules(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.rules(r)
	if err != nil {
		return err
	}
	v.Form = rulesForm{Act: r.FormValue("act"), Warm: r.FormValue("warm"), WarmFor: r.FormValue("warm_for"), TooWarm: r.FormValue("too_warm"),
		TooLong: r.FormValue("too_long"), FarToo: r.FormValue("far_too"), Defrosts: r.FormValue("defrosts"), Reason: r.FormValue("reason")}
	rules, err := v.Form.read(r.Context())
	if err == nil {
		err = rules.Check()
	}
	if err == nil {
		err = signin.PIN(r, p.DB, act.At)
	}
	if err == nil {
		err = p.DB.SetRules(r.Context(), act, v.Room.Name, rules)
	}
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.Wrong = e
		return ui.Render(w, r, http.StatusUnprocessableEntity, rulesPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/coolers/"+v.Room.Name, http.StatusSeeOther)
	return nil
}

// Load serves POST /coolers/{name}/load: the door stands open from now on.
func (p *Pages) Load(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	name := chi.URLParam(r, "name")
	if err := p.DB.StartLoading(r.Context(), act, name); err != nil {
		return err
	}
	http.Redirect(w, r, "/coolers/"+name, http.StatusSeeOther)
	return nil
}

func (p *Pages) rules(r *http.Request) (v rulesView, err error) {
	if v.Room, err = p.DB.Cooler(r.Context(), chi.URLParam(r, "name")); err != nil {
		return v, err
	}
	if v.Room.Kind == "freezer" {
		return v, domain.Missing("A freezer has no such limits: its rounds see to it.")
	}
	v.Now = v.Room.Book.At(p.Now())
	return v, nil
}

func typedRules(ctx context.Context, r cooler.Rules) rulesForm {
	minutes := func(d time.Duration) string { return strconv.Itoa(int(d.Minutes())) }
	f := rulesForm{Act: signin.NewAct(), Warm: ui.TypedTemp(ctx, r.Warm), WarmFor: minutes(r.WarmFor), TooWarm: ui.TypedTemp(ctx, r.TooWarm),
		TooLong: minutes(r.TooLong), FarToo: ui.TypedTemp(ctx, r.FarToo), Reason: r.Reason}
	var times []string
	for _, at := range r.Defrosts {
		times = append(times, fmt.Sprintf("%02d:%02d", at/60, at%60))
	}
	f.Defrosts = strings.Join(times, " ")
	return f
}

// read turns what was typed into rules.
func (f rulesForm) read(ctx context.Context) (cooler.Rules, error) {
	r := cooler.Rules{Limits: cooler.Usual, Reason: strings.TrimSpace(f.Reason)}
	for _, t := range []struct {
		at, typed string
		to        *domain.Celsius
	}{{"warm", f.Warm, &r.Warm}, {"too_warm", f.TooWarm, &r.TooWarm}, {"far_too", f.FarToo, &r.FarToo}} {
		c, err := ui.ReadTemp(ctx, t.at, t.typed)
		if err != nil {
			return r, err
		}
		*t.to = c
	}
	for _, t := range []struct {
		at, typed string
		to        *time.Duration
	}{{"warm_for", f.WarmFor, &r.WarmFor}, {"too_long", f.TooLong, &r.TooLong}} {
		n, err := strconv.Atoi(strings.TrimSpace(t.typed))
		if err != nil || n < 0 || n > 1440 {
			return r, domain.Wrong(t.at, "Give whole minutes, such as 60.")
		}
		*t.to = time.Duration(n) * time.Minute
	}
	for _, typed := range strings.FieldsFunc(f.Defrosts, func(c rune) bool { return c == ' ' || c == ',' || c == ';' }) {
		at, err := time.Parse("15:04", typed)
		if err != nil {
			return r, domain.Wrong("defrosts", "%s is no time of day. Write 02:00 or 14:30, one after the other.", typed)
		}
		r.Defrosts = append(r.Defrosts, at.Hour()*60+at.Minute())
	}
	slices.Sort(r.Defrosts)
	return r, nil
}

// loading is the end of the loading that is on at now; zero: none is.
func loading(room db.Cooler, now time.Time) time.Time {
	for _, l := range room.Book.Loadings {
		if !now.Before(l.From) && now.Before(l.To) {
			return l.To
		}
	}
	return time.Time{}
}
