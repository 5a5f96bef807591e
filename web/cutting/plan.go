package cutting

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/plan"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// planView is the plan by day, and the crew's calendar behind it.
type planView struct {
	Plan db.CutPlan
	Late []db.Planned // promised for a day the plan cannot keep
	Crew []db.CrewDay // the week, then days that differ
	Lead bool         // may keep the calendar
	All  bool         // the later days too
	Act  string
	Now  time.Time
	Form db.CrewDay // what was typed, where it was refused
}

// ShowPlan serves GET /cutting/plan: who is cut on which day, and why.
func (p *Pages) ShowPlan(w http.ResponseWriter, r *http.Request) error {
	return p.showPlan(w, r, http.StatusOK, db.CrewDay{}, nil)
}

func (p *Pages) showPlan(w http.ResponseWriter, r *http.Request, status int, f db.CrewDay, wrong *domain.Error) error {
	now := p.Now()
	v := planView{Act: signin.NewAct(), Now: now, Form: f, All: r.FormValue("all") != ""}
	v.Lead = signin.Holder(r.Context()).Staff.Has("lead")
	var err error
	if v.Plan, err = p.DB.CutPlan(r.Context(), now); err != nil {
		return err
	}
	if v.Crew, err = p.DB.CrewDays(r.Context(), now); err != nil {
		return err
	}
	v.Late = v.Plan.LatePromises()
	return ui.Render(w, r, status, planPage(v, wrong))
}

// SetDay serves POST /cutting/plan/day: the lead or the owner keeps the calendar.
func (p *Pages) SetDay(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	d, err := readCrewDay(r)
	if err == nil {
		err = p.DB.SetCrewDay(r.Context(), act, d)
	}
	return p.planned(w, r, d, err)
}

// SetWorks serves POST /cutting/plan/works: how the crew counts its day.
func (p *Pages) SetWorks(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	return p.planned(w, r, db.CrewDay{}, p.DB.SetCrewWorks(r.Context(), act, plan.Works(r.FormValue("works"))))
}

// MovePromise serves POST /cutting/plan/{number}/promise: the new day takes the
// place of the one that cannot be kept, and the owner is on the list to be told.
func (p *Pages) MovePromise(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	day, err := ui.ReadDay(r.Context(), "promised", r.FormValue("promised"))
	if err == nil {
		err = p.DB.Promise(r.Context(), act, ui.ShopNumber(r), day)
	}
	return p.planned(w, r, db.CrewDay{}, err)
}

// planned shows the plan again, with what was refused.
func (p *Pages) planned(w http.ResponseWriter, r *http.Request, f db.CrewDay, err error) error {
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		return p.showPlan(w, r, http.StatusUnprocessableEntity, f, wrong)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/cutting/plan", http.StatusSeeOther)
	return nil
}

// readCrewDay reads a line of the calendar: of a weekday, or of a date.
func readCrewDay(r *http.Request) (d db.CrewDay, err error) {
	d.Takes, d.AsTheyCome = r.FormValue("takes"), r.FormValue("as_they_come") == "yes"
	for _, n := range []struct {
		field string
		to    *int
	}{{"cutters", &d.Cutters}, {"size", &d.Size}, {"version", &d.Version}} {
		if *n.to, err = strconv.Atoi(r.FormValue(n.field)); err != nil {
			return d, domain.Wrong(n.field, "Give a whole number.")
		}
	}
	if weekday := r.FormValue("weekday"); weekday != "" {
		n, err := strconv.Atoi(weekday)
		if err != nil || n < 0 || n > 6 {
			return d, domain.Wrong("weekday", "Choose a weekday or a date.")
		}
		d.Weekday = &n
		return d, nil
	}
	day, err := ui.ReadDay(r.Context(), "day", r.FormValue("day"))
	if err != nil {
		return d, err
	}
	y, m, n := day.Date()
	day = time.Date(y, m, n, 0, 0, 0, 0, time.UTC)
	d.Day = &day
	return d, nil
}

// fullDays is how many days the page spells out before it is asked for the rest.
const fullDays = 7

// shownDays are the coming week, and, if asked for, the later days with something
// on them; later counts what is not shown.
func (v planView) shownDays() (days []db.PlanDay, later int) {
	for i, d := range v.Plan.Days {
		switch {
		case i < fullDays || v.All && len(d.Jobs) > 0:
			days = append(days, d)
		default:
			later += len(d.Jobs)
		}
	}
	return days, later
}

// offered is the line of the calendar that makes a day one of cutting as they
// come, keeping the rest of it.
func (v planView) offered(day time.Time) db.CrewDay {
	var d db.CrewDay
	for _, c := range v.Crew {
		if c.Weekday != nil && *c.Weekday == int(day.Weekday()) || c.Day != nil && c.Day.UTC().Equal(day) {
			d = c // a day of its own comes after the week
		}
	}
	if d.Weekday != nil {
		d.Weekday, d.Version = nil, 0
	}
	d.Day, d.AsTheyCome = &day, true
	return d
}

// dayLoad is what is planned of a day's time.
func dayLoad(ctx context.Context, v planView, d db.PlanDay) string {
	switch {
	case len(d.Cutters) == 0:
		return ui.T(ctx, "no cutting")
	case d.Minutes == 0:
		return ui.T(ctx, "no time left")
	case v.Plan.Works == plan.Carcasses:
		return ui.T(ctx, "%d of %d carcasses", d.Load, d.Minutes)
	}
	return ui.T(ctx, "%s of %s", work(ctx, d.Load), work(ctx, d.Minutes))
}

func dayName(ctx context.Context, d db.PlanDay) string { return ui.Day(ctx, ui.Calendar(ctx, d.Date)) }

// work is a time of work as it is said: minutes up to an hour, hours from then on.
func work(ctx context.Context, minutes int) string {
	h, m := minutes/60, minutes%60
	switch {
	case h == 0:
		return ui.T(ctx, "%d\u00a0min", m)
	case m == 0:
		return ui.T(ctx, "%d\u00a0h", h)
	}
	return ui.T(ctx, "%d\u00a0h\u00a0%d\u00a0min", h, m)
}
