package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
)

// InNow is one animal that is in the house now, as a walk along the rails finds it:
// what a warden asks for at the door.
type InNow struct {
	Number     domain.ShopNumber
	Species    domain.Species
	Sex        string
	Points     *int
	ReceivedAt time.Time
	Physical   animal.Physical
	Legal      animal.Legal
	Room       string // the first of the walk; empty: in none
	Place      string // each hook or shelf; one in another room is named with it
	Tags       []string
	Deliverer  string
	Taker      string
	KillState  string
	County     string
	Held       bool
}

// Unmatched reports whether tag and animal are not joined: no tag was read on
// game, or it is in question.
func (n InNow) Unmatched() bool {
	return n.Species.Game() && len(n.Tags) == 0 || n.Legal == animal.Query || n.Legal == animal.WardenHold
}

// InNow lists every animal the shop has in its keeping, in the order of a walk:
// room by room, rail by rail, hook by hook, boxes in the freezer too; then what has no
// place. Halves on two hooks and boxes in two freezers stand with the first of them.
func (db *DB) InNow(ctx context.Context) ([]InNow, error) {
	return all[InNow](ctx, db.pool, `
		SELECT a.number, a.species, a.sex, a.points, a.received_at, a.physical, a.legal, coalesce(w.room, '') AS room, coalesce(w.place, '') AS place,
		       (SELECT coalesce(array_agg(t.number || ' ' || t.state ORDER BY t.read_at), '{}') FROM official_tags t WHERE t.animal_id = a.id) AS tags,
		       coalesce(d.name, '') AS deliverer, coalesce(k.name, '') AS taker,
		       coalesce((SELECT facts ->> 'kill_state' FROM register WHERE animal_id = a.id AND facts ? 'kill_state' ORDER BY seq DESC LIMIT 1), '') AS kill_state,
		       coalesce((SELECT facts ->> 'county' FROM register WHERE animal_id = a.id AND facts ? 'county' ORDER BY seq DESC LIMIT 1), '') AS county,
		       EXISTS (SELECT FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL) AS held
		FROM animals a
		LEFT JOIN LATERAL (
		  SELECT min(walk) AS walk, (array_agg(room ORDER BY walk))[1] AS room,
		         string_agg(CASE WHEN walk[1] = first THEN place ELSE room || ' ' || place END, ', ' ORDER BY walk) AS place
		  FROM (SELECT c.label AS room, r.name || '-' || p.position AS place, ARRAY[c.id, r.ord, p.position]::int[] AS walk, min(c.id) OVER () AS first
		        FROM (SELECT place_id FROM occupancies WHERE animal_id = a.id AND until IS NULL
		              UNION SELECT place_id FROM boxes WHERE animal_id = a.id AND released_at IS NULL) h
		        JOIN places p ON p.id = h.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id) s) w ON true
		LEFT JOIN LATERAL (SELECT p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = a.id AND ap.role = 'deliverer' LIMIT 1) d ON true
		LEFT JOIN LATERAL (SELECT p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = a.id AND ap.role = 'taker' LIMIT 1) k ON true
		WHERE a.physical IN ('arrived', 'received', 'chilling', 'hanging', 'on-table', 'split', 'stored', 'part-released', 'unclaimed')
		ORDER BY w.walk NULLS LAST, a.number LIMIT $1`, mostPresent)
}
