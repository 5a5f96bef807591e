package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Walk is the round that a step belongs to. Its id is made with the page, so that
// the steps of one round find each other in whatever order they arrive.
type Walk struct {
	ID      uuid.UUID
	Cooler  string    // the room's name
	Arrived time.Time // when the step reached the server; the act tells when it was made
}

// UnderWay is a round that was begun and not ended.
type UnderWay struct {
	ID         uuid.UUID
	WalkedFrom time.Time
	By         string // initials of who began it
	RoomAt     *time.Time
}

// RoundUnderWay finds the round being walked in a room; nil: none.
func (db *DB) RoundUnderWay(ctx context.Context, room int16, now time.Time) (*UnderWay, error) {
	u, found, err := one[UnderWay](ctx, db.pool, `
		SELECT r.id, r.walked_from, s.initials AS by, r.room_at FROM rounds r JOIN staff s ON s.id = r.by_staff
		WHERE r.cooler_id = $1 AND NOT r.finished AND r.walked_from BETWEEN $2 AND $3 ORDER BY r.walked_from DESC LIMIT 1`,
		room, now.Add(-round.LongestWalk), now.Add(time.Minute))
	if err != nil || !found {
		return nil, err
	}
	return &u, nil
}

// step is one act within a walk: the round's row stands and is locked while do
// runs, and takes the step's time into its own.
func (db *DB) step(ctx context.Context, act Act, w Walk, what string, do func(tx pgx.Tx, s stepping) (line, error)) error {
	room, err := db.Cooler(ctx, w.Cooler)
	if err != nil {
		return err
	}
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, what, func(tx pgx.Tx) (line, error) {
		begun, err := begin(ctx, tx, act, w, room)
		if err != nil {
			return line{}, err
		}
		return do(tx, stepping{room, shop, begun})
	})
}

// stepping is what a step stands on.
type stepping struct {
	room  Cooler
	shop  Shop
	begun begunRound
}

// begunRound is the row of a round under way.
type begunRound struct {
	CoolerID             int16
	WalkedFrom, WalkedTo time.Time
	Finished             bool
	OnPaper              bool
	RoomAt               *time.Time
}

