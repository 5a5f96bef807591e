package db

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"

	"github.com/google/uuid"
)

// Box is one box of an animal's meat.
type Box struct {
	ID         uuid.UUID
	N          int
	Room       string            // label of the freezer; empty while it has no place
	Place      string            // Freezer F1-3
	Beside     domain.ShopNumber // another owner's boxes stand on the same place; empty: none do
	Packs      int
	NetKg      domain.Kilogram
	Portion    cutting.Portion // of a shared animal: whose
	PlacedAt   *time.Time
	ReleasedAt *time.Time
	ReleasedBy string    // initials of who handed it over
	Handover   uuid.UUID // with which it left; zero: with none
}

// besides is whose boxes stand on the place p of a box b as well: whoever takes "the box
// there" may take another's.
const besides = `SELECT min(x.number) FROM boxes o JOIN animals x ON x.id = o.animal_id
	  WHERE o.place_id = p.id AND o.released_at IS NULL AND b.released_at IS NULL AND o.animal_id <> b.animal_id`

const boxQuery = `
	SELECT b.id, b.n, coalesce(c.label, '') AS room, coalesce(c.label || ' ' || r.name || '-' || p.position, '') AS place,
	       coalesce((` + besides + `), '') AS beside, coalesce(k.packs, 0) AS packs, coalesce(k.net_kg, 0) AS net_kg, coalesce(k.portion, '') AS portion, b.placed_at, b.released_at, coalesce(s.initials, '') AS released_by,
	       coalesce(b.handover_id, '00000000-0000-0000-0000-000000000000') AS handover
	FROM boxes b
	LEFT JOIN places p ON p.id = b.place_id LEFT JOIN rails r ON r.id = p.rail_id LEFT JOIN coolers c ON c.id = r.cooler_id
	LEFT JOIN handovers h ON h.id = b.handover_id LEFT JOIN staff s ON s.id = h.by_staff
	LEFT JOIN LATERAL (SELECT sum(count)::int AS packs, sum(net_kg) AS net_kg, max(portion) AS portion FROM packs WHERE box_id = b.id) k ON true`

func boxesAt(ctx context.Context, q querier, id uuid.UUID) ([]Box, error) {
	return all[Box](ctx, q, boxQuery+` WHERE b.animal_id = $1 ORDER BY b.n LIMIT 99`, id)
}

// stillHere are the boxes that have not left.
func stillHere(boxes []Box) []Box {
	return slices.DeleteFunc(slices.Clone(boxes), func(b Box) bool { return b.ReleasedAt != nil })
}

// Waiting is an animal whose meat stands in the freezer for somebody to come.
type Waiting struct {
	Number     domain.ShopNumber
	Species    domain.Species
	Physical   animal.Physical
	Money      animal.Money
	Owner      string
	Phone      string
	Boxes      int
	Rooms      []string // where they stand, place by place in the order of the shelves
	Spots      []string // such as F1-3
	Besides    []string // whose boxes stand there as well; empty: nobody's
	Since      *time.Time
	LastCall   *time.Time
	Outcome    string      // of the last call
	Holds      []hold.Kind // open ones
	OwedCents  domain.Cents
	MoreToCome bool // cut up, not all of it boxed
}

// Held reports whether a hold keeps it in the shop.
func (w Waiting) Held() bool {
	return slices.ContainsFunc(w.Holds, func(k hold.Kind) bool { return k.Blocks(hold.Release) })
}

