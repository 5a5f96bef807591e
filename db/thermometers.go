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

// Thermometer is one hand thermometer and its last check in ice water.
type Thermometer struct {
	ID        int16
	Name      string
	AddedAt   time.Time
	RetiredAt *time.Time
	CheckID   *uuid.UUID
	CheckedAt *time.Time
	ReadingC  *domain.Celsius
	CheckedBy string // initials
	Open      int    // rounds to be looked at again
}

// Last is its last ice check; nil: none yet.
func (t Thermometer) Last() *round.IceCheck {
	if t.CheckedAt == nil {
		return nil
	}
	return &round.IceCheck{At: *t.CheckedAt, Reading: *t.ReadingC}
}

const thermometerRows = `
	SELECT t.id, t.name, t.added_at, t.retired_at, i.id AS check_id, i.at AS checked_at, i.reading_c, coalesce(s.initials, '') AS checked_by,
	       (SELECT count(*) FROM look_backs b JOIN ice_checks c ON c.id = b.ice_check_id WHERE c.thermometer_id = t.id AND b.seen_at IS NULL)::int AS open
	FROM thermometers t
	LEFT JOIN LATERAL (SELECT id, at, reading_c, by_staff FROM ice_checks WHERE thermometer_id = t.id ORDER BY at DESC, id DESC LIMIT 1) i ON true
	LEFT JOIN staff s ON s.id = i.by_staff `

// Thermometers lists the shop's hand thermometers, those in use first.
func (db *DB) Thermometers(ctx context.Context) ([]Thermometer, error) {
	return all[Thermometer](ctx, db.pool, thermometerRows+`ORDER BY t.retired_at IS NOT NULL, t.name LIMIT 100`)
}

// Thermometer finds one of them.
func (db *DB) Thermometer(ctx context.Context, id int16) (Thermometer, error) {
	t, found, err := one[Thermometer](ctx, db.pool, thermometerRows+`WHERE t.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("There is no such thermometer.")
	}
	return t, err
}

// AddThermometer takes a thermometer into use. It is checked in ice water before
// its first round.
func (db *DB) AddThermometer(ctx context.Context, act Act, name string) error {
	name = strings.TrimSpace(name)
	if name == "" || len(name) > 60 {
		return domain.Wrong("thermometer", "Give the thermometer a short name that stands on it too, such as T1.")
	}
	return db.act(ctx, act, "add thermometer", func(tx pgx.Tx) (line, error) {
		tag, err := tx.Exec(ctx, `INSERT INTO thermometers (name, added_at, added_by) VALUES ($1, $2, $3) ON CONFLICT (name) DO NOTHING`, name, act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Wrong("thermometer", "There is a thermometer of that name already. Give this one another, and write it on it.")
		}
		return line{What: "add-thermometer", Detail: map[string]any{"thermometer": name}}, err
	})
}

// RetireThermometer takes a thermometer out of use for good.
func (db *DB) RetireThermometer(ctx context.Context, act Act, id int16) error {
	return db.act(ctx, act, "retire thermometer", func(tx pgx.Tx) (line, error) {
		t, err := lockThermometer(ctx, tx, id)
		if err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE thermometers SET retired_at = $2, retired_by = $3 WHERE id = $1`, id, act.At, act.Staff)
		return line{What: "retire-thermometer", Detail: map[string]any{"thermometer": t.Name}}, err
	})
}

// lockThermometer locks one that is in use.
func lockThermometer(ctx context.Context, tx pgx.Tx, id int16) (Thermometer, error) {
	t, found, err := one[Thermometer](ctx, tx, thermometerRows+`WHERE t.id = $1 FOR UPDATE OF t`, id)
	switch {
	case err != nil:
		return t, err
	case !found:
		return t, domain.Missing("There is no such thermometer.")
	case t.RetiredAt != nil:
		return t, domain.Refuse("thermometer", "%s was taken out of use. Add it again under another name.", t.Name)
	}
	return t, nil
}

// mayMeasure refuses a thermometer whose last ice check failed.
func mayMeasure(ctx context.Context, tx pgx.Tx, id int16, at time.Time) error {
	t, err := lockThermometer(ctx, tx, id)
	if err != nil {
		return err
	}
	if round.Stands(t.Last(), at) == round.OutOfService {
		return domain.Wrong("thermometer", "%s failed its ice check and is out of service. Take another, and measure again.", t.Name)
	}
	return nil
}

// IceCheckMade is one check in ice water.
type IceCheckMade struct {
	Reading  domain.Celsius
	Adjusted bool // set right after this reading
	Note     string
}

// CheckInIce keeps what a thermometer read in ice water. One that fails is out of
// service from then on, and every round measured with it since its last pass is
// to be looked at again.
func (db *DB) CheckInIce(ctx context.Context, act Act, id int16, c IceCheckMade, arrived time.Time) error {
	check := round.IceCheck{At: act.At, Reading: c.Reading}
	if err := check.Check(arrived); err != nil {
		return err
	}
	return db.act(ctx, act, "check in ice", func(tx pgx.Tx) (line, error) {
		t, err := lockThermometer(ctx, tx, id)
		if err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO ice_checks (id, thermometer_id, at, by_staff, reading_c, passed, adjusted, note) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			act.ID, id, act.At, act.Staff, c.Reading, check.Passes(), c.Adjusted, strings.TrimSpace(c.Note))
		if err != nil {
			return line{}, err
		}
		back, err := lookBack(ctx, tx, act.ID, id, check)
		return line{What: "ice-check", Detail: map[string]any{"thermometer": t.Name, "reading_c": float64(c.Reading), "passed": check.Passes(), "look_back": back}}, err
	})
}

