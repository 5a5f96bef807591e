package db

import (
	"context"
	"fmt"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/alexedwards/argon2id"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Staff is a person who works here.
type Staff struct {
	ID       uuid.UUID
	Name     string
	Initials string
	Roles    []string // counter, cooler, cutter, lead, owner
	StartsOn time.Time
	EndsOn   *time.Time
}

// Has reports whether s works in one of the roles. Lead and owner may do
// everything but what asks for the owner by name.
func (s Staff) Has(roles ...string) bool {
	for _, have := range s.Roles {
		if have == "owner" || have == "lead" {
			return true
		}
		for _, want := range roles {
			if have == want {
				return true
			}
		}
	}
	return false
}

// Holder is who holds a device just now. Staff is empty until somebody has
// tapped a name on it.
type Holder struct {
	Device     uuid.UUID
	DeviceName string
	Staff      Staff
}

// NewStaff is what AddStaff needs.
type NewStaff struct {
	Name, Initials string
	Roles          []string
	PIN            string // four to eight digits
	Password       string // owners only; enrols devices
	EndsOn         *time.Time
}

// hashing is OWASP's argon2id setting of 19 MiB, two passes, one lane (Password
// Storage Cheat Sheet): strong enough, and 30 ms on a slow shop machine.
var hashing = &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// hashes lets two run at a time, so that a crowd of wrong guesses cannot eat
// the machine's memory.
var hashes = make(chan struct{}, 2)

func hash(secret string) (string, error) {
	hashes <- struct{}{}
	defer func() { <-hashes }()
	return argon2id.CreateHash(secret, hashing)
}

func matches(secret, stored string) (bool, error) {
	hashes <- struct{}{}
	defer func() { <-hashes }()
	return argon2id.ComparePasswordAndHash(secret, stored)
}

// AddStaff takes somebody on from today.
func (db *DB) AddStaff(ctx context.Context, n NewStaff, now time.Time) (Staff, error) {
	s := Staff{ID: uuid.Must(uuid.NewV7()), Name: strings.TrimSpace(n.Name), Initials: strings.ToUpper(strings.TrimSpace(n.Initials)),
		Roles: n.Roles, StartsOn: now, EndsOn: n.EndsOn}
	switch {
	case s.Name == "":
		return s, domain.Wrong("name", "Give the person's name.")
	case s.Initials == "" || len(s.Initials) > 4:
		return s, domain.Wrong("initials", "Give one to four letters as initials.")
	case len(s.Roles) == 0:
		return s, domain.Wrong("roles", "Give at least one role: counter, cooler, cutter, lead or owner.")
	}
	pin, err := hashPIN(n.PIN)
	if err != nil {
		return s, err
	}
	var password *string
	if n.Password != "" {
		h, err := hashPassword(n.Password)
		if err != nil {
			return s, err
		}
		password = &h
	}
	return s, db.tx(ctx, "add staff", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO staff (id, name, initials, roles, pin_hash, password_hash, starts_on, ends_on)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			s.ID, s.Name, s.Initials, s.Roles, pin, password, s.StartsOn, s.EndsOn)
		return err
	})
}

func hashPIN(pin string) (string, error) {
	if len(pin) < 4 || len(pin) > 8 || strings.Trim(pin, "0123456789") != "" {
		return "", domain.Wrong("pin", "A PIN has four to eight digits.")
	}
	return hash(pin)
}

func hashPassword(password string) (string, error) {
	if len([]rune(password)) < 12 || len(password) > 128 {
		return "", domain.Wrong("password", "The owner's password needs 12 to 128 characters. A short sentence does well.")
	}
	return hash(password)
}

// SetPIN gives the person with these initials a new PIN and lifts any wait.
func (db *DB) SetPIN(ctx context.Context, initials, pin string) error {
	h, err := hashPIN(pin)
	if err != nil {
		return err
	}
	return db.tx(ctx, "set pin", func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `
			UPDATE staff SET pin_hash = $2, pin_misses = 0, pin_wait_until = NULL WHERE upper(initials) = upper($1)`, initials, h)
		if err == nil && tag.RowsAffected() == 0 {
			return domain.Missing("Nobody here signs with %s.", initials)
		}
		return err
	})
}

// AllStaff lists who works here on the day of now, by name.
func (db *DB) AllStaff(ctx context.Context, now time.Time) ([]Staff, error) {
	return all[Staff](ctx, db.pool, `
		SELECT id, name, initials, roles, starts_on, ends_on FROM staff
		WHERE ends_on IS NULL OR ends_on >= $1::date ORDER BY name`, now)
}

