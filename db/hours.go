package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/jackc/pgx/v5"
)

// RoundHours are the shop's times of its two rounds.
func (s Shop) RoundHours() round.Hours { return s.hours() }

// SetRoundHours sets the times of the two rounds, from the next window that has
// not opened yet. Seen are the times that whoever sets them saw: if somebody else
// was quicker they are told.
func (db *DB) SetRoundHours(ctx context.Context, act Act, h, seen round.Hours) error {
	if err := h.Check(); err != nil {
		return err
	}
	return db.act(ctx, act, "set hours", func(tx pgx.Tx) (line, error) {
		var was round.Hours
		var slack int
		err := tx.QueryRow(ctx, `
			SELECT extract(epoch FROM morning_round)::int / 60, extract(epoch FROM evening_round)::int / 60, round_slack_min
			FROM shop FOR UPDATE`).Scan(&was.Morning, &was.Evening, &slack)
		if err != nil {
			return line{}, err
		}
		was.Half = time.Duration(slack) * time.Minute
		if was != seen {
			return line{}, domain.Taken("Somebody else has just set the times: %s and %s. Look again.", was.Morning.Clock(), was.Evening.Clock())
		}
		_, err = tx.Exec(ctx, `
			UPDATE shop SET morning_round = '00:00'::time + make_interval(mins => $1), evening_round = '00:00'::time + make_interval(mins => $2), round_slack_min = $3`,
			int(h.Morning), int(h.Evening), int(h.Half.Minutes()))
		return line{What: "set-hours", Detail: map[string]any{"morning": h.Morning.Clock(), "evening": h.Evening.Clock(), "slack_min": int(h.Half.Minutes()),
			"was_morning": was.Morning.Clock(), "was_evening": was.Evening.Clock(), "was_slack_min": slack}}, err
	})
}

// HoursSet is one change of the rounds' times.
type HoursSet struct {
	At                                       time.Time
	By                                       string // initials
	Morning, Evening, WasMorning, WasEvening string
	SlackMin, WasSlackMin                    int
}

// HoursHistory lists the changes of the rounds' times, the latest first.
func (db *DB) HoursHistory(ctx context.Context) ([]HoursSet, error) {
	return all[HoursSet](ctx, db.pool, `
		SELECT t.at, s.initials AS by, t.detail->>'morning' AS morning, t.detail->>'evening' AS evening, t.detail->>'was_morning' AS was_morning,
		       t.detail->>'was_evening' AS was_evening, (t.detail->>'slack_min')::int AS slack_min, (t.detail->>'was_slack_min')::int AS was_slack_min
		FROM time_line t JOIN staff s ON s.id = t.by_staff WHERE t.what = 'set-hours' ORDER BY t.seq DESC LIMIT 50`)
}
