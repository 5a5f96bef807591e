package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Hire takes somebody on, in the name of the owner or the lead.
func (db *DB) Hire(ctx context.Context, act Act, n NewStaff) (Staff, error) {
	s, secrets, err := n.checked(act.At)
	if err != nil {
		return s, err
	}
	return s, db.act(ctx, act, "hire", func(tx pgx.Tx) (line, error) {
		by, err := staffByID(ctx, tx, act.Staff)
		if err != nil {
			return line{}, err
		}
		if err := domain.MayTakeOn(by.Roles, n.Roles, n.EndsOn); err != nil {
			return line{}, err
		}
		return line{What: "hire", Detail: s.told()}, addStaff(ctx, tx, s, secrets)
	})
}

// ChangeStaff gives a person other work or another last day (nil: for good). Who
// saw older work than the records hold is told.
func (db *DB) ChangeStaff(ctx context.Context, act Act, id uuid.UUID, seen, roles []string, until *time.Time) error {
	return db.act(ctx, act, "change staff", func(tx pgx.Tx) (line, error) {
		s, err := changeable(ctx, tx, act, id)
		if err != nil {
			return line{}, err
		}
		if !slices.Equal(s.Roles, seen) {
			return line{}, domain.Taken("Somebody else has just changed the work of %s. Look again.", s.Name)
		}
		by, err := staffByID(ctx, tx, act.Staff)
		if err != nil {
			return line{}, err
		}
		if err := domain.MayTakeOn(by.Roles, roles, until); err != nil {
			return line{}, err
		}
		owner := slices.Contains(roles, "owner")
		if s.Roles, s.EndsOn = roles, until; !owner || until != nil {
			if err := anotherOwner(ctx, tx, id); err != nil {
				return line{}, err
			}
		}
		_, err = tx.Exec(ctx, `
			UPDATE staff SET roles = $2, ends_on = $3, password_hash = CASE WHEN 'owner' = ANY ($2::text[]) THEN password_hash END WHERE id = $1`,
			id, roles, until)
		return line{What: "change-staff", Detail: s.told()}, err
	})
}

// GivePIN gives a person a new PIN and lifts the wait after wrong tries.
func (db *DB) GivePIN(ctx context.Context, act Act, id uuid.UUID, pin string) error {
	h, err := hashPIN(pin)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "give pin", func(tx pgx.Tx) (line, error) {
		s, err := changeable(ctx, tx, act, id)
		if err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE staff SET pin_hash = $2, pin_misses = 0, pin_wait_until = NULL WHERE id = $1`, id, h)
		return line{What: "give-pin", Detail: map[string]any{"to": s.Initials}}, err
	})
}

// GivePassword gives an owner the password that lets devices in.
func (db *DB) GivePassword(ctx context.Context, act Act, id uuid.UUID, password string) error {
	h, err := hashPassword(password)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "give password", func(tx pgx.Tx) (line, error) {
		s, err := changeable(ctx, tx, act, id)
		if err != nil {
			return line{}, err
		}
		if !slices.Contains(s.Roles, "owner") {
			return line{}, domain.Wrong("password", "Only an owner has a password: it lets devices in.")
		}
		_, err = tx.Exec(ctx, `UPDATE staff SET password_hash = $2, pin_misses = 0, pin_wait_until = NULL WHERE id = $1`, id, h)
		return line{What: "give-password", Detail: map[string]any{"to": s.Initials}}, err
	})
}

// ReadIn has the screens speak another language to whoever acts; "" is the shop's.
func (db *DB) ReadIn(ctx context.Context, act Act, language string) error {
	return db.act(ctx, act, "read in", func(tx pgx.Tx) (line, error) {
		if language != "" && !slices.Contains(languages, language) {
			return line{}, domain.Wrong("language", "Choose one of the languages.")
		}
		_, err := tx.Exec(ctx, `UPDATE staff SET language = $2 WHERE id = $1`, act.Staff, language)
		return line{What: "choose-language", Detail: map[string]any{"language": language}}, err
	})
}

// told is what the time line says of a person: initials, work and the last day.
func (s Staff) told() map[string]any {
	d := map[string]any{"who": s.Initials, "roles": s.Roles}
	if s.EndsOn != nil {
		d["until"] = s.EndsOn.Format(time.DateOnly)
	}
	return d
}

// changeable locks the row of a person whom whoever acts may change: the owner
// everybody, the lead a helper, each their own PIN.
func changeable(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) (Staff, error) {
	s, found, err := one[Staff](ctx, tx, `SELECT `+staffColumns+` FROM staff WHERE id = $1 FOR NO KEY UPDATE`, id)
	if err == nil && !found {
		err = domain.Missing("That person has never worked here.")
	}
	if err != nil || id == act.Staff {
		return s, err
	}
	by, err := staffByID(ctx, tx, act.Staff)
	if err != nil {
		return s, err
	}
	if !by.Has("owner") && (!by.Has("lead") || s.Has("lead")) {
		return s, domain.Refuse("role", "The owner changes what stands of %s.", s.Name)
	}
	return s, nil
}

// anotherOwner refuses to leave the shop without anybody who can let a device in.
func anotherOwner(ctx context.Context, tx pgx.Tx, but uuid.UUID) error {
	rows, err := all[struct{ ID uuid.UUID }](ctx, tx, `
		SELECT id FROM staff WHERE 'owner' = ANY (roles) AND password_hash IS NOT NULL AND ends_on IS NULL FOR NO KEY UPDATE`)
	if err != nil {
		return err
	}
	for _, r := range rows {
		if r.ID != but {
			return nil
		}
	}
	if len(rows) == 0 {
		return nil
	}
	return domain.Refuse("roles", "Nobody else could let a device in then. Make somebody else owner first, with a password and no last day.")
}

func staffByID(ctx context.Context, q querier, id uuid.UUID) (Staff, error) {
	s, found, err := one[Staff](ctx, q, `SELECT `+staffColumns+` FROM staff WHERE id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("That person has never worked here.")
	}
	return s, err
}