// waitingQuery lists animals with boxes in the shop. The first condition says
// which; whoever owns the animal stands first among several people.
const waitingQuery = `
	SELECT a.number, a.species, a.physical, a.money, coalesce(o.name, '') AS owner, coalesce(o.phone, '') AS phone,
	       coalesce(b.boxes, 0) AS boxes, w.rooms, w.spots, w.besides, b.since, l.at AS last_call, coalesce(l.outcome, '') AS outcome,
	       ARRAY(SELECT kind FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL) AS holds,
	       greatest((SELECT coalesce(sum(total_cents), 0) FROM charges WHERE animal_id = a.id)
	              - (SELECT coalesce(sum(cents), 0) FROM payments WHERE animal_id = a.id), 0)::bigint AS owed_cents,
	       a.physical = 'split' OR EXISTS (SELECT FROM packs k WHERE k.animal_id = a.id AND k.box_id IS NULL)
	       OR EXISTS (` + inBatch + `) AS more_to_come
	FROM animals a
	LEFT JOIN LATERAL (
	  SELECT p.name, p.phone FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = a.id
	  ORDER BY array_position(ARRAY['owner', 'taker', 'deliverer', 'payer', 'collector'], ap.role), ap.since LIMIT 1) o ON true
	LEFT JOIN LATERAL (
	  SELECT count(*)::int AS boxes, max(b.placed_at) AS since FROM boxes b WHERE b.animal_id = a.id AND b.released_at IS NULL) b ON true
	LEFT JOIN LATERAL (
	  SELECT coalesce(array_agg(room ORDER BY room, ord, position), '{}') AS rooms, coalesce(array_agg(spot ORDER BY room, ord, position), '{}') AS spots,
	         coalesce(array_agg(beside ORDER BY room, ord, position), '{}') AS besides
	  FROM (SELECT DISTINCT c.label AS room, r.ord, p.position, r.name || '-' || p.position AS spot, coalesce((` + besides + `), '') AS beside
	    FROM boxes b JOIN places p ON p.id = b.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
	    WHERE b.animal_id = a.id AND b.released_at IS NULL) s) w ON true
	LEFT JOIN LATERAL (SELECT at, outcome FROM contacts WHERE animal_id = a.id ORDER BY at DESC LIMIT 1) l ON true`

// WaitingForPickup lists the animals that may be fetched, the longest waiting first.
func (db *DB) WaitingForPickup(ctx context.Context, limit int) ([]Waiting, error) {
	return all[Waiting](ctx, db.pool, waitingQuery+`
		WHERE a.physical IN ('stored', 'part-released', 'unclaimed') ORDER BY b.since NULLS LAST, a.number LIMIT $1`, limit)
}

// FindForPickup finds animals by what somebody at the counter says or shows: the
// tag's number or its four digits, a box label, the last four digits of a phone,
// or the beginning of a name. Animals with meat in the shop stand first.
func (db *DB) FindForPickup(ctx context.Context, typed string, limit int) ([]Waiting, error) {
	typed = strings.TrimSpace(typed)
	order := ` ORDER BY a.physical IN ('stored', 'part-released', 'unclaimed') DESC, a.received_at DESC LIMIT $2`
	if number, _, err := domain.ParseBoxCode("q", typed); err == nil {
		return all[Waiting](ctx, db.pool, waitingQuery+` WHERE a.number = $1`+order, number, limit)
	}
	if number, err := domain.ParseShopNumber("q", typed); err == nil {
		return all[Waiting](ctx, db.pool, waitingQuery+` WHERE a.number = $1`+order, number, limit)
	}
	if len(typed) == 4 && strings.Trim(typed, "0123456789") == "" {
		return all[Waiting](ctx, db.pool, waitingQuery+`
			WHERE substr(a.number, 4, 4) = $1 OR a.id IN (
			  SELECT ap.animal_id FROM people p JOIN animal_people ap ON ap.person_id = p.id WHERE p.last_four = $1)`+order, typed, limit)
	}
	if len(typed) < 2 {
		return nil, domain.Wrong("q", "Type the tag's number, the last four digits of the phone, or at least two letters of the name.")
	}
	like := strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(strings.ToLower(typed))
	return all[Waiting](ctx, db.pool, waitingQuery+`
		WHERE a.id IN (
		  SELECT ap.animal_id FROM people p JOIN animal_people ap ON ap.person_id = p.id
		  WHERE lower(p.name) LIKE $1 || '%' OR lower(p.name) LIKE '% ' || $1 || '%')`+order, like, limit)
}

