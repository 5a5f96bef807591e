package db

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/alexedwards/argon2id"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/trustelem/zxcvbn"
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

// Has reports whether s may do work that is done by those who hold one of roles.
func (s Staff) Has(roles ...string) bool { return domain.May(s.Roles, roles...) }

// Holder is who holds a device just now. Staff is empty until somebody has
// tapped a name on it.
type Holder struct {
	Device     uuid.UUID
	DeviceName string
	Staff      Staff
	Language   string // they read the screens in; "": the shop's

	from asOf // what this was read from
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

// AddStaff takes somebody on from today, from the command line or as the shop is
// set up; Hire is the same with a name under it.
func (db *DB) AddStaff(ctx context.Context, n NewStaff, now time.Time) (Staff, error) {
	s, secrets, err := n.checked(now)
	if err != nil {
		return s, err
	}
	return s, db.tx(ctx, "add staff", func(tx pgx.Tx) error { return addStaff(ctx, tx, s, secrets) })
}

// hashed are a person's PIN and password as they are kept; no password: nil.
type hashed struct {
	pin      string
	password *string
}

// checked refuses what cannot be somebody's row, and hashes what must be.
func (n NewStaff) checked(now time.Time) (s Staff, h hashed, err error) {
	s = Staff{ID: uuid.Must(uuid.NewV7()), Name: strings.TrimSpace(n.Name), Initials: strings.ToUpper(strings.TrimSpace(n.Initials)),
		Roles: n.Roles, StartsOn: now, EndsOn: n.EndsOn}
	switch {
	case s.Name == "":
		return s, h, domain.Wrong("name", "Give the person's name.")
	case s.Initials == "" || len(s.Initials) > 4:
		return s, h, domain.Wrong("initials", "Give one to four letters as initials.")
	case len(s.Roles) == 0:
		return s, h, domain.Wrong("roles", "Give at least one role: counter, cooler, cutter, lead or owner.")
	case n.Password != "" && !slices.Contains(n.Roles, "owner"):
		return s, h, domain.Wrong("password", "Only an owner has a password: it lets devices in.")
	}
	if h.pin, err = hashPIN(n.PIN); err != nil || n.Password == "" {
		return s, h, err
	}
	password, err := hashPassword(n.Password)
	h.password = &password
	return s, h, err
}

func addStaff(ctx context.Context, tx pgx.Tx, s Staff, h hashed) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO staff (id, name, initials, roles, pin_hash, password_hash, starts_on, ends_on)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		s.ID, s.Name, s.Initials, s.Roles, h.pin, h.password, s.StartsOn, s.EndsOn)
	return err
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
	// 3 of 4: more than a hundred million guesses by the lists of leaked passwords,
	// names, words, dates and keyboard rows that the library brings with it.
	if zxcvbn.PasswordStrength(password, []string{"coldrail"}).Score < 3 {
		return "", domain.Wrong("password", "That password is on the lists people guess from, or close to one. Take a short sentence of your own.")
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

// staffColumns are what a Staff is read from; the last day begins at the shop's own
// midnight.
const staffColumns = `id, name, initials, roles, starts_on, ends_on::timestamp AT TIME ZONE (SELECT zone FROM shop) AS ends_on`

// worksOn is true of who works here on the shop's own day of the moment given as
// that parameter: a last day ends at midnight there, not in Greenwich.
func worksOn(parameter int) string {
	return fmt.Sprintf(`(ends_on IS NULL OR ends_on >= ($%d::timestamptz AT TIME ZONE (SELECT zone FROM shop))::date)`, parameter)
}

// AllStaff lists who works here on the day of now, by name.
func (db *DB) AllStaff(ctx context.Context, now time.Time) ([]Staff, error) {
	return all[Staff](ctx, db.pool, `
		SELECT `+staffColumns+` FROM staff WHERE `+worksOn(1)+` ORDER BY name LIMIT 200`, now)
}

// misses are wrong tries in a row, and until when nobody may try again.
type misses struct {
	Misses int
	Wait   *time.Time
}

// CheckPIN reports nil when pin is that of the person. After five misses each
// further one doubles the wait, from half a minute to an hour; misses are counted
// for the person and for the device they were typed on (zero: none), so that
// nobody tries one PIN on everybody. It compares under the locks of both, so that
// guesses queue up, and keeps the count also when it refuses. The locks are such as
// leave alone what merely names the person and the device meanwhile: an act on its way
// would wait for the hash, or lock the two the other way around.
func (db *DB) CheckPIN(ctx context.Context, device, staff uuid.UUID, pin string, now time.Time) error {
	var wrong error
	err := db.tx(ctx, "check pin", func(tx pgx.Tx) error {
		on, err := deviceMisses(ctx, tx, device)
		if err != nil {
			return err
		}
		var stored *string
		var of misses
		err = tx.QueryRow(ctx, `SELECT pin_hash, pin_misses, pin_wait_until FROM staff WHERE id = $1 AND `+worksOn(2)+` FOR NO KEY UPDATE`, staff, now).
			Scan(&stored, &of.Misses, &of.Wait)
		if err != nil && err != pgx.ErrNoRows {
			return err
		}
		if until := later(on.Wait, of.Wait); until != nil && until.After(now) {
			wrong = tooOften("pin", *until, now)
			return nil
		}
		ok := false
		if stored != nil {
			if ok, err = matches(pin, *stored); err != nil {
				return err
			}
		}
		if !ok {
			wrong = domain.Wrong("pin", "That does not fit. Nothing was changed.")
			on.Misses, of.Misses = on.Misses+1, of.Misses+1
		} else {
			on.Misses, of.Misses = 0, 0
		}
		return noteMisses(ctx, tx, device, on.Misses, staff, of.Misses, now)
	})
	if err != nil {
		return err
	}
	return wrong
}

// tooOften is what whoever guesses is told, and whoever is right meanwhile.
func tooOften(field string, until, now time.Time) error {
	return domain.Refuse(field, "Too many wrong tries. Wait %d seconds and try again.", int(until.Sub(now).Seconds())+1)
}

func deviceMisses(ctx context.Context, tx pgx.Tx, device uuid.UUID) (m misses, err error) {
	if device == uuid.Nil {
		return m, nil
	}
	err = tx.QueryRow(ctx, `SELECT pin_misses, pin_wait_until FROM devices WHERE id = $1 FOR NO KEY UPDATE`, device).Scan(&m.Misses, &m.Wait)
	if err == pgx.ErrNoRows {
		err = nil
	}
	return m, err
}

func noteMisses(ctx context.Context, tx pgx.Tx, device uuid.UUID, onDevice int, staff uuid.UUID, ofStaff int, now time.Time) error {
	_, err := tx.Exec(ctx, `UPDATE devices SET pin_misses = least($2, 100), pin_wait_until = $3 WHERE id = $1 AND (pin_misses > 0 OR $2 > 0)`,
		device, onDevice, waitAfter(onDevice, now))
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE staff SET pin_misses = least($2, 100), pin_wait_until = $3 WHERE id = $1`, staff, ofStaff, waitAfter(ofStaff, now))
	return err
}

func later(a, b *time.Time) *time.Time {
	if a == nil || b != nil && b.After(*a) {
		return b
	}
	return a
}

// waitAfter is how long nobody may try after so many misses in a row.
func waitAfter(misses int, now time.Time) *time.Time {
	if misses < 5 {
		return nil
	}
	until := now.Add(min(30*time.Second<<min(misses-5, 8), time.Hour))
	return &until
}

// HolderOf looks up who holds the device. Found is false for a device that was
// never enrolled or has been turned away.
func (db *DB) HolderOf(ctx context.Context, device, staff uuid.UUID, now time.Time) (h Holder, found bool, err error) {
	var id *uuid.UUID
	var name, initials *string
	err = db.pool.QueryRow(ctx, `
		SELECT d.id, d.name, s.id, s.name, s.initials, coalesce(s.roles, '{}'), coalesce(s.language, ''), pg_current_snapshot()::text
		FROM devices d
		LEFT JOIN staff s ON s.id = $2 AND `+worksOn(3)+`
		WHERE d.id = $1 AND d.revoked_at IS NULL`, device, staff, now).
		Scan(&h.Device, &h.DeviceName, &id, &name, &initials, &h.Staff.Roles, &h.Language, &h.from.snapshot)
	h.from.connects = db.connects.Load()
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
