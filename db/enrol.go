package db

import (
	"context"
	"strings"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Enrolment is what an owner types to let a device take part.
type Enrolment struct {
	Initials, Password string
	Device             string // what to call it
	Address            string // where it asks from; "": the machine itself
}

// Enrol lets a device take part, on the word of an owner. Wrong tries are counted for
// the address they come from and for the initials that were typed, whether anybody
// has them or not, and the answer takes as long: nobody learns here who works in the
// shop. A person's PIN has a count of its own, so that a stranger's guesses keep no
// owner from their work.
func (db *DB) Enrol(ctx context.Context, e Enrolment, now time.Time) (device uuid.UUID, err error) {
	if e.Device = strings.TrimSpace(e.Device); e.Device == "" {
		return device, domain.Wrong("device", "Name the device, such as counter tablet.")
	}
	key, err := db.Secret(ctx, "enrolment tries")
	if err != nil {
		return device, err
	}
	e.Initials = strings.ToUpper(tidy(e.Initials))
	tries := []try{{"enrol-initials", animal.OwnerBrake, e.Initials}}
	if e.Address != "" {
		tries = append(tries, try{"enrol-address", animal.AddressBrake, e.Address})
	}
	var wrong error
	device = uuid.Must(uuid.NewV7())
	err = db.tx(ctx, "enrol device", func(tx pgx.Tx) error {
		var by uuid.UUID
		wrong, err = braked(ctx, tx, key, "password", tries, now, func() (no, err error) {
			by, no, err = e.vouched(ctx, tx, now)
			return no, err
		})
		if err != nil || wrong != nil {
			return err
		}
		_, err = tx.Exec(ctx, newDevice, device, e.Device, now, by)
		return err
	})
	if err == nil {
		err = wrong
	}
	return device, err
}

// newDevice gives a device whose name another has a number, so that a list of them
// tells them apart.
const newDevice = `
	INSERT INTO devices (id, name, enrolled_at, enrolled_by)
	SELECT $1, w.name, $3, $4 FROM generate_series(1, 1000) n, LATERAL (SELECT $2::text || CASE WHEN n > 1 THEN ' ' || n ELSE '' END AS name) w
	WHERE n = 1000 OR NOT EXISTS (SELECT FROM devices d WHERE lower(d.name) = lower(w.name)) ORDER BY n LIMIT 1`

// vouched compares the password; no is why it does not let anything in. Where nobody
// has these initials, as much is reckoned as where somebody has.
func (e Enrolment) vouched(ctx context.Context, tx pgx.Tx, now time.Time) (owner uuid.UUID, no error, err error) {
	var stored *string
	err = tx.QueryRow(ctx, `SELECT id, password_hash FROM staff WHERE upper(initials) = $1 AND 'owner' = ANY (roles) AND `+worksOn(2), e.Initials, now).
		Scan(&owner, &stored)
	if err != nil && err != pgx.ErrNoRows {
		return owner, nil, err
	}
	known := stored != nil
	if !known {
		nobody, err := nobodys()
		if err != nil {
			return owner, nil, err
		}
		stored = &nobody
	}
	if ok, err := matches(e.Password, *stored); err != nil || ok && known {
		return owner, nil, err
	}
	return owner, domain.Wrong("password", "That does not fit. Nothing was changed."), nil
}

// nobodys is the hash of a password that nobody has.
var nobodys = sync.OnceValues(func() (string, error) { return hash(uuid.NewString()) })

// braked locks the counts, asks, and counts a no. While one of the counts waits
// nothing is asked; a yes forgets them all.
func braked(ctx context.Context, tx pgx.Tx, key []byte, field string, tries []try, now time.Time, ask func() (no, err error)) (no, err error) {
	counts := make([]animal.Tries, len(tries))
	for i, t := range tries {
		if counts[i], err = t.lock(ctx, tx, key, now); err != nil {
			return nil, err
		}
		if counts[i].Waits(now) {
			no = tooOften(field, counts[i].Until, now)
		}
	}
	if no != nil {
		return no, nil
	}
	if no, err = ask(); err != nil {
		return nil, err
	}
	for i, t := range tries {
		if no == nil {
			err = t.forget(ctx, tx, key)
		} else {
			err = t.miss(ctx, tx, key, t.brake.Miss(counts[i], now))
		}
		if err != nil {
			return nil, err
		}
	}
	return no, nil
}
