package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/rail"

	"github.com/jackc/pgx/v5"
)

// IntakeDoor is one of the three doors and how it stands.
type IntakeDoor struct {
	Form   animal.Intake
	Closed bool
	Why    string
	At     time.Time
	By     string // initials
}

// IntakeDoors lists the doors that were ever closed or opened, as they stand.
func (db *DB) IntakeDoors(ctx context.Context) (map[animal.Intake]IntakeDoor, error) {
	list, err := all[IntakeDoor](ctx, db.pool, `
		SELECT DISTINCT ON (w.form) w.form, w.closed, w.why, w.at, s.initials AS by
		FROM intake_switches w JOIN staff s ON s.id = w.by_staff ORDER BY w.form, w.at DESC, w.id DESC LIMIT 3`)
	doors := map[animal.Intake]IntakeDoor{}
	for _, d := range list {
		doors[d.Form] = d
	}
	return doors, err
}

// intakeLock lets one person at a time close or open a door.
const intakeLock = 20260027

// closedNow is asked when an animal comes in: the door's last word.
const closedNow = `SELECT closed, why FROM intake_switches WHERE form = $1 ORDER BY at DESC, id DESC LIMIT 1`

type doorNow struct {
	Closed bool
	Why    string
}

// SwitchIntake closes one form of intake with a reason, or opens it again. Of two
// people who do the same at once the second is told who was first.
func (db *DB) SwitchIntake(ctx context.Context, act Act, form animal.Intake, closed bool, why string) error {
	why = tidy(why)
	if !slices.Contains(animal.Intakes, form) {
		return domain.Wrong("shape", "Choose whole animals, quarters or boned meat.")
	}
	if closed && why == "" {
		return domain.Wrong("why", "Say in a few words why, so that the counter can tell people.")
	}
	return db.act(ctx, act, "switch intake", func(tx pgx.Tx) (line, error) {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, int64(intakeLock)); err != nil {
			return line{}, err
		}
		stands, _, err := one[IntakeDoor](ctx, tx, `
			SELECT w.form, w.closed, w.why, w.at, s.initials AS by FROM intake_switches w JOIN staff s ON s.id = w.by_staff
			WHERE w.form = $1 ORDER BY w.at DESC, w.id DESC LIMIT 1`, form)
		if err != nil {
			return line{}, err
		}
		if stands.Closed == closed {
			return line{}, alreadySwitched(stands, form)
		}
		_, err = tx.Exec(ctx, `INSERT INTO intake_switches (id, form, closed, why, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`,
			act.ID, form, closed, why, act.At, act.Staff)
		what := "open-intake"
		if closed {
			what = "close-intake"
		}
		return line{What: what, Detail: map[string]any{"form": string(form), "why": why}}, err
	})
}

func alreadySwitched(d IntakeDoor, form animal.Intake) error {
	switch {
	case d.By == "":
		return domain.Taken("We take %s already.", form.Words())
	case d.Closed:
		return domain.Taken("That was closed already by %s, %s: %s.", d.By, d.At, d.Why)
	}
	return domain.Taken("That was opened again already by %s, %s.", d.By, d.At)
}

// Capacity is how full the coolers are.
type Capacity struct {
	Percent   int
	Free      int     // hooks with nothing on them
	Days      float64 // until full at the pace of the last week
	Fills     bool    // false: as much goes as comes
	InPerDay  float64
	OutPerDay float64
}

// NoRails reports whether there is nothing yet that could fill.
func (c Capacity) NoRails() bool { return c.Free == 0 && c.Percent == 0 }

// Soon reports whether the coolers are full by tomorrow, when the counter has to take
// in less.
func (c Capacity) Soon() bool { return c.Fills && c.Days < 2 && !c.NoRails() }

// FullOn is the day the coolers are full, counted from the shop's today; zero: none
// within the horizon of the plan.
func (c Capacity) FullOn(today time.Time) time.Time {
	if !c.Fills || c.Days > Horizon || c.NoRails() {
		return time.Time{}
	}
	return today.AddDate(0, 0, int(c.Days))
}

// Capacity reads how full the coolers are and when they will be full.
func (db *DB) Capacity(ctx context.Context, now time.Time) (c Capacity, err error) {
	hooks, err := hooks(ctx, db.pool)
	if err != nil {
		return c, err
	}
	for _, k := range hooks {
		if k.Number == nil {
			c.Free++
		}
	}
	err = db.pool.QueryRow(ctx, `
		SELECT (SELECT count(*) FROM occupancies WHERE since > $1 AND since <= $2) / 7.0::float8, (SELECT count(*) FROM occupancies WHERE until > $1 AND until <= $2) / 7.0::float8`,
		now.AddDate(0, 0, -7), now).Scan(&c.InPerDay, &c.OutPerDay)
	if err != nil {
		return c, translate(err)
	}
	rails, _ := asRails(hooks)
	c.Percent = int(rail.PercentFull(rails) + 0.5)
	c.Days, c.Fills = rail.DaysUntilFull(rails, c.InPerDay, c.OutPerDay)
	return c, nil
}
