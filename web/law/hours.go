package law

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"
	"coldrail/web/ui"

	"github.com/a-h/templ"
)

// hoursForm is the question at the tailgate as typed.
type hoursForm struct {
	Species, Shape, State, County, Unit string
	Date, Time, Left                    string
}

// hoursView is the question and what the rules answer.
type hoursView struct {
	hoursForm
	Asked    bool
	Clocks   []statute.Clock // the first over first
	Read     []statute.Rule
	AskPlace bool
	Warden   string
	Now      time.Time
}

// ShowHours serves GET /dropoff/hours: how long a carcass may still be on its way,
// by which rule, before anybody takes it in. It writes nothing.
func (p *Pages) ShowHours(w http.ResponseWriter, r *http.Request) error {
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	v := hoursView{hoursForm: readHours(r), Asked: r.FormValue("state") != "", Warden: shop.WardenPhone, Now: p.Now()}
	if !v.Asked {
		v.State, v.Date, v.Species, v.Shape = shop.HomeState, ui.TypedDay(r.Context(), v.Now), string(domain.Whitetail), string(domain.WholeHideOn)
		return ui.Render(w, r, http.StatusOK, hoursPage(v, nil))
	}
	if err := p.hours(r.Context(), &v, shop.HomeState, shop.Location()); err != nil {
		v.Asked = false
		return again(w, r, err, func(wrong *domain.Error) templ.Component { return hoursPage(v, wrong) })
	}
	return ui.Render(w, r, http.StatusOK, hoursPage(v, nil))
}

func readHours(r *http.Request) hoursForm {
	typed := func(field string) string { return strings.TrimSpace(r.FormValue(field)) }
	return hoursForm{Species: typed("species"), Shape: typed("shape"), State: typed("state"), County: typed("county"), Unit: typed("unit"),
		Date: typed("date"), Time: typed("time"), Left: typed("left_county")}
}

func (p *Pages) hours(ctx context.Context, v *hoursView, home string, loc *time.Location) error {
	road, err := v.road(ctx, v.Now)
	if err != nil {
		return err
	}
	rules, err := p.DB.TransportRules(ctx, v.State)
	road.Home = home
	v.Clocks, v.Read, v.AskPlace = statute.OnTheRoad(rules, road, v.Now, loc)
	return err
}

// road reads what was typed.
func (f hoursForm) road(ctx context.Context, now time.Time) (r statute.Road, err error) {
	r = statute.Road{Species: domain.Species(f.Species), Form: domain.Form(f.Shape), State: f.State, County: f.County, Unit: f.Unit, DayOnly: f.Time == ""}
	if r.DayOnly {
		r.Killed, err = ui.ReadDay(ctx, "date", f.Date)
	} else {
		r.Killed, err = ui.ReadWhen(ctx, "time", f.Date+"T"+f.Time)
	}
	if err == nil && r.Killed.After(now) {
		err = domain.Wrong("date", "It cannot have been killed in the future. Check day and hour.")
	}
	if err == nil && f.Left != "" {
		var left time.Time
		left, err = ui.ReadWhen(ctx, "left_county", f.Left)
		r.Left = &left
		if err == nil && (left.Before(r.Killed) || left.After(now)) {
			err = domain.Wrong("left_county", "It left the county after the kill and before now. Check day and hour.")
		}
	}
	return r, err
}

// verdict is the hardest that a clock says.
func (v hoursView) verdict() (worst statute.Standing) {
	for _, c := range v.Clocks {
		worst = max(worst, c.At(v.Now))
	}
	return worst
}

// takeIn is the drop-off form with what was said here filled in.
func (f hoursForm) takeIn() templ.SafeURL {
	q := url.Values{"road": {"yes"}, "species": {f.Species}, "shape": {f.Shape}, "state": {f.State}, "county": {f.County}, "unit": {f.Unit},
		"date": {f.Date}, "time": {f.Time}, "left_county": {f.Left}}
	return templ.SafeURL("/dropoff?" + q.Encode())
}

// turnAway is the page of refusals with this one begun.
func (f hoursForm) turnAway() templ.SafeURL {
	q := url.Values{"finding": {string(animal.OutOfTime)}, "species": {f.Species}}
	return templ.SafeURL("/dropoff/refused?" + q.Encode())
}

// leftSaid is how long a clock still runs, or since when it is over.
func leftSaid(ctx context.Context, c statute.Clock, now time.Time) string {
	switch c.At(now) {
	case statute.Over:
		return ui.T(ctx, "Over since %s, %s", ui.Moment(ctx, c.Last), ui.Ago(ctx, c.Last, now))
	case statute.Unsure:
		return ui.T(ctx, "Over between %s and %s, by the hour that was not told", ui.Moment(ctx, c.Until), ui.Moment(ctx, c.Last))
	}
	hours, minutes := int(c.Until.Sub(now).Hours()), int(c.Until.Sub(now).Minutes())%60
	return ui.T(ctx, "%d h %d min left, until %s", hours, minutes, ui.Moment(ctx, c.Until))
}

// checkedSaid says who checked a rule and when, or that it must not be leaned on.
func checkedSaid(ctx context.Context, r statute.Rule, now time.Time) string {
	if stale := r.Stale(now); stale.Format != "" {
		return ui.Say(ctx, stale)
	}
	return ui.T(ctx, "Checked by %s, %s.", r.CheckedBy, dayTyped(r.CheckedOn))
}

func gameOptions(ctx context.Context) (list []ui.Option) {
	for _, s := range domain.AllSpecies {
		if s.Game() {
			list = append(list, ui.Option{Value: string(s), Label: ui.Say(ctx, s.Words())})
		}
	}
	return list
}

func comesOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: string(domain.WholeHideOn), Label: ui.T(ctx, "Whole, hide on")}, {Value: string(domain.Whole), Label: ui.T(ctx, "Whole, skinned")},
		{Value: string(domain.Quarters), Label: ui.T(ctx, "Quarters")}, {Value: string(domain.Boned), Label: ui.T(ctx, "Boned meat")}}
}
