package round

import (
	"context"
	"math"
	"net/http"
	"slices"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// CheckRoom serves POST /round/{room}/room: the room's own list.
func (p *Pages) CheckRoom(w http.ResponseWriter, r *http.Request) error {
	return p.step(w, r, "room", func(v walkView, act db.Act, walk db.Walk) error {
		room, err := v.readRoom(r.Context(), v.Form)
		if err != nil {
			return err
		}
		return p.DB.CheckRoom(r.Context(), act, walk, room)
	})
}

// CountRail serves POST /round/{room}/rails/{rail}: the count and the touch.
func (p *Pages) CountRail(w http.ResponseWriter, r *http.Request) error {
	return p.railStep(w, r, func(v walkView, rail railView, act db.Act, walk db.Walk) error {
		counted, touch, err := v.readRail(rail, v.Form)
		if err != nil {
			return err
		}
		return p.DB.CountRail(r.Context(), act, walk, rail.ID, counted, touch)
	})
}

// ReadTags serves POST /round/{room}/rails/{rail}/tags: what is missing or too
// many on a rail whose count was wrong.
func (p *Pages) ReadTags(w http.ResponseWriter, r *http.Request) error {
	return p.railStep(w, r, func(v walkView, rail railView, act db.Act, walk db.Walk) error {
		missing, extra, err := readTags(v.Form)
		if err != nil {
			return err
		}
		return p.DB.ReadTags(r.Context(), act, walk, rail.ID, missing, extra)
	})
}

// LookHere serves POST /round/{room}/looks: one carcass of the walk.
func (p *Pages) LookHere(w http.ResponseWriter, r *http.Request) error {
	at := r.FormValue("step")
	return p.step(w, r, at, func(v walkView, act db.Act, walk db.Walk) error {
		number := domain.ShopNumber(v.Form.get("number"))
		if number == "" {
			return domain.Wrong("number", "Say on which carcass.")
		}
		l, made, err := readLook(r.Context(), v.Form, act.At)
		if err != nil {
			return err
		}
		of := string(number)
		if v.Form.get("single") == "" {
			of = "other-" + at
		}
		if l.Photo, err = photo.Read(r, "photo-"+of); err != nil {
			return err
		}
		if !made {
			return domain.Wrong("surface", "Touch it and say how it feels.")
		}
		return p.DB.LookOnRound(r.Context(), act, walk, number, l)
	})
}

// End serves POST /round/{room}/end: the walk is over.
func (p *Pages) End(w http.ResponseWriter, r *http.Request) error {
	return p.step(w, r, "end", func(v walkView, act db.Act, walk db.Walk) error {
		return p.DB.EndRound(r.Context(), act, walk)
	})
}

// railStep is a step on one rail of the room.
func (p *Pages) railStep(w http.ResponseWriter, r *http.Request, do func(walkView, railView, db.Act, db.Walk) error) error {
	key := "rail-" + chi.URLParam(r, "rail")
	return p.step(w, r, key, func(v walkView, act db.Act, walk db.Walk) error {
		k := slices.IndexFunc(v.Rails, func(rail railView) bool { return rail.Key() == key })
		if k < 0 {
			return domain.Missing("That rail is not in this room.")
		}
		return do(v, v.Rails[k], act, walk)
	})
}

// step carries out one step and leads to the next; where that did not go, the
// page comes back at the same step with everything typed.
func (p *Pages) step(w http.ResponseWriter, r *http.Request, at string, do func(walkView, db.Act, db.Walk) error) error {
	v, err := p.walk(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(r.FormValue("walk"))
	if err != nil {
		return domain.Wrong("walk", "This form came in damaged. Open the round again.")
	}
	err = do(v.with(form(r.PostForm), at), act, db.Walk{ID: id, Cooler: v.Room.Name, Arrived: act.Arrival()})
	if e := domain.As(err); err != nil && e.Kind != domain.Internal && e.Kind != domain.NotFound {
		v = v.with(form(r.PostForm), at)
		v.Wrong, v.Walk = e, id.String()
		return ui.Render(w, r, http.StatusUnprocessableEntity, walkPage(v))
	}
	if err != nil {
		return err
	}
	next := "/round/" + v.Room.Name
	if at == "end" {
		next = "/round/walked/" + id.String()
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
	return nil
}

func (v walkView) with(f form, at string) walkView {
	v.Form, v.At = f, at
	return v
}

// temps offers whole degrees around a temperature, none chosen: one tap. In a metric
// shop half degrees.
func temps(ctx context.Context, around domain.Celsius) []ui.Option {
	centre, step := math.Round(around.F()), 1.0
	if ui.ShopOf(ctx).Metric {
		centre, step = math.Round(float64(around)*2)/2, 0.5
	}
	list := make([]ui.Option, 0, 7)
	for i := -3; i <= 3; i++ {
		text := strconv.FormatFloat(centre+float64(i)*step, 'f', -1, 64)
		list = append(list, ui.Option{Value: text, Label: text})
	}
	return list
}
