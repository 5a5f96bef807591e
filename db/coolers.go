package db

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
	"coldrail/domain/rail"

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

// AddCooler builds a room with its rails, as the shop is set up; each rail's Places
// become hooks or spots numbered from the door. BuildRoom is the same with a name
// under it.
func (db *DB) AddCooler(ctx context.Context, c Cooler, rails []Rail) (Cooler, error) {
	err := db.tx(ctx, "add cooler", func(tx pgx.Tx) (err error) {
		c.ID, err = buildRoom(ctx, tx, c, rails)
		return err
	})
	return c, err
}

// roomName is what stands in the address of a room's page.
var roomName = regexp.MustCompile(`^[a-z0-9-]{1,30}$`)

// BuildRoom builds a room with its rails in somebody's name.
func (db *DB) BuildRoom(ctx context.Context, act Act, c Cooler, rails []Rail) error {
	if err := c.check(); err != nil {
		return err
	}
	return db.act(ctx, act, "build room", func(tx pgx.Tx) (line, error) {
		var there bool
		if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM coolers WHERE name = $1)`, c.Name).Scan(&there); err != nil {
			return line{}, err
		}
		if there {
			return line{}, domain.Wrong("name", "There is a room called %s already.", c.Name)
		}
		id, err := buildRoom(ctx, tx, c, rails)
		return line{Cooler: id, What: "build-room", Detail: map[string]any{"rails": len(rails)}}, err
	})
}

func (c Cooler) check() error {
	inside := func(v, lo, hi float64) bool { return v >= lo && v <= hi } // not true of what is no number either
	switch {
	case !roomName.MatchString(c.Name):
		return domain.Wrong("name", "Give the room a short name of small letters, digits and dashes, such as main.")
	case strings.TrimSpace(c.Label) == "":
		return domain.Wrong("label", "Say what the room is called.")
	case c.Kind != "cooler" && c.Kind != "freezer":
		return domain.Wrong("kind", "Say whether it is a cooler or a freezer.")
	case !inside(float64(c.LengthM), 1, 100):
		return domain.Wrong("length", "A room is 1 to 100 m (3 to 328 ft) long.")
	case !inside(float64(c.WidthM), 1, 100):
		return domain.Wrong("width", "A room is 1 to 100 m (3 to 328 ft) wide.")
	case !inside(float64(c.HeightM), 1.5, 12):
		return domain.Wrong("height", "A room is 1.5 to 12 m (5 to 39 ft) high.")
	case c.Panel != "polyurethane" && c.Panel != "polystyrene":
		return domain.Wrong("panel", "Say what its walls are filled with.")
	case c.Fans < 0 || c.Fans > 50:
		return domain.Wrong("fans", "A room has 0 to 50 fans.")
	case !inside(c.FanW, 0, 20000):
		return domain.Wrong("fan_w", "All fans together draw 0 to 20,000 W.")
	case !inside(float64(c.OutsideC), -40, 60):
		return domain.Wrong("outside", "The air around it is -40 to 60 °C.")
	}
	return nil
}

func buildRoom(ctx context.Context, tx pgx.Tx, c Cooler, rails []Rail) (id int16, err error) {
	err = tx.QueryRow(ctx, `
		INSERT INTO coolers (name, label, kind, length_m, width_m, height_m, panel, ua_w_per_k, air_kj_per_k, fans, fan_w, outside_c)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) RETURNING id`,
		c.Name, c.Label, c.Kind, c.LengthM, c.WidthM, c.HeightM, c.Panel, c.UaWPerK, c.AirKjPerK, c.Fans, c.FanW, c.OutsideC).Scan(&id)
	if err != nil {
		return id, err
	}
	return id, addRails(ctx, tx, id, 0, rails)
}

// addRails adds rails behind the last one, which is last in order from the door.
func addRails(ctx context.Context, tx pgx.Tx, room int16, last int, rails []Rail) error {
	for i, r := range rails {
		_, err := tx.Exec(ctx, `
			WITH rail AS (
			  INSERT INTO rails (cooler_id, name, ord, kind, length_m) VALUES ($1, $2, $3, $4, $5) RETURNING id
			)
			INSERT INTO places (rail_id, position) SELECT rail.id, n FROM rail, generate_series(1, $6::int) AS n`,
			room, r.Name, last+i+1, r.Kind, r.LengthM, r.Places)
		if err != nil {
			return fmt.Errorf("rail %s: %w", r.Name, err)
		}
	}
	return nil
}

// HangMoreRails adds rails or shelves to a room, behind the last.
func (db *DB) HangMoreRails(ctx context.Context, act Act, name string, builds []rail.Build) error {
	return db.act(ctx, act, "hang more rails", func(tx pgx.Tx) (line, error) {
		var id int16
		err := tx.QueryRow(ctx, `SELECT id FROM coolers WHERE name = $1 FOR UPDATE`, name).Scan(&id)
		if err == pgx.ErrNoRows {
			return line{}, domain.Missing("There is no room called %s.", name)
		}
		if err != nil {
			return line{}, err
		}
		there, err := all[struct {
			Name string
			Ord  int
		}](ctx, tx, `SELECT name, ord FROM rails WHERE cooler_id = $1 ORDER BY ord`, id)
		if err != nil {
			return line{}, err
		}
		taken, last := make([]string, len(there)), 0
		for i, r := range there {
			taken[i], last = r.Name, r.Ord
		}
		more := BuiltRails(builds, taken)
		if len(there)+len(more) > 80 {
			return line{}, domain.Wrong("rails", "At most 80 rails and shelves in one room.")
		}
		return line{Cooler: id, What: "more-rails", Detail: map[string]any{"rails": len(more)}}, addRails(ctx, tx, id, last, more)
	})
}

// BuiltRails are the rails that builds make in a room that has the taken ones.
func BuiltRails(builds []rail.Build, taken []string) []Rail {
	names, of := rail.Named(builds, taken)
	rails := make([]Rail, len(names))
	for i, name := range names {
		rails[i] = Rail{Name: name, Kind: string(of[i].Kind), LengthM: of[i].Length(), Places: of[i].Places}
	}
	return rails
}
