package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/register"
	"coldrail/domain/yield"

	"github.com/google/uuid"
)

// Record is what stands about one animal beside its row, its looks, its order,
// its holds and its boxes, which have queries of their own.
type Record struct {
	Animal     Animal
	ReceivedBy string // initials
	Parties    []Party
	Tags       []TagRow
	Places     []Hangs // where it hangs now; two for an animal in sides
	LeftRail   *time.Time
	Weighings  []Weighed
	Protocol   Protocol
	Register   []RegisterLine
	Owed       []register.Field // what the register still lacks
	Expected   yield.Estimate   // boneless meat; zero where nothing can be said
	ToldAtDoor ToldAtDoor

	// Verdict is what the models say now or, once it has left the rail, what they
	// said at that moment. Nil where nothing can be said, and Why says why.
	Verdict *ageing.Verdict
	Why     domain.Words
}

// Hanging reports whether the animal hangs in a cooler now.
func (r Record) Hanging() bool { return len(r.Places) > 0 }

// Weighed is one weigh-in.
type Weighed struct {
	Purpose string // field-dressed, hanging, boned or trim
	Part    string // of a side
	GrossKg domain.Kilogram
	TareKg  domain.Kilogram
	NetKg   domain.Kilogram
	Scale   string // which read it; empty: typed
	At      time.Time
	By      string // initials
}

// sumsKept is how long after it left the rail an animal's sums are still worked
// out: the rooms' temperatures are remembered for roomDays.
const sumsKept = 60 * 24 * time.Hour

// Record reads the whole record of one animal.
func (db *DB) Record(ctx context.Context, number domain.ShopNumber, now time.Time) (r Record, err error) {
	if r.Animal, err = db.Animal(ctx, number); err != nil {
		return r, err
	}
	for _, read := range []func(context.Context, *Record) error{db.readPaper, db.readPeople, db.readPlaces, db.readRegister} {
		if err := read(ctx, &r); err != nil {
			return r, fmt.Errorf("record of %s: %w", number, err)
		}
	}
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return r, err
	}
	r.Expected = numbers.Expected(r.Animal)
	r.Verdict, r.Why, err = db.lastVerdict(ctx, r, now)
	return r, err
}

// lastVerdict judges the animal now, or at the moment it left the rail.
func (db *DB) lastVerdict(ctx context.Context, r Record, now time.Time) (*ageing.Verdict, domain.Words, error) {
	switch {
	case r.Hanging():
		return db.VerdictOf(ctx, r.Animal.ID, r.Animal.Revision, now)
	case r.LeftRail == nil:
		return nil, domain.Say("It has not hung on a rail, so there is nothing to work out."), nil
	case now.Sub(*r.LeftRail) > sumsKept:
		return nil, domain.Say("It left the rail on %s. The sums are worked out for 60 days after that.", *r.LeftRail), nil
	}
	return db.VerdictOf(ctx, r.Animal.ID, r.Animal.Revision, *r.LeftRail)
}

func (db *DB) readPaper(ctx context.Context, r *Record) (err error) {
	if r.Tags, err = db.OfficialTags(ctx, r.Animal.ID); err != nil {
		return err
	}
	r.Protocol, _, err = one[Protocol](ctx, db.pool, `
		SELECT `+protocolColumns+` FROM protocols p WHERE p.id = $1`, r.Animal.ProtocolID)
	return err
}

func (db *DB) readPeople(ctx context.Context, r *Record) (err error) {
	if r.Parties, err = all[Party](ctx, db.pool, `
		SELECT ap.role, p.name, p.phone, ap.note, p.tell_by, ap.since FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = $1 AND ap.role <> 'share'
		ORDER BY array_position(ARRAY['owner', 'taker', 'deliverer', 'payer', 'collector'], ap.role), ap.since LIMIT 20`, r.Animal.ID); err != nil {
		return err
	}
	if r.ToldAtDoor, err = db.ToldAtDoor(ctx, r.Animal.ID); err != nil {
		return err
	}
	return db.pool.QueryRow(ctx, `
		SELECT s.initials FROM animals a JOIN staff s ON s.id = a.received_by WHERE a.id = $1`, r.Animal.ID).Scan(&r.ReceivedBy)
}

func (db *DB) readPlaces(ctx context.Context, r *Record) (err error) {
	if r.Places, err = db.WhereHangs(ctx, r.Animal.ID); err != nil {
		return err
	}
	if err = db.pool.QueryRow(ctx, `SELECT max(until) FROM occupancies WHERE animal_id = $1`, r.Animal.ID).Scan(&r.LeftRail); err != nil {
		return err
	}
	r.Weighings, err = all[Weighed](ctx, db.pool, `
		SELECT w.purpose, coalesce(k.mark, '') AS part, w.gross_kg, w.tare_kg, w.net_kg, w.scale, w.at, s.initials AS by
		FROM weigh_ins w JOIN staff s ON s.id = w.by_staff LEFT JOIN pieces k ON k.id = w.piece_id
		WHERE w.animal_id = $1 ORDER BY w.at DESC LIMIT 100`, r.Animal.ID)
	return err
}

func (db *DB) readRegister(ctx context.Context, r *Record) (err error) {
	if r.Register, err = db.RegisterOf(ctx, r.Animal.Number); err != nil || len(r.Register) == 0 {
		return err
	}
	owing, err := db.OwedBy(ctx, r.Animal.Number)
	r.Owed = owing.Fields()
	return err
}

// Happening is one line of an animal's time line.
type Happening struct {
	What      string
	Detail    map[string]any
	At        time.Time
	EnteredAt time.Time
	By        string // name; empty: the program itself
}

// TimeLine lists what was done with the animal, the latest first, at most 500
// lines.
func (db *DB) TimeLine(ctx context.Context, id uuid.UUID) ([]Happening, error) {
	list, err := all[Happening](ctx, db.pool, `
		SELECT t.what, t.detail || CASE WHEN r.why IS NULL THEN '{}' ELSE jsonb_build_object('why', r.why) END AS detail, t.at, t.entered_at, coalesce(s.name, '') AS by
		FROM time_line t LEFT JOIN staff s ON s.id = t.by_staff LEFT JOIN typed_reasons r ON r.act = t.act
		WHERE t.animal_id = $1 ORDER BY t.at DESC, t.seq DESC LIMIT 500`, id)
	if err != nil {
		return nil, fmt.Errorf("time line: %w", err)
	}
	return list, nil
}
