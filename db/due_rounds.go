package db

import (
	"context"
	"time"

	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// DueRound is one round that was or is due in a room.
type DueRound struct {
	ID       uuid.UUID
	CoolerID int16
	Kind     round.Part
	OpensAt  time.Time
	DueAt    time.Time
	ClosesAt time.Time
	State    round.State
	MissedAt *time.Time // kept when a walk made in time arrives later
}

const dueColumns = `id, cooler_id, kind, opens_at, due_at, closes_at, state, missed_at`

// longestAway is how far back a watch that was away writes down what it missed.
// A program that was off for longer was not in use: the shop was closed.
const longestAway = 30 * 24 * time.Hour

// WatchRounds does one minute's watch: rounds whose window has opened become
// rows in every room, also those of days on which the program was down, and
// those whose window closed unwalked become missed, with a line on the room's
// time line. Doing it again, or on two servers at once, changes nothing more.
func (db *DB) WatchRounds(ctx context.Context, now time.Time) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	rooms, err := db.Coolers(ctx)
	if err != nil {
		return err
	}
	return db.tx(ctx, "watch rounds", func(tx pgx.Tx) error {
		for _, room := range rooms {
			if err := openDue(ctx, tx, shop, room.ID, now); err != nil {
				return err
			}
		}
		return markMissed(ctx, tx, now)
	})
}

// hours are the shop's times of its two rounds.
func (s Shop) hours() round.Hours {
	return round.Hours{Morning: round.TimeOfDay(s.MorningRound.Minutes()), Evening: round.TimeOfDay(s.EveningRound.Minutes()), Half: s.RoundSlack}
}

// openDue writes a row for each window of the room that has opened since the
// last one written. A room seen for the first time begins with the window that
// is open now.
func openDue(ctx context.Context, tx pgx.Tx, shop Shop, room int16, now time.Time) error {
	var last *time.Time
	if err := tx.QueryRow(ctx, `SELECT max(closes_at) FROM due_rounds WHERE cooler_id = $1`, room).Scan(&last); err != nil {
		return err
	}
	hours := shop.hours()
	from := now.Add(-2 * hours.Half)
	if last != nil {
		from = *last
		if oldest := now.Add(-longestAway); from.Before(oldest) {
			from = oldest
		}
	}
	for _, w := range round.Windows(from, now.Add(time.Nanosecond), hours, shop.Location()) {
		_, err := tx.Exec(ctx, `
			INSERT INTO due_rounds (id, cooler_id, kind, opens_at, due_at, closes_at) VALUES ($1, $2, $3, $4, $5, $6)
			ON CONFLICT (cooler_id, due_at) DO NOTHING`, uuid.Must(uuid.NewV7()), room, w.Part, w.Opens, w.Due, w.Closes)
		if err != nil {
			return err
		}
	}
	return nil
}

// markMissed turns what closed unwalked into missed, at the moment it closed.
func markMissed(ctx context.Context, tx pgx.Tx, now time.Time) error {
	missed, err := all[DueRound](ctx, tx, `
		UPDATE due_rounds SET state = 'missed', missed_at = closes_at WHERE state = 'open' AND closes_at < $1 RETURNING `+dueColumns, now)
	if err != nil {
		return err
	}
	for _, d := range missed {
		// The due round's own id is the act: it can be missed only once.
		err := addLine(ctx, tx, Act{ID: d.ID, At: d.ClosesAt}, line{Cooler: d.CoolerID, What: "miss-round",
			Detail: map[string]any{"round": string(d.Kind), "due": d.DueAt}})
		if err != nil {
			return err
		}
	}
	return nil
}

// DueRounds lists the rounds of a room due since a moment, the latest first.
func (db *DB) DueRounds(ctx context.Context, room int16, since time.Time) ([]DueRound, error) {
	return all[DueRound](ctx, db.pool, `
		SELECT `+dueColumns+` FROM due_rounds WHERE cooler_id = $1 AND due_at >= $2 ORDER BY due_at DESC LIMIT 200`, room, since)
}

// OpenRounds lists what is due now, in every room.
func (db *DB) OpenRounds(ctx context.Context, now time.Time) ([]DueRound, error) {
	return all[DueRound](ctx, db.pool, `
		SELECT `+dueColumns+` FROM due_rounds WHERE state = 'open' AND closes_at >= $1 ORDER BY due_at, cooler_id LIMIT 100`, now)
}

// settleDue says which due round a walk belongs to and how that one stands with
// it. A walk outside any window is an extra: its due id is nil.
func settleDue(ctx context.Context, tx pgx.Tx, shop Shop, room int16, w round.Walk, onPaper bool) (*uuid.UUID, round.State, error) {
	if err := openDue(ctx, tx, shop, room, w.Arrived); err != nil {
		return nil, "", err
	}
	if err := markMissed(ctx, tx, w.Arrived); err != nil {
		return nil, "", err
	}
	due, found, err := one[DueRound](ctx, tx, `
		SELECT `+dueColumns+` FROM due_rounds WHERE cooler_id = $1 AND opens_at <= $2 ORDER BY opens_at DESC LIMIT 1 FOR UPDATE`, room, w.To)
	if err != nil || !found {
		return nil, "", err
	}
	// The row is the last that opened before the walk, so the next one opens after it.
	window := round.Window{Opens: due.OpensAt, Closes: due.ClosesAt, Next: w.To.Add(time.Nanosecond)}
	state := window.State([]round.Saved{{WalkedAt: w.To, ArrivedAt: w.Arrived, OnPaper: onPaper}}, w.Arrived)
	walked := due.State == round.Done || due.State == round.OnPaper || due.State == round.Late
	switch {
	case walked && state == round.Late:
		return nil, "", nil // that round has been walked: this is an extra look
	case due.State == round.Done || due.State == round.OnPaper && state != round.Done:
		return &due.ID, due.State, nil
	}
	_, err = tx.Exec(ctx, `UPDATE due_rounds SET state = $2 WHERE id = $1`, due.ID, state)
	return &due.ID, state, err
}
