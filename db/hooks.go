package db

import (
	"context"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/rail"

	"github.com/jackc/pgx/v5"
)

// heldApart are the holds for which an animal hangs away from the rest
// (trade.md 5.4); the others only stop the knife or the hand-over.
const heldApart = `('test-pending', 'positive', 'tag', 'warden', 'identity', 'quality')`

// hooked is one place in service with what hangs on it; no number: it is free.
type hooked struct {
	Place
	CoolerID int16
	LengthM  domain.Metre
	Number   *domain.ShopNumber
	Mark     string // L or R for a side, "" for the animal itself
	Species  *domain.Species
	Form     *domain.Form
	Held     bool
}

// hooks lists every place in service in the coolers with what hangs on it, from
// the door; two that share a hook are two lines.
func hooks(ctx context.Context, q querier) ([]hooked, error) {
	var h hooksAsked
	b := &pgx.Batch{}
	h.queue(b)
	err := q.SendBatch(ctx, b).Close()
	return h.list(), err
}

// hooksAsked is what is read for it: a line a rail and a line for what hangs, not
// one a hook. A drop-off waits for them, and most hooks of a season are free.
type hooksAsked struct {
	rails   []placesOfRail
	hanging []hangingOn
	layout  layout // what was remembered of the rails; nothing where nobody remembers
}

type placesOfRail struct {
	CoolerID     int16
	Cooler, Name string
	Kind         string
	LengthM      domain.Metre
	IDs          []int // of its places in service, from the door
	Positions    []int
	Newest       int // the newest place in the shop
}

// layout is the rails as they were read at a moment. A shop builds its rails once,
// and every drop-off asks for them.
type layout struct {
	rails []placesOfRail
	at    time.Time
}

// layoutMemory keeps the last layout. A new place makes it stale at once, what is
// changed by hand in the database within a minute.
type layoutMemory struct {
	mu   sync.Mutex
	last layout
}

func (m *layoutMemory) known(now time.Time) layout {
	m.mu.Lock()
	defer m.mu.Unlock()
	if age := now.Sub(m.last.at); age < 0 || age > time.Minute {
		return layout{}
	}
	return m.last
}

func (m *layoutMemory) keep(l layout) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.last = l
}

func (l layout) newest() int {
	if len(l.rails) == 0 {
		return 0
	}
	return l.rails[0].Newest
}

type hangingOn struct {
	PlaceID int
	Number  domain.ShopNumber
	Mark    string
	Species domain.Species
	Form    domain.Form
	Held    bool
}

func (h *hooksAsked) queue(b *pgx.Batch) {
	queueAll(b, &h.rails, `
		SELECT c.id AS cooler_id, c.label AS cooler, r.name, r.kind, r.length_m,
		       array_agg(p.id ORDER BY p.position) AS ids, array_agg(p.position ORDER BY p.position) AS positions,
		       (SELECT max(id) FROM places) AS newest
		FROM places p JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		WHERE c.kind = 'cooler' AND p.in_service AND (SELECT max(id) FROM places) <> $1
		GROUP BY r.id, c.id ORDER BY c.id, r.ord LIMIT 1000`, h.layout.newest())
	queueAll(b, &h.hanging, `
		SELECT o.place_id, a.number, coalesce(k.mark, '') AS mark, a.species, a.form,
		       EXISTS (SELECT FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL AND h.kind IN `+heldApart+`) AS held
		FROM occupancies o JOIN animals a ON a.id = o.animal_id LEFT JOIN pieces k ON k.id = o.piece_id
		WHERE o.until IS NULL LIMIT 10000`)
}

func (h *hooksAsked) list() []hooked {
	on := map[int][]hangingOn{}
	for _, one := range h.hanging {
		on[one.PlaceID] = append(on[one.PlaceID], one)
	}
	rails := h.rails
	if len(rails) == 0 {
		rails = h.layout.rails
	}
	var list []hooked
	for _, r := range rails {
		for i, id := range r.IDs {
			hook := hooked{Place: Place{id, r.Cooler, r.Name, r.Kind, r.Positions[i]}, CoolerID: r.CoolerID, LengthM: r.LengthM}
			if len(on[id]) == 0 {
				list = append(list, hook)
			}
			for _, here := range on[id] {
				hook.Number, hook.Mark, hook.Species, hook.Form, hook.Held = &here.Number, here.Mark, &here.Species, &here.Form, here.Held
				list = append(list, hook)
			}
		}
	}
	return list
}

// proposePlace says where the next animal of this kind hangs, and why there.
func proposePlace(ctx context.Context, q querier, h rail.Hung) (Place, domain.Words, error) {
	hooks, err := hooks(ctx, q)
	if err != nil {
		return Place{}, domain.Words{}, err
	}
	return proposed(hooks, h)
}

func proposed(hooks []hooked, h rail.Hung) (Place, domain.Words, error) {
	rails, places := asRails(hooks)
	at, why, err := rail.Next(rails, h)
	return places[at], why, err
}

// asRails groups the hooks by rail, under names that are unique in the shop.
func asRails(hooks []hooked) ([]rail.Rail, map[rail.Place]Place) {
	several := len(hooks) > 0 && hooks[0].CoolerID != hooks[len(hooks)-1].CoolerID
	var rails []rail.Rail
	places := map[rail.Place]Place{}
	for _, k := range hooks {
		name := k.Rail
		if several {
			name = k.Cooler + " " + k.Rail
		}
		if len(rails) == 0 || rails[len(rails)-1].Name != name {
			rails = append(rails, rail.Rail{Name: name, Kind: rail.Kind(k.Kind), Length: k.LengthM})
		}
		r, at := &rails[len(rails)-1], rail.Place{Rail: name, Position: k.Position}
		if _, seen := places[at]; !seen {
			places[at] = k.Place
			r.Places = append(r.Places, k.Position)
		}
		if k.Number != nil {
			r.Hung = append(r.Hung, rail.Hung{Number: *k.Number, Species: *k.Species, Form: *k.Form, Held: k.Held, Position: k.Position})
		}
	}
	return rails, places
}
