package db

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"golang.org/x/sync/errgroup"
)

// Hung is one animal, or one side of it, on its place, and how it stands.
type Hung struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Species    domain.Species
	Class      domain.Class
	Form       domain.Form
	KilledAt   time.Time
	ReceivedAt time.Time
	Physical   animal.Physical
	Legal      animal.Legal
	Disease    animal.Disease
	OrderState animal.OrderTrack
	HangingKg  *domain.Kilogram
	PromisedOn *time.Time
	Revision   int
	Cooler     int16
	Rail       int16
	RailName   string
	Position   int
	Part       string // L or R for a side, "" for a whole animal
	Conflict   bool
	Holds      []string  // kinds of the open holds
	Stay       uuid.UUID // its being on this place, from when it was hung there until it is taken off

	// Verdict is what the models say; nil where its room has no reading at all,
	// and Why says so.
	Verdict *ageing.Verdict `db:"-"`
	Why     domain.Words    `db:"-"`
}

// Place names the place as the shop says it: R2-7.
func (h Hung) Place() string { return fmt.Sprintf("%s-%d", h.RailName, h.Position) }

const hangingFrom = `
	FROM occupancies o
	JOIN animals a ON a.id = o.animal_id
	JOIN places p ON p.id = o.place_id
	JOIN rails r ON r.id = p.rail_id
	LEFT JOIN pieces k ON k.id = o.piece_id
	WHERE o.until IS NULL`

const hangingColumns = `
	SELECT a.id, a.number, a.species, a.class, a.form, a.killed_at, a.received_at, a.physical, a.legal, a.disease, a.order_state,
	       a.hanging_kg, a.promised_on, a.revision, r.cooler_id AS cooler, r.id AS rail, r.name AS rail_name, p.position,
	       coalesce(k.mark, '') AS part, o.conflict,
	       ARRAY(SELECT h.kind FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL ORDER BY h.opened_at) AS holds, o.id AS stay`

const fromTheDoor = `
	ORDER BY r.cooler_id, r.ord, p.position
	LIMIT 2000`

// HangingSQL is the one query behind the rail. The benchmark of the board runs
// it bare to compare.
const HangingSQL = hangingColumns + hangingFrom + fromTheDoor

// Hanging lists everything on a rail, each with what the models say of it now.
func (db *DB) Hanging(ctx context.Context, now time.Time) ([]Hung, error) {
	hung, err := all[Hung](ctx, db.pool, HangingSQL)
	if err != nil {
		return nil, fmt.Errorf("hanging: %w", err)
	}
	h, err := db.readHouse(ctx, now)
	if err != nil {
		return nil, err
	}
	return hung, db.judge(ctx, hung, h, now)
}

// Condition is the word the board shows: what the models say, or "look" where
// they can say nothing.
func (h Hung) Condition() string {
	if h.Verdict == nil {
		return string(ageing.LookAtIt)
	}
	return string(h.Verdict.Condition)
}

// Brief is how it stands in at most five words, or that nothing can be said.
func (h Hung) Brief(now time.Time, zone *time.Location) domain.Words {
	if h.Verdict == nil {
		return domain.Say("look first, no record")
	}
	return h.Verdict.Brief(now, zone)
}

// markMemory keeps the board's mark and what it was read from.
type markMemory struct {
	mu   sync.Mutex
	from asOf
	mark string
}

// BoardMark changes whenever anything on the rail does: an act on an animal that
// is in the house, a place taken or left, a rail named anew, a new reading. It is
// one small query, and a tiny one where nothing at all was written since the last;
// what it adds up are hashes, so that no two changes undo each other in it. It asks
// nothing where seen, what the same request has read before, is as of the last one's.
func (db *DB) BoardMark(ctx context.Context, seen Holder) (string, error) {
	began := db.connects.Load()
	db.board.mu.Lock()
	before, mark := db.board.from, db.board.mark
	db.board.mu.Unlock()
	if before.connects != began {
		before = asOf{}
	}
	if before.snapshot != "" && seen.from == before {
		return mark, nil
	}
	var now string
	var fresh *string
	err := db.pool.QueryRow(ctx, `
		SELECT pg_current_snapshot()::text, CASE WHEN pg_current_snapshot()::text <> $1 THEN format('%s-%s-%s-%s',
		  (SELECT bit_xor(uuid_hash_extended(id, revision)) FROM animals WHERE physical IN ('received', 'chilling', 'hanging', 'on-table')),
		  (SELECT bit_xor(uuid_hash_extended(id, 0)) FROM occupancies WHERE until IS NULL),
		  (SELECT bit_xor(hashtextextended(name, id)) FROM rails),
		  (SELECT coalesce(sum(readings_kept), 0) FROM coolers)) END`, before.snapshot).Scan(&now, &fresh)
	if err != nil {
		return "", fmt.Errorf("board mark: %w", translate(err))
	}
	switch {
	case fresh == nil && db.connects.Load() == before.connects:
		return mark, nil
	case fresh == nil:
		return db.BoardMark(ctx, Holder{})
	}
	db.board.mu.Lock()
	defer db.board.mu.Unlock()
	db.board.from, db.board.mark = asOf{now, began}, *fresh
	return *fresh, nil
}

// hangingMemory keeps what hung as of a mark of the board. Each wall and tablet
// asks every minute, and most minutes nothing was done on the rail.
type hangingMemory struct {
	mu   sync.Mutex
	mark string
	hung []Hung // never changed: who judges it takes a copy
}

