package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
	"coldrail/domain/hold"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// Today is what the shop's first page is made of.
type Today struct {
	Hung    []Hung           // everything on a rail, judged
	Stopped []StoppedAtTable // by a look, at the table or in pieces
	InHouse []Present        // everything the shop has in its keeping
	Rounds  []RoundDue       // due now, and missed since yesterday with nothing walked after
	Rooms   []RoomNow        // the coolers and freezers
	Warm    []Incident       // nobody has closed them
	Reviews []Review         // holds that somebody has to look at again by today
	Owing   []Owing          // what the register still lacks, the oldest first
	Late    []Planned        // promised for a day the cut plan cannot keep
	Moved   []Moved          // promised anew, the owner not told yet
	ToCall  []Message        // owners no message reached, or who want a call
	Untold  []Untold         // owners the lead has to speak to
	Actions []ActionRow      // found out of its limit and not closed
	Devices []Thermometer    // the shop's hand thermometers
	Alarms  []Alarm          // nobody has said "I have it"
	Call    []Callable       // whom an alarm is told to, for whoever stands by a phone
	Sign    []SignatureDue   // past day 14, the lead's week not signed
	Bay     []NightFind      // found after hours, without their other half
	Freeze  []Piece          // heads, capes and hides due in the freezer
	Weights []WeightCall     // farmers who wait for the hanging weight
	Notices []Notice         // to be told because a rule says so
	MustGo  []MustGo         // may not be held much longer by a rule
	Letters []Uncollected    // the next step is a letter, or the owner's decision; none while the ladder is off
	Booked  []Booking        // for today, and those of the last days that nobody has said anything about
	Copies  BackupsSoFar     // of the records
	Unended time.Time        // yesterday, where something was done on it and nobody closed it
	Walked  RegisterCheck    // the register, by night
}

// Present is one animal in the shop's keeping, as far as the first page asks.
type Present struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Species    domain.Species
	Form       domain.Form
	ReceivedAt time.Time
	Physical   animal.Physical
	OrderState animal.OrderTrack
	PromisedOn *time.Time
	DeepC      *domain.Celsius // at the door
	Boxes      int             // in the freezer
	BoxedAt    *time.Time      // the first of them
	Held       bool
}

// RoundDue is a round that somebody has to walk.
type RoundDue struct {
	Room     string // as in the address of its page
	Label    string
	Kind     round.Part
	DueAt    time.Time
	ClosesAt time.Time
	State    round.State
	Lately   []round.State // how the room's rounds of the last week stand, in order of time
}

// RoomNow is a cooler or freezer and what its air calls for by its last reading;
// nil where it has none.
type RoomNow struct {
	Room    string
	Label   string
	Reading *exposure.Reading
	Finding cooler.Finding
	// Stops is the room without cooling from now on, where its air is too warm;
	// nil where it is not.
	Stops *cooler.Warmup
}

// Review is a hold that is due for a second look.
type Review struct {
	Number   domain.ShopNumber
	Species  domain.Species
	Kind     hold.Kind
	Why      string
	OpenedBy string // initials
	ReviewOn time.Time
}

// mostPresent bounds the animals the first page counts.
const mostPresent = 3000

// Today reads what needs a person now. Midnight is that of the shop's day: it
// bounds what counts as due today.
func (db *DB) Today(ctx context.Context, now time.Time) (t Today, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return t, err
	}
	rules, err := rulesHere(ctx, db.pool)
	if err != nil {
		return t, fmt.Errorf("today: %w", err)
	}
	day := now.In(shop.Location()).Format(time.DateOnly)
	for _, read := range []func() error{
		func() error { t.Hung, err = db.Hanging(ctx, now); return err },
		func() error { t.Stopped, err = db.StoppedAtTable(ctx, now); return err },
		func() error { t.InHouse, err = db.present(ctx); return err },
		func() error { t.Alarms, err = db.OpenAlarms(ctx); return err },
		func() error { t.Call, err = db.whomToCall(ctx, t.Alarms); return err },
		func() error { t.Rounds, err = db.roundsDue(ctx, now); return err },
		func() error { t.Rooms, err = db.roomsNow(ctx, now); return err },
		func() error { t.Warm, err = db.OpenIncidents(ctx); return err },
		func() error { t.Reviews, err = db.reviews(ctx, day); return err },
		func() error { t.Actions, err = db.OpenActions(ctx); return err },
		func() error { t.Devices, err = db.Thermometers(ctx); return err },
		func() error { t.Sign, err = db.signaturesDue(ctx, now); return err },
		func() error { t.Bay, err = db.OpenFinds(ctx); return err },
		func() error { t.Booked, err = db.bookedBy(ctx, day); return err },
		func() error { t.Freeze, err = db.toFreeze(ctx, now); return err },
		func() error { t.Weights, err = db.weightCalls(ctx); return err },
		func() error { t.Notices, err = db.OpenNotices(ctx); return err },
		func() error { t.Letters, err = db.lettersDue(ctx, now); return err },
		func() error { t.Owing, err = db.owedBy(ctx, rules); return err },
		func() error { t.Late, err = db.latePromises(ctx, t, now); return err },
		func() error { t.Unended, err = db.DayNotClosed(ctx, now); return err },
		func() error { t.Copies, err = db.BackupsSoFar(ctx); return err },
		func() error { t.Walked, _, err = db.LastRegisterCheck(ctx); return err },
		func() error { t.Moved, err = db.PromisesMoved(ctx); return err },
		func() error { t.ToCall, err = db.OwnersToCall(ctx); return err },
		func() error { t.Untold, err = db.untold(ctx, now); return err },
	} {
		if err := read(); err != nil {
			return t, fmt.Errorf("today: %w", err)
		}
	}
	t.MustGo = mustGo(rules, t.InHouse, now, shop.Location())
	return t, nil
}

