// Package coolers is each room's own page: its air and what it calls for, its
// readings day by day with what nobody saw, its rounds, its load, and how long
// everything has if the cooling stops now.
package coolers

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
	"coldrail/domain/rail"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// Pages serves the rooms.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

const (
	daysShown  = 14
	daysOpened = 3         // whose single readings are listed
	silent     = time.Hour // after which a sensor counts as silent: four readings of a slow one. Common practice, no source
)

// state is how a room stands: its last air and what that calls for.
type state struct {
	Room    db.Cooler
	History *exposure.History // nil: no reading in the time looked at
	Never   bool              // nor at any time before
	Open    []db.ActionRow    // to be put right here
	Last    exposure.Reading
	Band    cooler.Band
	Say     domain.Words
	Watch   domain.Words // nobody is watching; empty where a sensor is
}

// urgent reports a room that needs a person now.
func (s state) urgent() bool { return s.Band == cooler.Incident || s.Band == cooler.Freezing }

// ShowAll serves GET /coolers.
func (p *Pages) ShowAll(w http.ResponseWriter, r *http.Request) error {
	rooms, err := p.DB.Coolers(r.Context())
	if err != nil {
		return err
	}
	sensors, err := p.DB.Sensors(r.Context())
	if err != nil {
		return err
	}
	toDo, err := p.DB.OpenActions(r.Context())
	if err != nil {
		return err
	}
	states := make([]state, len(rooms))
	for i, room := range rooms {
		air, _, err := p.DB.RoomSeries(r.Context(), room.ID, p.Now().AddDate(0, 0, -2), p.Now())
		if err != nil {
			return err
		}
		if states[i], err = p.stand(r.Context(), room, air, sensors, toDo); err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, allPage(states, p.Now()))
}

// stand judges a room's air now, beside what of toDo is to be put right there.
func (p *Pages) stand(ctx context.Context, room db.Cooler, air []exposure.Reading, sensors []db.Sensor, toDo []db.ActionRow) (s state, err error) {
	now := p.Now()
	s.Room = room
	for _, a := range toDo {
		if a.CoolerID == room.ID {
			s.Open = append(s.Open, a)
		}
	}
	if len(air) == 0 {
		read, err := p.DB.EverRead(ctx, room.ID)
		s.Never = !read
		return s, err
	}
	h, err := exposure.NewHistory(air)
	if err != nil {
		return s, err
	}
	s.History, s.Last = h, h.Last()
	hasSensor := false
	for _, x := range sensors {
		hasSensor = hasSensor || x.CoolerID == room.ID && x.Kind != "hand" && x.Measures == "air"
	}
	s.Watch, _ = cooler.Watched(h, hasSensor, silent, now)
	f := room.Finding(h, now)
	s.Band, s.Say = f.Band, f.Say
	return s, nil
}

// view is the page of one room.
type view struct {
	state
	Days    []cooler.Day
	Opened  []openedDay
	Meat    []exposure.Reading // the latest first
	Rounds  []roundLine
	Sensors []db.Sensor
	Hung    int
	Animals int
	Weight  domain.Kilogram
	Assumed int // animals not yet weighed
	Percent int
	Stops   *warmView
	Warm    []db.Incident // the latest first
	Now     time.Time
	Span    int // days the drawing shows
}

// Show serves GET /coolers/{name}.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r.Context(), chi.URLParam(r, "name"), spanOf(r.FormValue("span")))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, page(v))
}

func (p *Pages) view(ctx context.Context, name string, span int) (view, error) {
	v := view{Now: p.Now(), Span: span}
	room, err := p.DB.Cooler(ctx, name)
	if err != nil {
		return v, err
	}
	sensors, err := p.DB.Sensors(ctx)
	if err != nil {
		return v, err
	}
	for _, s := range sensors {
		if s.CoolerID == room.ID {
			v.Sensors = append(v.Sensors, s)
		}
	}
	air, meat, err := p.DB.RoomSeries(ctx, room.ID, v.earliest(), v.Now)
	if err != nil {
		return v, err
	}
	toDo, err := p.DB.OpenActions(ctx)
	if err != nil {
		return v, err
	}
	if v.state, err = p.stand(ctx, room, air, sensors, toDo); err != nil {
		return v, err
	}
	v.Meat = latest(meat, 10)
	if v.History != nil {
		v.Days = cooler.Days(v.History, v.earliest(), v.Now, ui.ShopOf(ctx).Zone)
		v.Opened = open(v.History, v.Days, daysOpened)
	}
	if v.Rounds, err = p.rounds(ctx, room.ID, v.Now.AddDate(0, 0, -max(7, span))); err != nil {
		return v, err
	}
	if v.Warm, err = p.DB.IncidentsOf(ctx, room.ID); err != nil {
		return v, err
	}
	return v, p.addLoad(ctx, &v)
}

// latest turns a series round and keeps the last of it.
func latest(series []exposure.Reading, most int) []exposure.Reading {
	var list []exposure.Reading
	for i := len(series) - 1; i >= 0 && len(list) < most; i-- {
		list = append(list, series[i])
	}
	return list
}

// addLoad fills in what hangs here and how long it has without cooling.
func (p *Pages) addLoad(ctx context.Context, v *view) error {
	hung, err := p.DB.HangingIn(ctx, v.Room.ID)
	if err != nil {
		return err
	}
	judged, err := p.DB.Hanging(ctx, v.Now)
	if err != nil {
		return err
	}
	rails, err := p.DB.Rails(ctx)
	if err != nil {
		return err
	}
	v.Hung, v.Percent = len(hung), percentFull(v.Room.ID, rails, hung)
	load := weigh(hung, judged)
	v.Animals, v.Weight, v.Assumed = load.animals, load.weight, load.assumed
	if v.History != nil && v.Room.Kind == "cooler" {
		v.Stops = stops(v.Room, load, v.Last.C)
	}
	return nil
}

// percentFull is how full the room's rails are.
func percentFull(room int16, rails []db.Rail, hung []db.HungHere) int {
	var load []rail.Rail
	for _, r := range rails {
		if r.CoolerID != room {
			continue
		}
		l := rail.Rail{Name: r.Name, Kind: rail.Kind(r.Kind), Length: r.LengthM, Places: make([]int, r.Places)}
		for _, h := range hung {
			if h.RailID == r.ID {
				l.Hung = append(l.Hung, rail.Hung{Number: h.Number, Species: h.Species, Form: h.Form, Held: h.Held, Position: h.Position})
			}
		}
		load = append(load, l)
	}
	return int(rail.PercentFull(load) + 0.5)
}