// HangingAs is Hanging as of a mark that was read just before, from memory where
// the mark is the last one's.
func (db *DB) HangingAs(ctx context.Context, mark string, now time.Time) ([]Hung, error) {
	var hung []Hung
	var h house
	both, asking := errgroup.WithContext(ctx) // neither needs the other
	both.Go(func() (err error) { hung, err = db.hangingKnown(asking, mark); return err })
	both.Go(func() (err error) { h, err = db.readHouse(asking, now); return err })
	if err := both.Wait(); err != nil {
		return nil, fmt.Errorf("hanging: %w", err)
	}
	hung = slices.Clone(hung)
	return hung, db.judge(ctx, hung, h, now)
}

// hangingKnown is what hangs as of a mark; nobody may change it.
func (db *DB) hangingKnown(ctx context.Context, mark string) ([]Hung, error) {
	db.hanging.mu.Lock()
	hung, known := db.hanging.hung, db.hanging.mark == mark
	db.hanging.mu.Unlock()
	if known {
		return hung, nil
	}
	hung, err := db.hangingSince(ctx, hung)
	if err != nil {
		return nil, err
	}
	db.hanging.mu.Lock()
	defer db.hanging.mu.Unlock()
	db.hanging.mark, db.hanging.hung = mark, hung
	return hung, nil
}

// asStands is what a row of the rail is known by: the same of each, the same row.
// Every act on an animal raises its revision, also a hold or a promise; that another
// left its hook is no act on it.
type asStands struct {
	Stay     uuid.UUID
	Revision int
	Conflict bool
	RailName string
}

// hangingSince reads what hangs, given what hung before: which stays there are, and
// then only those that are new or were touched, since an act touches one animal and
// every board draws them all.
func (db *DB) hangingSince(ctx context.Context, before []Hung) ([]Hung, error) {
	stays, err := db.stays(ctx)
	if err != nil {
		return nil, err
	}
	known := make(map[asStands]Hung, len(stays))
	for _, h := range before {
		known[asStands{h.Stay, h.Revision, h.Conflict, h.RailName}] = h
	}
	var touched []uuid.UUID
	for _, s := range stays {
		if _, same := known[s]; !same {
			touched = append(touched, s.Stay)
		}
	}
	if len(touched) == 0 {
		return inOrder(stays, known, nil), nil
	}
	read, err := all[Hung](ctx, db.pool, hangingColumns+hangingFrom+` AND o.id = ANY ($1)`, touched)
	return inOrder(stays, known, read), err
}

// stays are all that hang, from the door. Every board after an act reads them all, so
// they are taken by the place of their columns: by name each row costs a look-up.
func (db *DB) stays(ctx context.Context) (stays []asStands, err error) {
	rows, err := db.pool.Query(ctx, `SELECT o.id, a.revision, o.conflict, r.name`+hangingFrom+fromTheDoor)
	if err != nil {
		return nil, translate(err)
	}
	var s asStands
	_, err = pgx.ForEachRow(rows, []any{&s.Stay, &s.Revision, &s.Conflict, &s.RailName}, func() error {
		stays = append(stays, s)
		return nil
	})
	return stays, translate(err)
}

// inOrder lists the stays from the door. What was taken off between the two questions
// is left out.
func inOrder(stays []asStands, known map[asStands]Hung, read []Hung) []Hung {
	fresh := make(map[uuid.UUID]Hung, len(read))
	for _, h := range read {
		fresh[h.Stay] = h
	}
	hung := make([]Hung, 0, len(stays))
	for _, s := range stays {
		if h, ok := fresh[s.Stay]; ok {
			hung = append(hung, h)
		} else if h, ok := known[s]; ok {
			hung = append(hung, h)
		}
	}
	return hung
}

// RailRoom is a cooler as the rail draws it.
type RailRoom struct {
	Cooler
	AirC      *domain.Celsius // the newest good reading of the last month; of two at once the warmer
	AirAt     *time.Time
	InPerDay  float64 // deer places that came and went a day over the last week
	OutPerDay float64
	Rails     []Rail `db:"-"`
}

// RailRooms lists the coolers (no freezers) with their rails in order from the door.
// The air is looked for in the last month only: without a bound Postgres opens
// every month there is, a hundred and more after ten seasons.
func (db *DB) RailRooms(ctx context.Context, now time.Time) ([]RailRoom, error) {
	rooms, err := all[RailRoom](ctx, db.pool, `
		SELECT `+coolerColumns+`, n.c AS air_c, n.at AS air_at,
		       (SELECT count(*) FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id
		        WHERE r.cooler_id = coolers.id AND o.since > $1) / 7.0::float8 AS in_per_day,
		       (SELECT count(*) FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id
		        WHERE r.cooler_id = coolers.id AND o.until > $1) / 7.0::float8 AS out_per_day
		FROM coolers
		LEFT JOIN LATERAL (
		  SELECT c, at FROM readings JOIN sensors s ON s.id = sensor_id
		  WHERE readings.cooler_id = coolers.id AND at > $2 AND flag = 'ok' AND s.measures = 'air' ORDER BY at DESC, c DESC LIMIT 1
		) n ON true
		WHERE kind = 'cooler' ORDER BY id`, now.AddDate(0, 0, -7), now.AddDate(0, 0, -31))
	if err != nil {
		return nil, fmt.Errorf("rooms of the rail: %w", err)
	}
	rails, err := db.Rails(ctx)
	if err != nil {
		return nil, err
	}
	for i := range rooms {
		for _, r := range rails {
			if r.CoolerID == rooms[i].ID {
				rooms[i].Rails = append(rooms[i].Rails, r)
			}
		}
	}
	return rooms, nil
}