func (db *DB) present(ctx context.Context) ([]Present, error) {
	return all[Present](ctx, db.pool, `
		SELECT a.id, a.number, a.species, a.form, a.received_at, a.physical, a.order_state, a.promised_on, a.deep_c,
		       coalesce(b.n, 0)::int AS boxes, b.first AS boxed_at, h.animal_id IS NOT NULL AS held
		FROM animals a
		LEFT JOIN (SELECT animal_id, count(*) AS n, min(placed_at) AS first FROM boxes
		           WHERE placed_at IS NOT NULL AND released_at IS NULL GROUP BY animal_id) b ON b.animal_id = a.id
		LEFT JOIN (SELECT DISTINCT animal_id FROM holds WHERE closed_at IS NULL) h ON h.animal_id = a.id
		WHERE a.physical IN ('arrived', 'received', 'chilling', 'hanging', 'on-table', 'split', 'stored', 'part-released', 'unclaimed')
		ORDER BY a.received_at, a.number LIMIT $1`, mostPresent)
}

// roundsDue lists the rounds whose window is open, and of each room the last one
// that was missed since a day, unless a round was walked there after it was due.
func (db *DB) roundsDue(ctx context.Context, now time.Time) ([]RoundDue, error) {
	return all[RoundDue](ctx, db.pool, `
		SELECT * FROM (
		  SELECT DISTINCT ON (d.cooler_id, d.state) c.name AS room, c.label, d.kind, d.due_at, d.closes_at, d.state,
		         ARRAY(SELECT e.state FROM due_rounds e WHERE e.cooler_id = d.cooler_id AND e.due_at BETWEEN $1::timestamptz - interval '7 days' AND $1
		               ORDER BY e.due_at) AS lately
		  FROM due_rounds d JOIN coolers c ON c.id = d.cooler_id
		  WHERE d.opens_at <= $1 AND d.closes_at > $1 - interval '24 hours'
		    AND (d.state = 'open'
		      OR d.state = 'missed' AND NOT EXISTS (SELECT FROM rounds w WHERE w.finished AND w.cooler_id = d.cooler_id AND w.walked_to > d.due_at))
		  ORDER BY d.cooler_id, d.state, d.due_at DESC) x
		ORDER BY due_at, room LIMIT 50`, now)
}

func (db *DB) roomsNow(ctx context.Context, now time.Time) ([]RoomNow, error) {
	rooms, err := db.Coolers(ctx)
	if err != nil {
		return nil, err
	}
	records, err := db.roomRecords(ctx, now)
	if err != nil {
		return nil, err
	}
	var list []RoomNow
	for _, r := range rooms {
		if r.Kind == "freezer" && records[r.ID] == nil {
			continue // a freezer nobody measures is seen to by its rounds
		}
		room := RoomNow{Room: r.Name, Label: r.Label}
		if record := records[r.ID]; record != nil {
			last := record.History().Last()
			room.Reading, room.Finding = &last, r.Finding(record.History(), now)
			if warm := room.Finding.Band; r.Kind == "cooler" && (warm == cooler.Incident || warm == cooler.Watch && last.C > r.Book.At(now).Warm) {
				if room.Stops, err = db.stops(ctx, r, records, now); err != nil {
					return nil, err
				}
			}
		}
		list = append(list, room)
	}
	return list, nil
}

func (db *DB) reviews(ctx context.Context, day string) ([]Review, error) {
	return all[Review](ctx, db.pool, `
		SELECT a.number, a.species, h.kind, h.reason AS why, s.initials AS opened_by, h.review_on
		FROM holds h JOIN animals a ON a.id = h.animal_id JOIN staff s ON s.id = h.opened_by
		WHERE h.closed_at IS NULL AND h.review_on <= $1::date ORDER BY h.review_on, h.opened_at LIMIT 500`, day)
}