// lookBack lists the rounds that a check throws doubt on: all since the last pass
// where it failed; where it passed but reads off, those since panel and
// thermometer last agreed, if they do not agree once the offset is taken away.
func lookBack(ctx context.Context, tx pgx.Tx, check uuid.UUID, id int16, c round.IceCheck) (int, error) {
	type measured struct {
		ID    uuid.UUID
		Panel *domain.Celsius
		Own   *domain.Celsius
	}
	rounds, err := all[measured](ctx, tx, `
		SELECT r.id, r.air_panel_c AS panel, r.air_own_c AS own FROM rounds r
		WHERE r.thermometer_id = $1 AND r.walked_to <= $3
		  AND r.walked_to > coalesce((SELECT max(at) FROM ice_checks WHERE thermometer_id = $1 AND passed AND id <> $2), '-infinity')
		ORDER BY r.walked_to DESC LIMIT 500`, id, check, c.At)
	if err != nil {
		return 0, err
	}
	back := 0
	for _, r := range rounds {
		if c.Passes() && (r.Panel == nil || r.Own == nil || !round.Apart(*r.Panel, c.True(*r.Own))) {
			break // here they agreed
		}
		if _, err := tx.Exec(ctx, `INSERT INTO look_backs (ice_check_id, round_id) VALUES ($1, $2)`, check, r.ID); err != nil {
			return back, err
		}
		back++
	}
	return back, nil
}

// LookBackRow is one round to be looked at again.
type LookBackRow struct {
	CheckID     uuid.UUID
	CheckedAt   time.Time
	Passed      bool
	ReadingC    domain.Celsius // of the ice check
	RoundID     uuid.UUID
	Thermometer string
	Room        string
	RoomKind    string
	WalkedTo    time.Time
	By          string
	PanelC      *domain.Celsius
	OwnC        *domain.Celsius
	Hung        int // how many hung there then
	Says        string
	SeenAt      *time.Time
	SeenBy      string
}

const lookBackRows = `
	SELECT b.ice_check_id AS check_id, i.at AS checked_at, i.passed, i.reading_c, r.id AS round_id, t.name AS thermometer, c.label AS room, c.kind AS room_kind,
	       r.walked_to, s.initials AS by, r.air_panel_c AS panel_c, r.air_own_c AS own_c,
	       (SELECT count(*) FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails l ON l.id = p.rail_id
	        WHERE l.cooler_id = r.cooler_id AND o.since <= r.walked_to AND (o.until IS NULL OR o.until > r.walked_to))::int AS hung,
	       b.says, b.seen_at, coalesce(e.initials, '') AS seen_by
	FROM look_backs b JOIN ice_checks i ON i.id = b.ice_check_id JOIN thermometers t ON t.id = i.thermometer_id
	JOIN rounds r ON r.id = b.round_id JOIN coolers c ON c.id = r.cooler_id JOIN staff s ON s.id = r.by_staff LEFT JOIN staff e ON e.id = b.seen_by `

// LookBacks lists the rounds that a thermometer's checks threw doubt on, those
// nobody has looked at again first.
func (db *DB) LookBacks(ctx context.Context, thermometer int16) ([]LookBackRow, error) {
	return all[LookBackRow](ctx, db.pool, lookBackRows+`WHERE t.id = $1 ORDER BY b.seen_at IS NOT NULL, r.walked_to DESC LIMIT 200`, thermometer)
}

// LookAgain is one round looked at again by somebody, with what they say of it.
func (db *DB) LookAgain(ctx context.Context, act Act, check, roundID uuid.UUID, says string) error {
	says = strings.TrimSpace(says)
	if len(strings.Fields(says)) < 2 {
		return domain.Wrong("says", "Say in a few words what you make of it, such as: logger says 35 °F all night, meat was cold.")
	}
	return db.act(ctx, act, "look again", func(tx pgx.Tx) (line, error) {
		b, found, err := one[LookBackRow](ctx, tx, lookBackRows+`WHERE b.ice_check_id = $1 AND b.round_id = $2 FOR UPDATE OF b`, check, roundID)
		switch {
		case err != nil:
			return line{}, err
		case !found:
			return line{}, domain.Missing("That round is not to be looked at again.")
		case b.SeenAt != nil:
			return line{}, domain.Taken("%s looked at that round already: %s", b.SeenBy, b.Says)
		}
		_, err = tx.Exec(ctx, `UPDATE look_backs SET says = $3, seen_at = $4, seen_by = $5 WHERE ice_check_id = $1 AND round_id = $2`, check, roundID, says, act.At, act.Staff)
		return line{What: "look-again", Detail: map[string]any{"thermometer": b.Thermometer, "room": b.Room, "says": says}}, err
	})
}