// Employed is a person with what stands of them besides.
type Employed struct {
	Staff
	HasPassword bool
	WaitsUntil  *time.Time // after wrong PINs
}

// Person finds somebody who works here or has worked here.
func (db *DB) Person(ctx context.Context, id uuid.UUID) (Employed, error) {
	e, found, err := one[Employed](ctx, db.pool, `
		SELECT `+staffColumns+`, password_hash IS NOT NULL AS has_password, pin_wait_until AS waits_until
		FROM staff WHERE id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("That person has never worked here.")
	}
	return e, err
}

// Everybody lists who works here and who has, those of today first.
func (db *DB) Everybody(ctx context.Context, now time.Time) ([]Employed, error) {
	return all[Employed](ctx, db.pool, `
		SELECT `+staffColumns+`, password_hash IS NOT NULL AS has_password, pin_wait_until AS waits_until
		FROM staff ORDER BY coalesce(NOT `+worksOn(1)+`, false), name LIMIT 200`, now)
}

// StaffChange is one line of who took whom on or changed what stands of them.
type StaffChange struct {
	At   time.Time
	By   string // initials
	What string
	Who  string // initials, or the device's name
}

// StaffChanges lists them, the latest first.
func (db *DB) StaffChanges(ctx context.Context) ([]StaffChange, error) {
	return all[StaffChange](ctx, db.pool, `
		SELECT t.at, s.initials AS by, t.what, coalesce(t.detail->>'who', t.detail->>'to', t.detail->>'device', '') AS who
		FROM time_line t JOIN staff s ON s.id = t.by_staff
		WHERE t.animal_id IS NULL AND t.cooler_id IS NULL AND t.what IN ('hire', 'change-staff', 'give-pin', 'give-password', 'turn-away')
		ORDER BY t.seq DESC LIMIT 50`)
}

// TurnAway lets a device take part no more: its sign-in ends, the shifts unlocked
// on it too. What it had sent stays.
func (db *DB) TurnAway(ctx context.Context, act Act, device uuid.UUID) error {
	if device == act.Device {
		return domain.Refuse("device", "This is the device in your hand. Turn it away from another one.")
	}
	return db.act(ctx, act, "turn away", func(tx pgx.Tx) (line, error) {
		var name string
		err := tx.QueryRow(ctx, `
			UPDATE devices SET revoked_at = $2, revoked_by = $3 WHERE id = $1 AND revoked_at IS NULL RETURNING name`,
			device, act.At, act.Staff).Scan(&name)
		if err == pgx.ErrNoRows {
			err = domain.Taken("That device was turned away already.")
		}
		return line{What: "turn-away", Detail: map[string]any{"device": name}}, err
	})
}
