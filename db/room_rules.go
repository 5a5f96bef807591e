package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"

	"github.com/jackc/pgx/v5"
)

// readBooks gives the rooms their own rules and their loadings.
func (db *DB) readBooks(ctx context.Context, q querier, rooms []Cooler) error {
	zone, _, err := one[struct{ Zone string }](ctx, q, `SELECT zone FROM shop`)
	if err != nil {
		return fmt.Errorf("room rules: %w", err)
	}
	type ruleRow struct {
		CoolerID   int16
		WarmC      domain.Celsius
		WarmMin    int
		TooWarmC   domain.Celsius
		TooWarmMin int
		FarTooC    domain.Celsius
		Defrosts   []int
		Reason, By string
		At         time.Time
	}
	rules, err := all[ruleRow](ctx, q, `
		SELECT r.cooler_id, r.warm_c, r.warm_min, r.too_warm_c, r.too_warm_min, r.far_too_c, r.defrosts, r.reason, s.initials AS by, r.at
		FROM room_rules r JOIN staff s ON s.id = r.by_staff ORDER BY r.at, r.id LIMIT 5000`)
	if err != nil {
		return fmt.Errorf("room rules: %w", err)
	}
	type loadingRow struct {
		CoolerID         int16
		BeginsAt, EndsAt time.Time
	}
	loadings, err := all[loadingRow](ctx, q, `SELECT cooler_id, begins_at, ends_at FROM loadings ORDER BY begins_at DESC LIMIT 2000`)
	if err != nil {
		return fmt.Errorf("loadings: %w", err)
	}
	for i := range rooms {
		book := cooler.Book{Zone: Shop{Zone: zone.Zone}.Location()}
		for _, r := range rules {
			if r.CoolerID == rooms[i].ID {
				l := cooler.Usual
				l.Warm, l.WarmFor, l.TooWarm = r.WarmC, time.Duration(r.WarmMin)*time.Minute, r.TooWarmC
				l.TooLong, l.FarToo = time.Duration(r.TooWarmMin)*time.Minute, r.FarTooC
				book.Rules = append(book.Rules, cooler.Rules{Limits: l, Defrosts: r.Defrosts, From: r.At, Reason: r.Reason, By: r.By})
			}
		}
		for _, l := range loadings {
			if l.CoolerID == rooms[i].ID {
				book.Loadings = append(book.Loadings, cooler.Window{From: l.BeginsAt, To: l.EndsAt})
			}
		}
		rooms[i].Book = book
	}
	return nil
}

// SetRules writes down a room's own limits and defrosts; they count from now on.
func (db *DB) SetRules(ctx context.Context, act Act, name string, r cooler.Rules) error {
	if err := r.Check(); err != nil {
		return err
	}
	return db.act(ctx, act, "set room rules", func(tx pgx.Tx) (line, error) {
		c, err := lockCooler(ctx, tx, name)
		switch {
		case err != nil:
			return line{}, err
		case c.Kind == "freezer":
			return line{}, domain.Refuse("rules", "A freezer has no such limits: its rounds see to it.")
		}
		defrosts := r.Defrosts
		if defrosts == nil {
			defrosts = []int{}
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO room_rules (id, cooler_id, warm_c, warm_min, too_warm_c, too_warm_min, far_too_c, defrosts, reason, at, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
			act.ID, c.ID, r.Warm, int(r.WarmFor.Minutes()), r.TooWarm, int(r.TooLong.Minutes()), r.FarToo, defrosts, r.Reason, act.At, act.Staff)
		return line{Cooler: c.ID, What: "room-rules", Detail: map[string]any{"far_too_c": float64(r.FarToo), "too_warm_c": float64(r.TooWarm),
			"too_warm_min": r.TooLong.Minutes(), "defrosts": len(defrosts), "reason": r.Reason}}, err
	})
}

// StartLoading opens a time in which the room's door stands open and its warm air
// is no incident.
func (db *DB) StartLoading(ctx context.Context, act Act, name string) error {
	return db.act(ctx, act, "start loading", func(tx pgx.Tx) (line, error) {
		c, err := lockCooler(ctx, tx, name)
		switch {
		case err != nil:
			return line{}, err
		case c.Kind == "freezer":
			return line{}, domain.Refuse("loading", "A freezer has no loading time: shut its door.")
		}
		rooms := []Cooler{c}
		if err := db.readBooks(ctx, tx, rooms); err != nil {
			return line{}, err
		}
		if err := rooms[0].Book.MayLoad(act.At); err != nil {
			return line{}, err
		}
		ends := act.At.Add(cooler.Usual.Excused)
		_, err = tx.Exec(ctx, `INSERT INTO loadings (id, cooler_id, begins_at, ends_at, by_staff) VALUES ($1, $2, $3, $4, $5)`, act.ID, c.ID, act.At, ends, act.Staff)
		return line{Cooler: c.ID, What: "loading", Detail: map[string]any{"until": ends.UTC().Format(time.RFC3339)}}, err
	})
}
