// Package rail draws each cooler as its rails, to scale from the door, and moves
// what hangs there.
package rail

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cooler"
	domainrail "coldrail/domain/rail"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"golang.org/x/sync/errgroup"
)

// Pages serves the rail.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// boardView is the rail as it is drawn.
type boardView struct {
	Rooms []roomView
	Ask   string // where the board asks again by itself
}

type roomView struct {
	Name, Label string
	Count       int
	Percent     int
	UntilFull   string
	Air         *domain.Celsius
	AirAt       time.Time
	Conflicts   []domain.ShopNumber
	First       []db.Hung // what needs a person before the rest: the rails slide, this does not
	Rails       []railView
}

type railView struct {
	Name, Note string
	Each       domain.Metre // how much of the rail one place takes
	Spots      []spotView
}

// spotView is a tag, or so many free places where Free is above zero.
type spotView struct {
	ui.Hung
	Free int
}

// urgent are the conditions that need a person, the most urgent first.
var urgent = []string{string(ageing.Stop), string(ageing.FirstToCut), string(ageing.Past)}

// tooWarm reports air above 40 °F, whatever the room's own rules excuse: its page and
// Today say how long and what to do.
func (v roomView) tooWarm() bool { return v.Air != nil && *v.Air > cooler.Usual.TooWarm }

// mostFirst is how many of them a room names above its rails.
const mostFirst = 6

// hanging counts what hangs in all rooms.
func (v boardView) hanging() (n int) {
	for _, room := range v.Rooms {
		n += room.Count
	}
	return n
}

// Show serves GET /rail. An unchanged board costs one small query at most: where
// nothing at all was written, the look at who holds the tablet has said so already.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	now, holder := p.Now(), signin.Holder(r.Context())
	mark, err := p.DB.BoardMark(r.Context(), holder)
	if err != nil {
		return err
	}
	tag := fmt.Sprintf(`W/"%s-%d-%s-%s"`, mark, now.Unix()/60, holder.Staff.Initials, r.Header.Get("HX-Request"))
	w.Header().Set("ETag", tag)
	w.Header().Set("Vary", "HX-Request")
	if r.Header.Get("If-None-Match") == tag {
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	v, err := p.view(r.Context(), mark, now)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, board(v))
}

func (p *Pages) view(ctx context.Context, mark string, now time.Time) (boardView, error) {
	var hung []db.Hung
	var rooms []db.RailRoom
	both, asking := errgroup.WithContext(ctx) // neither needs the other, and a full house takes a while
	both.Go(func() (err error) { hung, err = p.DB.HangingAs(asking, mark, now); return err })
	both.Go(func() (err error) { rooms, err = p.DB.RailRooms(asking, now); return err })
	if err := both.Wait(); err != nil {
		return boardView{}, err
	}
	onRail := map[int16][]db.Hung{}
	for _, h := range hung {
		onRail[h.Rail] = append(onRail[h.Rail], h)
	}
	v := boardView{Rooms: make([]roomView, len(rooms))}
	for i, room := range rooms {
		v.Rooms[i] = drawRoom(ctx, room, onRail, now)
	}
	return v, nil
}

// drawRoom turns a room and what hangs there into what is drawn.
func drawRoom(ctx context.Context, room db.RailRoom, onRail map[int16][]db.Hung, now time.Time) roomView {
	v := roomView{Name: room.Name, Label: room.Label, Air: room.AirC, Rails: make([]railView, len(room.Rails))}
	if room.AirAt != nil {
		v.AirAt = *room.AirAt
	}
	load, animals := make([]domainrail.Rail, len(room.Rails)), map[domain.ShopNumber]bool{}
	for i, r := range room.Rails {
		hung := onRail[r.ID]
		load[i] = loadOf(r, hung)
		v.Rails[i] = railView{Name: r.Name, Each: r.LengthM / domain.Metre(max(r.Places, 1)), Spots: spots(ctx, r, hung, now),
			Note: full(ctx, r, len(hung))}
		for _, h := range hung {
			animals[h.Number] = true
			if h.Conflict {
				v.Conflicts = append(v.Conflicts, h.Number)
			}
			if slices.Contains(urgent, h.Condition()) {
				v.First = append(v.First, h)
			}
		}
	}
	v.Count = len(animals) // two sides are one
	slices.SortStableFunc(v.First, func(a, b db.Hung) int {
		return slices.Index(urgent, a.Condition()) - slices.Index(urgent, b.Condition())
	})
	v.Percent = int(domainrail.PercentFull(load) + 0.5)
	if days, fills := domainrail.DaysUntilFull(load, room.InPerDay, room.OutPerDay); fills && days >= 1 && days < 60 {
		v.UntilFull = ui.T(ctx, "full in %s at the pace of the last week", ui.T(ctx, "%d days", int(days)))
	} else if fills && days < 1 && v.Percent < 100 {
		v.UntilFull = ui.T(ctx, "full today at the pace of the last week")
	}
	return v
}

// full says how many hang on a rail, or lie on a shelf.
func full(ctx context.Context, r db.Rail, here int) string {
	if r.Kind == string(domainrail.Shelf) {
		return ui.T(ctx, "%d on %d places", here, r.Places)
	}
	return ui.T(ctx, "%d on %d hooks", here, r.Places)
}

func loadOf(r db.Rail, hung []db.Hung) domainrail.Rail {
	load := domainrail.Rail{Name: r.Name, Kind: domainrail.Kind(r.Kind), Length: r.LengthM}
	for n := range r.Places {
		load.Places = append(load.Places, n+1)
	}
	for _, h := range hung {
		load.Hung = append(load.Hung, domainrail.Hung{Number: h.Number, Species: h.Species, Form: h.Form, Held: len(h.Holds) > 0, Position: h.Position})
	}
	return load
}

// spots lays the hooks of one rail out from the door: what hangs, and the free ones
// between.
func spots(ctx context.Context, r db.Rail, hung []db.Hung, now time.Time) []spotView {
	if r.Places == 0 {
		return nil
	}
	list, next, spot := make([]spotView, 0, 2*len(hung)+1), 1, ui.T(ctx, "hook")
	if r.Kind == string(domainrail.Shelf) {
		spot = ui.T(ctx, "place")
	}
	free := func(upTo int) {
		if n := upTo - next; n > 0 {
			list = append(list, spotView{Free: n})
		}
	}
	for _, h := range hung {
		free(h.Position)
		next = max(next, h.Position+1)
		tag := tagOf(ctx, h, now)
		tag.Hook = fmt.Sprint(spot, " ", h.Position)
		list = append(list, spotView{Hung: tag})
	}
	free(r.Places + 1)
	return list
}

// tagOf is one animal as the rail draws it. The day of the kill is day 1, as on
// its record and on its owner's page.
func tagOf(ctx context.Context, h db.Hung, now time.Time) ui.Hung {
	tag := ui.Hung{Number: h.Number, Days: domain.DayOfAge(h.KilledAt, now), Held: len(h.Holds) > 0, Condition: h.Condition(), Brief: ui.Say(ctx, h.Brief(now, ui.ShopOf(ctx).Zone))}
	if h.Part != "" {
		tag.Part = ui.Side(ctx, h.Part)
	}
	return tag
}
