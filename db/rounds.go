package db

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Round is one round as it was walked. Its id is that of the act, made on the
// device. A nil pointer means: not looked at.
type Round struct {
	Cooler     string // the room's name
	WalkedFrom time.Time
	WalkedTo   time.Time
	RoomCheck  // what was read and seen of the room itself
	Counts     []RailCount
	Looks      []Look
	OnPaper    bool      // typed in from a sheet after an outage
	By         uuid.UUID // who walked it; zero: whoever enters it
	Sheet      []byte    // a small JPEG of the sheet it was written on; nil: none was taken
}

// RailCount is how many were counted on a rail. What the list said there is
// added by SaveRound, from where everything hung at that moment.
type RailCount struct {
	Rail    int16
	Counted int
	At      time.Time // zero: when the round ended
}

// Look is one look at one carcass; the id is made on the device.
type Look struct {
	ID     uuid.UUID
	Number domain.ShopNumber
	round.Look
	Touched bool // by hand: its surface may speak for the rail
	Note    string
	Photo   []byte // a small JPEG; nil: none was taken
}

// SaveRound keeps a round that was walked: what was measured, what was counted
// and every look. A round walked in its window counts as done however late it
// arrives. A wrong count is no error: it is kept, and WalkedRound names it.
func (db *DB) SaveRound(ctx context.Context, act Act, r Round) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	room, err := db.Cooler(ctx, r.Cooler)
	if err != nil {
		return err
	}
	walk := round.Walk{From: r.WalkedFrom, To: r.WalkedTo, Arrived: act.Arrival()}
	if err := r.check(walk); err != nil {
		return err
	}
	if r.By == uuid.Nil {
		r.By = act.Staff
	}
	act.At = r.WalkedTo // the time line tells when it was done; entered_at when it came
	return db.act(ctx, act, "round", func(tx pgx.Tx) (line, error) {
		listed, err := hangingAt(ctx, tx, room.ID, r.WalkedTo)
		if err != nil {
			return line{}, err
		}
		if err := r.checkRoom(room, listed); err != nil {
			return line{}, err
		}
		due, state, err := settleDue(ctx, tx, shop, room.ID, walk, r.OnPaper)
		if err != nil {
			return line{}, err
		}
		if err := addRound(ctx, tx, act, room.ID, due, walk, r); err != nil {
			return line{}, err
		}
		if err := addSheet(ctx, tx, act, r); err != nil {
			return line{}, err
		}
		wrong, err := addCounts(ctx, tx, act.ID, room, r)
		if err != nil {
			return line{}, err
		}
		if err := addHandReadings(ctx, tx, act.ID, shop, room, r.RoomCheck, r.WalkedTo); err != nil {
			return line{}, err
		}
		walker := act
		walker.Staff = r.By
		if err := addLooks(ctx, tx, walker, walk, room.ID, r.Looks); err != nil {
			return line{}, err
		}
		if err := r.openActions(ctx, tx, walker, room, listed); err != nil {
			return line{}, err
		}
		return line{Cooler: room.ID, What: "round", Detail: r.detail(state, wrong)}, nil
	})
}

// check looks at the times and at each look, before anything is written.
func (r Round) check(walk round.Walk) error {
	timely := walk.Check
	if r.OnPaper {
		timely = walk.CheckPaper
	}
	if err := timely(); err != nil {
		return err
	}
	counted := map[int16]bool{}
	for _, c := range r.Counts {
		switch {
		case c.Counted < 0 || c.Counted > 999:
			return domain.Wrong(round.ItemCount, "That count cannot be right. Count again.")
		case counted[c.Rail]:
			return domain.Wrong(round.ItemCount, "The same rail was counted twice. Keep one of the two counts.")
		case !c.At.IsZero() && walk.CheckLook(c.At) != nil:
			return domain.Wrong(round.ItemCount, "That count was not made during its round. Count again.")
		}
		counted[c.Rail] = true
	}
	for _, l := range r.Looks {
		if l.ID == uuid.Nil {
			return fmt.Errorf("round: the look at %s has no id", l.Number)
		}
		if err := l.Check(); err != nil {
			return err
		}
		if err := walk.CheckLook(l.At); err != nil {
			return err
		}
	}
	return nil
}

// checkRoom says whether the room's list can be true and has all its lines.
func (r Round) checkRoom(room Cooler, listed int) error {
	answers := r.answers(room, listed)
	if err := answers.Check(); err != nil || !r.Full {
		return err
	}
	return answers.CheckFull()
}

// answers is what the domain judges of the room and its count; listed is how many
// hung there.
func (r Round) answers(room Cooler, listed int) round.Answers {
	counted := 0
	for _, c := range r.Counts {
		counted += c.Counted
	}
	a := r.RoomCheck.answers(room, listed)
	a.Counted = &counted
	return a
}