func begin(ctx context.Context, tx pgx.Tx, act Act, w Walk, room Cooler) (b begunRound, err error) {
	if w.ID == uuid.Nil {
		return b, domain.Wrong("walk", "This form came in damaged. Open the round again.")
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO rounds (id, cooler_id, walked_from, walked_to, arrived_at, by_staff, device_id, finished)
		VALUES ($1, $2, $3, $3, $4, $5, $6, false) ON CONFLICT (id) DO NOTHING`,
		w.ID, room.ID, act.At, w.Arrived, act.Staff, orNull(act.Device))
	if err != nil {
		return b, err
	}
	b, _, err = one[begunRound](ctx, tx, `
		SELECT cooler_id, walked_from, walked_to, finished, on_paper, room_at FROM rounds WHERE id = $1 FOR UPDATE`, w.ID)
	switch {
	case err != nil:
		return b, err
	case b.CoolerID != room.ID || b.OnPaper:
		return b, domain.Wrong("walk", "This step belongs to the round of another room. Open the round again.")
	case b.Finished && act.At.After(b.WalkedTo):
		return b, domain.Taken("This round has been ended already. Open a new one.")
	}
	if err := (round.Walk{From: b.WalkedFrom, To: b.WalkedTo, Arrived: w.Arrived}).CheckStep(act.At); err != nil {
		return b, err
	}
	_, err = tx.Exec(ctx, `
		UPDATE rounds SET walked_from = least(walked_from, $2), walked_to = greatest(walked_to, $2), arrived_at = greatest(arrived_at, $3)
		WHERE id = $1 AND NOT finished`, w.ID, act.At, w.Arrived)
	return b, err
}

// CheckRoom keeps what was read and seen in the room itself. What is out of its
// limit opens a corrective action at once.
func (db *DB) CheckRoom(ctx context.Context, act Act, w Walk, r RoomCheck) error {
	return db.step(ctx, act, w, "check room", func(tx pgx.Tx, s stepping) (line, error) {
		if at := s.begun.RoomAt; at != nil {
			return line{}, domain.Taken("The room's list of this round was answered at %v already.", *at)
		}
		answers, err := r.checked(ctx, tx, s.room, act.At)
		if err != nil {
			return line{}, err
		}
		if err := r.write(ctx, tx, act, w.ID); err != nil {
			return line{}, err
		}
		if err := addHandReadings(ctx, tx, w.ID, s.shop, s.room, r, act.At); err != nil {
			return line{}, err
		}
		found, err := openActions(ctx, tx, act, w.ID, s.room, answers)
		d := map[string]any{"smell": string(r.Smell), "air_c": float64(*r.AirOwn)}
		if found > 0 {
			d["to_put_right"] = found
		}
		return line{Cooler: s.room.ID, What: "check-room", Detail: d}, err
	})
}

// checked is what the domain judges of the room, once it may be taken.
func (r RoomCheck) checked(ctx context.Context, tx pgx.Tx, room Cooler, at time.Time) (a round.Answers, err error) {
	hung, err := hangingAt(ctx, tx, room.ID, at)
	if err != nil {
		return a, err
	}
	a = r.answers(room, hung)
	if a.NewHours, err = newestHours(ctx, tx, room.ID, at); err != nil {
		return a, err
	}
	if err := a.CheckRoom(); err != nil || !r.Full {
		return a, err
	}
	return a, a.CheckFull()
}

// RoomCheck is what was read and seen in one room. A nil pointer means: not
// looked at.
type RoomCheck struct {
	AirPanel, AirOwn *domain.Celsius
	MeatOld, MeatNew *domain.Celsius
	FansRunning      *int
	Smell            round.Smell
	Humidity         *float64 // percent
	Full             bool     // the long list, once a day
	Right            map[string]bool
	Thermometer      int16 // 0: not said
	Comment          string
}

// answers is what the domain judges of the room; hung is how many carcasses
// hang there.
func (r RoomCheck) answers(room Cooler, hung int) round.Answers {
	return round.Answers{Freezer: room.Kind == "freezer", Panel: r.AirPanel, Independent: r.AirOwn, MeatOld: r.MeatOld, MeatNew: r.MeatNew,
		Smell: r.Smell, FansRunning: r.FansRunning, Fans: &room.Fans, Listed: &hung, Humidity: r.Humidity, Right: r.Right, Comment: r.Comment}
}

func (r RoomCheck) write(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) error {
	var thermometer *int16
	if r.Thermometer != 0 {
		if err := mayMeasure(ctx, tx, r.Thermometer, act.At); err != nil {
			return err
		}
		thermometer = &r.Thermometer
	}
	_, err := tx.Exec(ctx, `
		UPDATE rounds SET room_at = $2, air_panel_c = $3, air_own_c = $4, meat_old_c = $5, meat_new_c = $6, fans_running = $7, smell = $8,
		       humidity_pct = $9, full_list = $10, thermometer_id = $11, comment = $12 WHERE id = $1`,
		id, act.At, r.AirPanel, r.AirOwn, r.MeatOld, r.MeatNew, r.FansRunning, r.Smell, r.Humidity, r.Full, thermometer, strings.TrimSpace(r.Comment))
	if err != nil {
		return err
	}
	return addItems(ctx, tx, id, r.Right)
}

// addItems keeps the yes-or-no lines of the long list.
func addItems(ctx context.Context, tx pgx.Tx, id uuid.UUID, right map[string]bool) error {
	for item, ok := range right {
		if _, err := tx.Exec(ctx, `INSERT INTO round_items (round_id, item, is_right) VALUES ($1, $2, $3)`, id, item, ok); err != nil {
			return err
		}
	}
	return nil
}

// CountRail keeps what was counted on one rail and, where one carcass of it was
// touched, lets that one speak for it. A wrong count is no error: it opens a
// corrective action, and the tags are read.
func (db *DB) CountRail(ctx context.Context, act Act, w Walk, rail int16, counted int, touch *Look) error {
	if counted < 0 || counted > 999 {
		return domain.Wrong("count", "That count cannot be right. Count again.")
	}
	return db.step(ctx, act, w, "count rail", func(tx pgx.Tx, s stepping) (line, error) {
		before, found, err := one[CountedRail](ctx, tx, countedRails+`WHERE rc.round_id = $1 AND rc.rail_id = $2`, w.ID, rail)
		if err != nil {
			return line{}, err
		}
		if found {
			return line{}, domain.Taken("%s was counted at %v on this round already: %d.", before.Rail, before.At, before.Counted)
		}
		wrong, err := addCounts(ctx, tx, w.ID, s.room, Round{WalkedTo: act.At, Counts: []RailCount{{Rail: rail, Counted: counted, At: act.At}}})
		if err != nil {
			return line{}, err
		}
		d := map[string]any{"counted": counted}
		if len(wrong) > 0 {
			d["wrong_count"] = wrong[0]
			if err := openCounts(ctx, tx, act, w.ID, s.room.ID); err != nil {
				return line{}, err
			}
		}
		if touch != nil {
			err = addTouch(ctx, tx, act, w, s.room.ID, *touch)
		}
		return line{Cooler: s.room.ID, What: "count-rail", Detail: d}, err
	})
}

// addTouch keeps the touch of a rail: a look with its own line on its animal's
// time line.
func addTouch(ctx context.Context, tx pgx.Tx, act Act, w Walk, room int16, l Look) error {
	l.ID, l.Touched, l.At = uuid.NewSHA1(act.ID, []byte(l.Number)), true, act.At
	if err := l.Check(); err != nil {
		return err
	}
	one := act
	one.ID = w.ID // of the round: addLooks ties the look to it
	return addLooks(ctx, tx, one, round.Walk{From: act.At, To: act.At, Arrived: w.Arrived}, room, []Look{l})
}

// LookOnRound keeps one look at one carcass on a round. The act's id becomes the
// look's.
func (db *DB) LookOnRound(ctx context.Context, act Act, w Walk, number domain.ShopNumber, l Look) error {
	l.ID, l.Number, l.At = act.ID, number, act.At
	if err := l.Check(); err != nil {
		return err
	}
	return db.step(ctx, act, w, "look on round", func(tx pgx.Tx, s stepping) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		_, err = addLook(ctx, tx, act, &w.ID, w.Arrived, a, l)
		return l.line(a), err
	})
}

// EndRound ends the walk: only now does it count for the round that was due. What
// was left out is kept as left out.
func (db *DB) EndRound(ctx context.Context, act Act, w Walk) error {
	return db.step(ctx, act, w, "end round", func(tx pgx.Tx, s stepping) (line, error) {
		if s.begun.Finished {
			return line{}, domain.Taken("This round has been ended already. Open a new one.")
		}
		if s.begun.RoomAt == nil {
			return line{}, domain.Refuse("room", "The room itself has not been looked at yet: smell, temperatures and fans come first.")
		}
		walk := round.Walk{From: s.begun.WalkedFrom, To: act.At, Arrived: w.Arrived}
		due, state, err := settleDue(ctx, tx, s.shop, s.room.ID, walk, false)
		if err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `UPDATE rounds SET finished = true, due_id = $2, walked_to = $3 WHERE id = $1`, w.ID, due, act.At); err != nil {
			return line{}, err
		}
		var looks int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM looks WHERE round_id = $1`, w.ID).Scan(&looks); err != nil {
			return line{}, err
		}
		d := map[string]any{"looks": looks}
		if state != "" {
			d["round"] = string(state)
		}
		return line{Cooler: s.room.ID, What: "round", Detail: d}, nil
	})
}
