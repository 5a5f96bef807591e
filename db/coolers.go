package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"

	"github.com/jackc/pgx/v5"
)

// Cooler is a room that holds animals or boxes.
type Cooler struct {
	ID        int16
	Name      string // as in the address of its page
	Label     string
	Kind      string // cooler or freezer
	LengthM   domain.Metre
	WidthM    domain.Metre
	HeightM   domain.Metre
	Panel     string   // polyurethane or polystyrene
	UaWPerK   *float64 // nil: by panel and size
	AirKjPerK *float64 // nil: by size
	Fans      int
	FanW      float64 // all fans together
	OutsideC  domain.Celsius

	Book cooler.Book `db:"-"` // its own rules and loadings; empty where a list leaves them out
}

const coolerColumns = `id, name, label, kind, length_m, width_m, height_m, panel, ua_w_per_k, air_kj_per_k, fans, fan_w, outside_c`

// Rail is one rail or shelf of a cooler.
type Rail struct {
	ID       int16
	CoolerID int16
	Name     string
	Ord      int    // from the door
	Kind     string // bare, hide-on, livestock, hold or shelf
	LengthM  domain.Metre
	Places   int
}

// Finding is what the room's air calls for at now, a freezer's by its last
// reading alone.
func (c Cooler) Finding(h *exposure.History, now time.Time) cooler.Finding {
	if c.Kind != "freezer" {
		return c.Book.Finding(h, now)
	}
	return cooler.Frozen(h, now)
}

// Coolers lists the rooms, coolers first.
func (db *DB) Coolers(ctx context.Context) ([]Cooler, error) {
	rooms, err := all[Cooler](ctx, db.pool, `SELECT `+coolerColumns+` FROM coolers ORDER BY kind, id`)
	if err != nil {
		return nil, err
	}
	return rooms, db.readBooks(ctx, db.pool, rooms)
}

// Cooler finds a room by the name in its address.
func (db *DB) Cooler(ctx context.Context, name string) (Cooler, error) {
	c, found, err := one[Cooler](ctx, db.pool, `SELECT `+coolerColumns+` FROM coolers WHERE name = $1`, name)
	if err == nil && !found {
		err = domain.Missing("There is no room called %s.", name)
	}
	if err != nil {
		return c, err
	}
	rooms := []Cooler{c}
	err = db.readBooks(ctx, db.pool, rooms)
	return rooms[0], err
}

// Rails lists every rail and shelf, room by room from the door.
func (db *DB) Rails(ctx context.Context) ([]Rail, error) {
	return all[Rail](ctx, db.pool, `
		SELECT r.id, r.cooler_id, r.name, r.ord, r.kind, r.length_m, (SELECT count(*) FROM places p WHERE p.rail_id = r.id) AS places
		FROM rails r ORDER BY r.cooler_id, r.ord`)
}

// AddCooler builds a room with its rails; each rail's Places become hooks or
// spots numbered from the door.
func (db *DB) AddCooler(ctx context.Context, c Cooler, rails []Rail) (Cooler, error) {
	err := db.tx(ctx, "add cooler", func(tx pgx.Tx) error {
		err := tx.QueryRow(ctx, `
			INSERT INTO coolers (name, label, kind, length_m, width_m, height_m, panel, ua_w_per_k, air_kj_per_k, fans, fan_w, outside_c)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) RETURNING id`,
			c.Name, c.Label, c.Kind, c.LengthM, c.WidthM, c.HeightM, c.Panel, c.UaWPerK, c.AirKjPerK, c.Fans, c.FanW, c.OutsideC).Scan(&c.ID)
		if err != nil {
			return err
		}
		for i, r := range rails {
			_, err := tx.Exec(ctx, `
				WITH rail AS (
				  INSERT INTO rails (cooler_id, name, ord, kind, length_m) VALUES ($1, $2, $3, $4, $5) RETURNING id
				)
				INSERT INTO places (rail_id, position) SELECT rail.id, n FROM rail, generate_series(1, $6::int) AS n`,
				c.ID, r.Name, i+1, r.Kind, r.LengthM, r.Places)
			if err != nil {
				return fmt.Errorf("rail %s: %w", r.Name, err)
			}
		}
		return nil
	})
	return c, err
}
