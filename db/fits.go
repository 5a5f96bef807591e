package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// FitRoom finds a room's heat numbers from the warm-up its record shows between
// two moments, with what hung there then.
func (db *DB) FitRoom(ctx context.Context, room Cooler, from, to, now time.Time) (cooler.Fit, error) {
	records, err := db.roomRecords(ctx, now)
	if err != nil {
		return cooler.Fit{}, fmt.Errorf("fit room: %w", err)
	}
	record := records[room.ID]
	if record == nil || !to.After(from) {
		return cooler.Fit{}, domain.Refuse("fit", "There is no warm-up between these two moments.")
	}
	meat, err := db.meatIn(ctx, room, records, from)
	if err != nil {
		return cooler.Fit{}, fmt.Errorf("fit room: %w", err)
	}
	h := record.History()
	return cooler.FitRoom(h.Within(from, to), room.warmup(h.At(from), meat))
}

// meatIn is what hung in a room at a moment and how warm it was.
func (db *DB) meatIn(ctx context.Context, room Cooler, records map[int16]*exposure.Room, at time.Time) (map[uuid.UUID]then, error) {
	f := IncidentFile{Incident: Incident{CoolerID: room.ID, BeganAt: at}}
	var err error
	if f.Animals, err = db.affected(ctx, f.Incident, at); err != nil {
		return nil, err
	}
	which := make([]asked, len(f.Animals))
	for i, a := range f.Animals {
		which[i] = asked{a.ID, a.Revision}
	}
	facts, err := db.refresh(ctx, which)
	if err != nil {
		return nil, err
	}
	return f.meatThen(facts, records, at), nil
}

// stops is a room and what hangs in it without cooling from now on.
func (db *DB) stops(ctx context.Context, room Cooler, records map[int16]*exposure.Room, now time.Time) (*cooler.Warmup, error) {
	meat, err := db.meatIn(ctx, room, records, now)
	if err != nil {
		return nil, fmt.Errorf("if cooling stops: %w", err)
	}
	w := room.warmup(records[room.ID].History().Last().C, meat)
	return &w, nil
}

// AcceptedFit is a fit somebody took over for a room.
type AcceptedFit struct {
	What string // fit, or fit-dropped
	At   time.Time
	By   string // initials
	Fit  struct {
		UA       float64 `json:"ua_w_per_k"`
		UAError  float64 `json:"ua_error"`
		Air      float64 `json:"air_kj_per_k"`
		AirError float64 `json:"air_error"`
		Fan      float64 `json:"fan_w"`
		FanError float64 `json:"fan_error"`
		Residual float64 `json:"residual_k"`
		Readings int     `json:"readings"`
		// What the room counted with before; nil: by panel and size.
		UABefore  *float64 `json:"ua_before"`
		AirBefore *float64 `json:"air_before"`
		FanBefore float64  `json:"fan_before"`
	}
}

// LastFit returns the fit a room counts with; found is false where it has none.
func (db *DB) LastFit(ctx context.Context, room int16) (f AcceptedFit, found bool, err error) {
	f, found, err = lastFit(ctx, db.pool, room)
	return f, found && f.What == "fit", err
}

func lastFit(ctx context.Context, q querier, room int16) (AcceptedFit, bool, error) {
	return one[AcceptedFit](ctx, q, `
		SELECT t.what, t.at, s.initials AS by, t.detail AS fit FROM time_line t JOIN staff s ON s.id = t.by_staff
		WHERE t.cooler_id = $1 AND t.what IN ('fit', 'fit-dropped') ORDER BY t.seq DESC LIMIT 1`, room)
}

// lockCooler takes a room's row.
func lockCooler(ctx context.Context, tx pgx.Tx, name string) (Cooler, error) {
	c, found, err := one[Cooler](ctx, tx, `SELECT `+coolerColumns+` FROM coolers WHERE name = $1 FOR UPDATE`, name)
	if err == nil && !found {
		err = domain.Missing("There is no room called %s.", name)
	}
	return c, err
}

// AcceptFit takes over the heat numbers that a warm-up in the record gives: from
// now on "if cooling stops now" counts with them.
func (db *DB) AcceptFit(ctx context.Context, act Act, name string, from, to time.Time) error {
	room, err := db.Cooler(ctx, name)
	if err != nil {
		return err
	}
	f, err := db.FitRoom(ctx, room, from, to, act.At)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "accept fit", func(tx pgx.Tx) (line, error) {
		c, err := lockCooler(ctx, tx, name)
		if err != nil {
			return line{}, err
		}
		if last, found, err := lastFit(ctx, tx, c.ID); err != nil || found && last.What == "fit" {
			if err == nil {
				err = domain.Taken("%s took over heat numbers for this room already. Take those back first.", last.By)
			}
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE coolers SET ua_w_per_k = $2, air_kj_per_k = $3, fan_w = $4 WHERE id = $1`, c.ID, f.UA.Value, f.Air.Value, f.Fan.Value)
		return line{Cooler: c.ID, What: "fit", Detail: map[string]any{
			"ua_w_per_k": f.UA.Value, "ua_error": f.UA.Error, "air_kj_per_k": f.Air.Value, "air_error": f.Air.Error, "fan_w": f.Fan.Value, "fan_error": f.Fan.Error,
			"residual_k": float64(f.Residual), "readings": f.Readings, "from": f.From.Format(time.RFC3339), "to": f.To.Format(time.RFC3339),
			"ua_before": c.UaWPerK, "air_before": c.AirKjPerK, "fan_before": c.FanW}}, err
	})
}

// DropFit goes back to what the room counted with before its fit.
func (db *DB) DropFit(ctx context.Context, act Act, name string) error {
	return db.act(ctx, act, "drop fit", func(tx pgx.Tx) (line, error) {
		c, err := lockCooler(ctx, tx, name)
		if err != nil {
			return line{}, err
		}
		last, found, err := lastFit(ctx, tx, c.ID)
		if err != nil {
			return line{}, err
		}
		if !found || last.What != "fit" {
			return line{}, domain.Refuse("fit", "This room uses no heat numbers of its own. Nothing was changed.")
		}
		_, err = tx.Exec(ctx, `UPDATE coolers SET ua_w_per_k = $2, air_kj_per_k = $3, fan_w = $4 WHERE id = $1`,
			c.ID, last.Fit.UABefore, last.Fit.AirBefore, last.Fit.FanBefore)
		return line{Cooler: c.ID, What: "fit-dropped"}, err
	})
}

// WarmUps lists the stretches a fit could be made from: the room's
// incidents, each from the moment it passed 40 °F to its warmest reading.
func (db *DB) WarmUps(ctx context.Context, room Cooler, now time.Time) ([]cooler.Span, error) {
	records, err := db.roomRecords(ctx, now)
	if err != nil || records[room.ID] == nil {
		return nil, err
	}
	return room.Book.Spans(records[room.ID].History(), now.AddDate(0, 0, -roomDays), now), nil
}