// detail is what the room's time line tells of the round.
func (r Round) detail(state round.State, wrong []string) map[string]any {
	d := map[string]any{"looks": len(r.Looks), "smell": string(r.Smell)}
	if state != "" {
		d["round"] = string(state)
	}
	if r.AirOwn != nil {
		d["air_c"] = float64(*r.AirOwn)
	}
	if len(wrong) > 0 {
		d["wrong_count"] = strings.Join(wrong, ", ")
	}
	return d
}

func addRound(ctx context.Context, tx pgx.Tx, act Act, room int16, due *uuid.UUID, walk round.Walk, r Round) error {
	var enteredBy *uuid.UUID
	if r.OnPaper {
		enteredBy = &act.Staff
	}
	_, err := tx.Exec(ctx, `
		INSERT INTO rounds (id, cooler_id, due_id, walked_from, walked_to, arrived_at, by_staff, device_id, on_paper, entered_by)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		act.ID, room, due, walk.From, walk.To, walk.Arrived, r.By, orNull(act.Device), r.OnPaper, enteredBy)
	if err != nil {
		return err
	}
	return r.write(ctx, tx, act, act.ID)
}

// addCounts keeps each rail's count beside what hung there at that moment. It
// names the rails that do not agree.
func addCounts(ctx context.Context, tx pgx.Tx, id uuid.UUID, room Cooler, r Round) (wrong []string, err error) {
	for _, c := range r.Counts {
		if c.At.IsZero() {
			c.At = r.WalkedTo
		}
		var rail string
		var expected int
		err := tx.QueryRow(ctx, `
			INSERT INTO rail_counts (round_id, rail_id, expected, counted, at)
			SELECT $1, r.id, (SELECT count(*) FROM occupancies o JOIN places p ON p.id = o.place_id
			                  WHERE p.rail_id = r.id AND o.since <= $4 AND (o.until IS NULL OR o.until > $4)), $3, $4
			FROM rails r WHERE r.id = $2 AND r.cooler_id = $5
			RETURNING expected, (SELECT name FROM rails WHERE id = $2)`, id, c.Rail, c.Counted, c.At, room.ID).Scan(&expected, &rail)
		if err == pgx.ErrNoRows {
			return nil, domain.Wrong(round.ItemCount, "One of the rails counted is not in this room. Open the round again.")
		}
		if err != nil {
			return nil, err
		}
		if expected != c.Counted {
			wrong = append(wrong, fmt.Sprintf("%s: %d counted, %d on the list", rail, c.Counted, expected))
		}
	}
	return wrong, nil
}

// hangingAt is how many hung in the room at a moment.
func hangingAt(ctx context.Context, tx pgx.Tx, room int16, at time.Time) (n int, err error) {
	err = tx.QueryRow(ctx, `
		SELECT count(*) FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id
		WHERE r.cooler_id = $1 AND o.since <= $2 AND (o.until IS NULL OR o.until > $2)`, room, at).Scan(&n)
	return n, err
}

// addLooks keeps the looks of a round, each with its own line on its animal's
// time line, and lets a touched carcass speak for its rail.
func addLooks(ctx context.Context, tx pgx.Tx, act Act, walk round.Walk, room int16, looks []Look) error {
	if err := lockRoom(ctx, tx, room, looks); err != nil {
		return err
	}
	for _, l := range looks {
		a, err := lockAnimal(ctx, tx, l.Number)
		if err != nil {
			return err
		}
		added, err := addLook(ctx, tx, act, &act.ID, walk.Arrived, a, l)
		if err != nil {
			return err
		}
		if !added {
			continue // it came with an earlier round or by itself
		}
		one := act
		one.ID, one.At = l.ID, l.At
		if err := addLine(ctx, tx, one, l.line(a)); err != nil {
			return err
		}
	}
	for _, l := range looks {
		if l.Touched {
			if err := spreadTouch(ctx, tx, act.ID, room, l); err != nil {
				return err
			}
		}
	}
	return nil
}

// lockRoom locks every animal that the looks or their touches may change, in the
// order of the numbers, so that two rounds at once wait for each other rather
// than stop each other.
func lockRoom(ctx context.Context, tx pgx.Tx, room int16, looks []Look) error {
	numbers := make([]string, len(looks))
	for i, l := range looks {
		numbers[i] = string(l.Number)
	}
	touched := slices.ContainsFunc(looks, func(l Look) bool { return l.Touched })
	_, err := tx.Exec(ctx, `
		SELECT FROM animals a
		WHERE a.number = ANY ($1) OR $2 AND a.id IN (
		  SELECT o.animal_id FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id
		  WHERE r.cooler_id = $3 AND (o.until IS NULL OR o.until > now() - interval '7 days'))
		ORDER BY a.number FOR UPDATE`, numbers, touched, room)
	return err
}

// WalkedRound is a round as it stands in the records.
type WalkedRound struct {
	ID                                 uuid.UUID
	Cooler                             string
	DueID                              *uuid.UUID  // nil: an extra look
	DueKind                            round.Part  // "": an extra look
	DueState                           round.State // of the due round it belongs to
	MissedAt                           *time.Time
	WalkedFrom, WalkedTo, ArrivedAt    time.Time
	By                                 string // initials
	AirPanelC, AirOwnC                 *domain.Celsius
	MeatOldC, MeatNewC                 *domain.Celsius
	FansRunning                        *int
	Smell                              round.Smell
	Comment                            string
	OnPaper                            bool
	EnteredBy                          string   // initials of who typed the sheet in
	FullList                           bool     // the long list was answered
	HumidityPct                        *float64 // percent
	Thermometer                        string   // the independent one
	Expected, Counted, WrongRails, Saw int
	Wrong                              []string // yes-or-no lines that were not right
}

// walkedRounds reads rounds with what was counted and how many were looked at.
const walkedRounds = `
	SELECT w.id, c.name AS cooler, w.due_id, coalesce(d.kind, '') AS due_kind, coalesce(d.state, '') AS due_state, d.missed_at,
	       w.walked_from, w.walked_to, w.arrived_at, s.initials AS by, w.air_panel_c, w.air_own_c, w.meat_old_c, w.meat_new_c,
	       w.fans_running, w.smell, w.comment, w.on_paper, coalesce(e.initials, '') AS entered_by, w.full_list, w.humidity_pct,
	       coalesce(th.name, '') AS thermometer, coalesce(n.expected, 0)::int AS expected, coalesce(n.counted, 0)::int AS counted,
	       coalesce(n.wrong, 0)::int AS wrong_rails, (SELECT count(*) FROM looks l WHERE l.round_id = w.id)::int AS saw,
	       ARRAY(SELECT i.item FROM round_items i WHERE i.round_id = w.id AND NOT i.is_right ORDER BY i.item) AS wrong
	FROM rounds w JOIN coolers c ON c.id = w.cooler_id JOIN staff s ON s.id = w.by_staff LEFT JOIN due_rounds d ON d.id = w.due_id
	LEFT JOIN staff e ON e.id = w.entered_by LEFT JOIN thermometers th ON th.id = w.thermometer_id
	LEFT JOIN LATERAL (SELECT sum(expected) AS expected, sum(counted) AS counted, count(*) FILTER (WHERE expected <> counted) AS wrong
	                   FROM rail_counts rc WHERE rc.round_id = w.id) n ON true `

// WalkedRound finds a round by its id.
func (db *DB) WalkedRound(ctx context.Context, id uuid.UUID) (WalkedRound, error) {
	w, found, err := one[WalkedRound](ctx, db.pool, walkedRounds+`WHERE w.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("That round is not in the records.")
	}
	return w, err
}