// CheckPIN reports nil when pin is that of the person. After five misses each
// further one doubles the wait, from half a minute to an hour.
func (db *DB) CheckPIN(ctx context.Context, staff uuid.UUID, pin string, now time.Time) error {
	return db.checkSecret(ctx, "pin", `id = $1 AND (ends_on IS NULL OR ends_on >= $2::date)`, "pin_hash", staff, pin, now)
}

// checkSecret compares under the row's lock, so that guesses queue up, and
// commits the count of misses also when it refuses.
func (db *DB) checkSecret(ctx context.Context, field, where, column string, who any, secret string, now time.Time) error {
	var wrong error
	err := db.tx(ctx, "check "+field, func(tx pgx.Tx) error {
		var id uuid.UUID
		var stored *string
		var misses int
		var wait *time.Time
		err := tx.QueryRow(ctx, `SELECT id, `+column+`, pin_misses, pin_wait_until FROM staff WHERE `+where+` FOR UPDATE`, who, now).
			Scan(&id, &stored, &misses, &wait)
		if err == pgx.ErrNoRows || err == nil && stored == nil {
			wrong = domain.Wrong(field, "That does not fit. Nothing was changed.")
			return nil
		}
		if err != nil {
			return err
		}
		if wait != nil && wait.After(now) {
			wrong = domain.Refuse(field, "Too many wrong tries. Wait %d seconds and try again.", int(wait.Sub(now).Seconds())+1)
			return nil
		}
		ok, err := matches(secret, *stored)
		if err != nil {
			return err
		}
		if ok {
			_, err = tx.Exec(ctx, `UPDATE staff SET pin_misses = 0, pin_wait_until = NULL WHERE id = $1`, id)
			return err
		}
		wrong = domain.Wrong(field, "That does not fit. Nothing was changed.")
		_, err = tx.Exec(ctx, `UPDATE staff SET pin_misses = least(pin_misses + 1, 100), pin_wait_until = $2 WHERE id = $1`, id, waitAfter(misses+1, now))
		return err
	})
	if err != nil {
		return err
	}
	return wrong
}

// waitAfter is how long nobody may try after so many misses in a row.
func waitAfter(misses int, now time.Time) *time.Time {
	if misses < 5 {
		return nil
	}
	until := now.Add(min(30*time.Second<<min(misses-5, 8), time.Hour))
	return &until
}

// Enrol lets a device take part, on the word of an owner.
func (db *DB) Enrol(ctx context.Context, initials, password, name string, now time.Time) (uuid.UUID, error) {
	name = strings.TrimSpace(name)
	if name == "" {
		return uuid.Nil, domain.Wrong("device", "Name the device, such as counter tablet.")
	}
	const owner = `upper(initials) = upper($1) AND 'owner' = ANY (roles) AND (ends_on IS NULL OR ends_on >= $2::date)`
	if err := db.checkSecret(ctx, "password", owner, "password_hash", initials, password, now); err != nil {
		return uuid.Nil, err
	}
	id := uuid.Must(uuid.NewV7())
	return id, db.tx(ctx, "enrol device", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO devices (id, name, enrolled_at, enrolled_by)
			SELECT $1, $2, $3, id FROM staff WHERE upper(initials) = upper($4)`, id, name, now, initials)
		return err
	})
}

// HolderOf looks up who holds the device. Found is false for a device that was
// never enrolled or has been turned away.
func (db *DB) HolderOf(ctx context.Context, device, staff uuid.UUID, now time.Time) (h Holder, found bool, err error) {
	var id *uuid.UUID
	var name, initials *string
	err = db.pool.QueryRow(ctx, `
		SELECT d.id, d.name, s.id, s.name, s.initials, coalesce(s.roles, '{}')
		FROM devices d
		LEFT JOIN staff s ON s.id = $2 AND (s.ends_on IS NULL OR s.ends_on >= $3::date)
		WHERE d.id = $1 AND d.revoked_at IS NULL`, device, staff, now).
		Scan(&h.Device, &h.DeviceName, &id, &name, &initials, &h.Staff.Roles)
	switch {
	case err == pgx.ErrNoRows:
		return h, false, nil
	case err != nil:
		return h, false, fmt.Errorf("holder: %w", translate(err))
	case id != nil:
		h.Staff.ID, h.Staff.Name, h.Staff.Initials = *id, *name, *initials
	}
	return h, true, nil
}
