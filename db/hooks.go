package db

import (
	"context"
	"slices"
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
	h.queueRails(b)
	queueAll(b, &h.hanging, allThatHangs+` LIMIT 10000`)
	err := q.SendBatch(ctx, b).Close()
	return h.list(), err
}

// hooksAsked is what is read for it: a line a rail and a line for what hangs, not
// one a hook: most hooks of a season are free.
type hooksAsked struct {
	rails   []placesOfRail
	hanging []hangingOn
	taken   []int  // the places that are taken, where that was asked instead
	layout  layout // what was remembered of the rails; nothing where nobody remembers
}

type placesOfRail struct {
	RailID       int16
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

// allThatHangs reads every place that is taken.
const allThatHangs = `
	SELECT o.place_id, a.number, coalesce(k.mark, '') AS mark, a.species, a.form, ` + apartNow + ` AS held
	FROM occupancies o JOIN animals a ON a.id = o.animal_id LEFT JOIN pieces k ON k.id = o.piece_id
	WHERE o.until IS NULL`

const apartNow = `a.id IN (SELECT animal_id FROM holds WHERE closed_at IS NULL AND kind IN ` + heldApart + `)`

func (h *hooksAsked) queueRails(b *pgx.Batch) {
	queueAll(b, &h.rails, `
		SELECT r.id AS rail_id, c.id AS cooler_id, c.label AS cooler, r.name, r.kind, r.length_m,
		       array_agg(p.id ORDER BY p.position) AS ids, array_agg(p.position ORDER BY p.position) AS positions,
		       (SELECT max(id) FROM places) AS newest
		FROM places p JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		WHERE c.kind = 'cooler' AND p.in_service AND (SELECT max(id) FROM places) <> $1
		GROUP BY r.id, c.id ORDER BY c.id, r.ord LIMIT 1000`, h.layout.newest())
}

// known are the rails, as read or as remembered, and what hangs by place.
func (h *hooksAsked) known() (rails []placesOfRail, on map[int][]hangingOn) {
	if rails = h.rails; len(rails) == 0 {
		rails = h.layout.rails
	}
	on = make(map[int][]hangingOn, len(h.hanging))
	for _, one := range h.hanging {
		on[one.PlaceID] = append(on[one.PlaceID], one)
	}
	return rails, on
}

func (h *hooksAsked) list() []hooked {
	rails, on := h.known()
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
func proposePlace(ctx context.Context, q querier, next rail.Hung) (Place, domain.Words, error) {
	var h hooksAsked
	b := &pgx.Batch{}
	h.queueTaken(b)
	if err := q.SendBatch(ctx, b).Close(); err != nil {
		return Place{}, domain.Words{}, err
	}
	return h.propose(ctx, q, next)
}

// queueTaken asks for the rails and which of their places are taken, no more: most rails
// of a full house have no free one, and what hangs there need not be known.
func (h *hooksAsked) queueTaken(b *pgx.Batch) {
	h.queueRails(b)
	b.Queue(`SELECT coalesce(array_agg(place_id), '{}') FROM (SELECT place_id FROM occupancies WHERE until IS NULL LIMIT 10000) o`).
		QueryRow(func(row pgx.Row) error { return row.Scan(&h.taken) })
}

// propose reads what hangs beside the free places and finds the next.
func (h *hooksAsked) propose(ctx context.Context, q querier, next rail.Hung) (Place, domain.Words, error) {
	known, _ := h.known()
	several := len(known) > 0 && known[0].CoolerID != known[len(known)-1].CoolerID
	taken := make(map[int]bool, len(h.taken))
	for _, id := range h.taken {
		taken[id] = true
	}
	var places []placesOfRail // on rails with a free one
	var beside []int
	for _, r := range known {
		here := slices.DeleteFunc(slices.Clone(r.IDs), func(id int) bool { return !taken[id] })
		if len(here) < len(r.IDs) {
			places, beside = append(places, r), append(beside, here...)
		}
	}
	var err error
	if h.hanging, err = all[hangingOn](ctx, q, allThatHangs+` AND o.place_id = ANY ($1) LIMIT 10000`, beside); err != nil {
		return Place{}, domain.Words{}, err
	}
	_, on := h.known()
	rails := make([]rail.Rail, len(places))
	for i, r := range places {
		rails[i] = rail.Rail{Name: railName(r.Cooler, r.Name, several), Kind: rail.Kind(r.Kind), Length: r.LengthM, Places: r.Positions}
		for n, id := range r.IDs {
			for _, here := range on[id] {
				rails[i].Hung = append(rails[i].Hung, rail.Hung{Number: here.Number, Species: here.Species, Form: here.Form, Held: here.Held, Position: r.Positions[n]})
			}
		}
	}
	at, why, err := rail.Next(rails, next)
	for i, r := range places {
		if n := slices.Index(r.Positions, at.Position); rails[i].Name == at.Rail && n >= 0 {
			return Place{r.IDs[n], r.Cooler, r.Name, r.Kind, at.Position}, why, err
		}
	}
	return Place{}, why, err
}

// railName is a rail's name, unique in a shop of several coolers.
func railName(cooler, name string, several bool) string {
	if several {
		return cooler + " " + name
	}
	return name
}

// asRails groups the hooks by rail, under names that are unique in the shop.
func asRails(hooks []hooked) ([]rail.Rail, map[rail.Place]Place) {
	several := len(hooks) > 0 && hooks[0].CoolerID != hooks[len(hooks)-1].CoolerID
	var rails []rail.Rail
	places := map[rail.Place]Place{}
	for _, k := range hooks {
		name := railName(k.Cooler, k.Rail, several)
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