// Party is a person with a part in the animal, and which.
type Party struct {
	Role   string // taker, deliverer, owner, payer or collector
	Name   string
	Phone  string
	Note   string
	TellBy string // text, call or mail
	Since  time.Time
}

// Pickup is everything the counter needs when somebody stands there.
type Pickup struct {
	Animal    Animal
	Boxes     []Box
	Loose     int            // packs that are in no box yet
	InBatches []domain.Words // meat in batches that are not back with it
	Things    []Thing        // head, cape, antlers, coolers: what goes back besides the boxes
	Shares    []Share        // of a shared animal: whose portion is whose
	Parties   []Party        // who may collect, the owner first
	Holds     []hold.Hold
	Account   Account
	Handovers []Handover
	PutRight  []HandoverLine
	Contacts  []Contact
	AlsoHere  []AlsoHere
}

// AlsoHere is another animal of the same owner that is in the house, so that whoever is
// there for one is told of it.
type AlsoHere struct {
	Number   domain.ShopNumber
	Species  domain.Species
	Physical animal.Physical
	Boxes    int
}

const alsoHere = `
	SELECT a.number, a.species, a.physical, (SELECT count(*) FROM boxes b WHERE b.animal_id = a.id AND b.released_at IS NULL)::int AS boxes
	FROM animal_people one JOIN animal_people other ON other.person_id = one.person_id AND other.role = 'owner' JOIN animals a ON a.id = other.animal_id
	WHERE one.animal_id = $1 AND one.role = 'owner' AND a.id <> $1 AND a.physical IN ` + inTheHouse + `
	ORDER BY a.number LIMIT 20`

// Pickup gathers what belongs to one animal at the counter.
func (db *DB) Pickup(ctx context.Context, number domain.ShopNumber) (p Pickup, err error) {
	if p.Account, err = db.Account(ctx, number); err != nil {
		return p, err
	}
	p.Animal = p.Account.Animal
	id := p.Animal.ID
	if p.Boxes, err = boxesAt(ctx, db.pool, id); err != nil {
		return p, err
	}
	if p.Holds, err = openHolds(ctx, db.pool, id); err != nil {
		return p, err
	}
	if p.Parties, err = all[Party](ctx, db.pool, `
		SELECT ap.role, p.name, p.phone, ap.note, p.tell_by, ap.since FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = $1 AND ap.role <> 'share'
		ORDER BY array_position(ARRAY['owner', 'collector', 'taker', 'payer', 'deliverer'], ap.role), ap.since LIMIT 20`, id); err != nil {
		return p, err
	}
	if p.InBatches, err = inBatches(ctx, db.pool, id); err != nil {
		return p, err
	}
	if p.Handovers, err = handoversOf(ctx, db.pool, id); err != nil {
		return p, err
	}
	if p.PutRight, err = handoverLines(ctx, db.pool, id); err != nil {
		return p, err
	}
	if p.Contacts, err = db.Contacts(ctx, number); err != nil {
		return p, err
	}
	if p.Things, err = things(ctx, db.pool, id); err != nil {
		return p, err
	}
	if p.AlsoHere, err = all[AlsoHere](ctx, db.pool, alsoHere, id); err != nil {
		return p, err
	}
	if p.Shares, err = all[Share](ctx, db.pool, sharesOf, id); err != nil {
		return p, err
	}
	err = db.pool.QueryRow(ctx, `SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1 AND box_id IS NULL`, id).Scan(&p.Loose)
	return p, translate(err)
}

// Share is one portion of a shared animal and whose it is.
type Share struct {
	Portion cutting.Portion
	Whose   string
}

const sharesOf = `
	SELECT portion, for_whom AS whose FROM orders WHERE animal_id = $1 AND void_at IS NULL AND portion <> '' AND for_whom <> '' ORDER BY portion LIMIT 10`