// WalkedRounds lists the rounds walked in a room since a moment, latest first.
func (db *DB) WalkedRounds(ctx context.Context, room int16, since time.Time) ([]WalkedRound, error) {
	return all[WalkedRound](ctx, db.pool, walkedRounds+`WHERE w.finished AND w.cooler_id = $1 AND w.walked_to >= $2 ORDER BY w.walked_to DESC LIMIT 200`, room, since)
}

// CountedRail is what was counted on one rail of a round.
type CountedRail struct {
	RailID            int16
	Rail              string
	Expected, Counted int
	At                time.Time
	Read              bool // its tags were read one by one
}

// CountedRails lists the counts of a round, from the door.
func (db *DB) CountedRails(ctx context.Context, id uuid.UUID) ([]CountedRail, error) {
	return all[CountedRail](ctx, db.pool, countedRails+`WHERE rc.round_id = $1 ORDER BY r.ord`, id)
}

const countedRails = `
	SELECT rc.rail_id, r.name AS rail, rc.expected, rc.counted, rc.at,
	       EXISTS (SELECT FROM tag_reads t WHERE t.round_id = rc.round_id AND t.rail_id = rc.rail_id) AS read
	FROM rail_counts rc JOIN rails r ON r.id = rc.rail_id `

// Answers is what the domain judges of the round; newest is how many hours the
// newest carcass had been in the room.
func (w WalkedRound) Answers(room Cooler, newest float64) round.Answers {
	right := map[string]bool{}
	for _, item := range w.Wrong {
		right[item] = false
	}
	return round.Answers{Freezer: room.Kind == "freezer", Humidity: w.HumidityPct, Right: right, Panel: w.AirPanelC, Independent: w.AirOwnC, MeatOld: w.MeatOldC, MeatNew: w.MeatNewC,
		NewHours: newest, Smell: w.Smell, FansRunning: w.FansRunning, Fans: &room.Fans, Counted: &w.Counted, Listed: &w.Expected, Comment: w.Comment}
}
