package db

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ShiftLength is how long a tablet may act in somebody's name without the shop's
// machine: one shift, twelve hours.
const ShiftLength = 12 * time.Hour

// Shift is a person unlocked on a device, from and until.
type Shift struct {
	Device   uuid.UUID
	Staff    Staff
	BeginsAt time.Time
	EndsAt   time.Time
}

// BeginShift unlocks a person on a device for twelve hours. The device keeps the
// token that comes back, the records keep its hash.
func (db *DB) BeginShift(ctx context.Context, device, staff uuid.UUID, now time.Time) (token string, err error) {
	token = rand.Text()
	hash := sha256.Sum256([]byte(token))
	return token, db.tx(ctx, "begin shift", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `INSERT INTO shifts (token_hash, device_id, staff_id, begins_at, ends_at) VALUES ($1, $2, $3, $4, $5)`,
			hash[:], device, staff, now, now.Add(ShiftLength))
		return err
	})
}

// ShiftOf finds the shift a token was given out for, over or not; whether an act
// lies within it is asked of the act's own time. A device that has been turned
// away has none.
func (db *DB) ShiftOf(ctx context.Context, token string) (s Shift, err error) {
	hash := sha256.Sum256([]byte(token))
	err = db.pool.QueryRow(ctx, `
		SELECT t.device_id, t.begins_at, t.ends_at, s.id, s.name, s.initials, s.roles
		FROM shifts t JOIN staff s ON s.id = t.staff_id JOIN devices d ON d.id = t.device_id
		WHERE t.token_hash = $1 AND d.revoked_at IS NULL`, hash[:]).
		Scan(&s.Device, &s.BeginsAt, &s.EndsAt, &s.Staff.ID, &s.Staff.Name, &s.Staff.Initials, &s.Staff.Roles)
	if err == pgx.ErrNoRows {
		return s, domain.Refuse("shift", "This tablet may not act in that name any more. Look at it and send it in your own name.")
	}
	return s, translate(err)
}

// NoteClock writes down what a device's clock runs ahead of the shop's by; below
// zero it is slow. A difference of under a second is the way there, not the clock.
func (db *DB) NoteClock(ctx context.Context, device uuid.UUID, ahead time.Duration, now time.Time) error {
	_, err := db.pool.Exec(ctx, `
		UPDATE devices SET clock_ahead_ms = $2, clock_measured_at = $3
		WHERE id = $1 AND (clock_measured_at IS NULL OR clock_measured_at < $3::timestamptz - interval '1 minute' OR abs(clock_ahead_ms - $2) > 1000)`,
		device, ahead.Milliseconds(), now)
	return translate(err)
}

// Device is a tablet, desktop or phone that takes part.
type Device struct {
	ID         uuid.UUID
	Name       string
	EnrolledAt time.Time
	By         string // initials of whoever let it in
	AheadMs    *int64 // what its clock runs ahead by; nil: never measured
	MeasuredAt *time.Time
}

// Devices lists what takes part, by name.
func (db *DB) Devices(ctx context.Context) ([]Device, error) {
	return all[Device](ctx, db.pool, `
		SELECT d.id, d.name, d.enrolled_at, s.initials AS by, d.clock_ahead_ms AS ahead_ms, d.clock_measured_at AS measured_at
		FROM devices d JOIN staff s ON s.id = d.enrolled_by WHERE d.revoked_at IS NULL ORDER BY d.name, d.enrolled_at LIMIT 200`)
}

// GivenUp is something that was kept on a tablet, refused, and given up by a
// person.
type GivenUp struct {
	Act    uuid.UUID // of what was given up
	KeptAt time.Time // by the tablet's clock
	Title  string
	Said   string // why it was refused
	Fields map[string]string
	Reason string
}

// personal are the beginnings of form fields that name or reach a person; they
// are not kept of what is given up.
var personal = []string{"name", "phone", "address", "licence", "taker", "deliverer", "pin"}

// Discard writes down what was given up, by whom and why, without what tells of a
// person. Doing it again changes nothing.
func (db *DB) Discard(ctx context.Context, act Act, g GivenUp) error {
	if g.Reason = strings.TrimSpace(g.Reason); g.Reason == "" {
		return domain.Wrong("reason", "Say in a few words why it is given up.")
	}
	if g.Act == uuid.Nil || strings.TrimSpace(g.Title) == "" {
		return domain.Wrong("", "This came in damaged. Nothing was given up.")
	}
	fields := map[string]string{}
	for name, value := range g.Fields {
		keep := true
		for _, p := range personal {
			keep = keep && !strings.HasPrefix(name, p)
		}
		if keep && value != "" {
			fields[name] = value
		}
	}
	return db.act(ctx, act, "discard", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `
			INSERT INTO discarded (act, device_id, by_staff, at, kept_at, title, said, fields, reason) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
			ON CONFLICT (act) DO NOTHING`, g.Act, orNull(act.Device), act.Staff, act.At, g.KeptAt, g.Title, g.Said, fields, g.Reason)
		return line{What: "discard", Detail: map[string]any{"act": g.Act.String()}}, err
	})
}

// DiscardedRow is what was given up, as it stands in the records.
type DiscardedRow struct {
	At     time.Time
	KeptAt time.Time
	By     string // initials
	Title  string
	Said   string
	Reason string
	Fields map[string]string
}

// Discarded lists what was given up lately, the latest first.
func (db *DB) Discarded(ctx context.Context) ([]DiscardedRow, error) {
	return all[DiscardedRow](ctx, db.pool, `
		SELECT d.at, d.kept_at, s.initials AS by, d.title, d.said, d.reason, d.fields
		FROM discarded d JOIN staff s ON s.id = d.by_staff ORDER BY d.at DESC LIMIT 50`)
}
