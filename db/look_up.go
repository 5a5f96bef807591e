package db

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// LookUp is somebody at home who has no link at hand.
type LookUp struct {
	Number  string // as typed
	Digits  string // the last four of the phone, as typed
	Address string // where they ask from
}

// LookedUp is what came of it.
type LookedUp struct {
	Animal uuid.UUID
	Found  bool
	Waits  bool // too many have asked in vain: nothing was compared
}

// try is one of the counts a look-up is held against, in the order they are locked.
type try struct {
	kind  string
	brake animal.Brake
	what  string
}

// LookUp finds the animal of that number whose owner's phone ends in these digits.
// The three counts are locked before anything is compared and raised before anything
// is answered, so that many askers at once, here and on another server, get no more
// tries than one after the other. While one of them waits, the right digits are
// refused like the wrong ones. A number that is no number of ours is counted like
// one that is.
func (db *DB) LookUp(ctx context.Context, key []byte, l LookUp, now time.Time) (found LookedUp, err error) {
	number, wrong := domain.ParseShopNumber("number", l.Number)
	typed := string(number)
	if wrong != nil {
		typed = tidy(l.Number)
	}
	tries := []try{{"shop", animal.ShopBrake, ""}, {"address", animal.AddressBrake, l.Address}, {"number", animal.NumberBrake, typed}}
	err = db.tx(ctx, "look up", func(tx pgx.Tx) error {
		counts := make([]animal.Tries, len(tries))
		for i, t := range tries {
			if counts[i], err = t.lock(ctx, tx, key, now); err != nil {
				return err
			}
			found.Waits = found.Waits || counts[i].Waits(now)
		}
		if found.Waits {
			return nil
		}
		if found.Animal, found.Found, err = ownersAnimal(ctx, tx, number, l.Digits); err != nil || found.Found {
			return err
		}
		for i, t := range tries {
			if err := t.miss(ctx, tx, key, t.brake.Miss(counts[i], now)); err != nil {
				return err
			}
		}
		_, err := tx.Exec(ctx, `DELETE FROM look_up_tries WHERE last_at < $1`, now.Add(-animal.NumberBrake.Forget))
		return err
	})
	return found, err
}

// ownersAnimal compares number and digits. Owners alone count: whoever brought it or
// may collect it has the receipt.
func ownersAnimal(ctx context.Context, tx pgx.Tx, number domain.ShopNumber, digits string) (id uuid.UUID, found bool, err error) {
	if number == "" || len(digits) != 4 {
		return id, false, nil
	}
	err = tx.QueryRow(ctx, `
		SELECT a.id FROM animals a
		WHERE a.number = $1 AND EXISTS (
		  SELECT FROM animal_people ap JOIN people p ON p.id = ap.person_id
		  WHERE ap.animal_id = a.id AND ap.role = 'owner'
		  AND (p.last_four = $2 OR right(regexp_replace(p.second_phone, '[^0-9]', '', 'g'), 4) = $2))`, number, digits).Scan(&id)
	if err == pgx.ErrNoRows {
		return id, false, nil
	}
	return id, err == nil, err
}

// code is what stands in the table for what was typed or where from.
func (t try) code(key []byte) []byte {
	mac := hmac.New(sha256.New, key)
	mac.Write([]byte("coldrail look-up " + t.kind + " " + t.what))
	return mac.Sum(nil)
}

// lock reads the count and keeps others waiting until tx ends.
func (t try) lock(ctx context.Context, tx pgx.Tx, key []byte, now time.Time) (counted animal.Tries, err error) {
	err = tx.QueryRow(ctx, `
		INSERT INTO look_up_tries AS t (kind, code, last_at, until) VALUES ($1, $2, $3, $3)
		ON CONFLICT (kind, code) DO UPDATE SET misses = t.misses RETURNING misses, last_at, until`, t.kind, t.code(key), now).
		Scan(&counted.Misses, &counted.Last, &counted.Until)
	return counted, err
}

func (t try) miss(ctx context.Context, tx pgx.Tx, key []byte, counted animal.Tries) error {
	until := counted.Until
	if until.IsZero() {
		until = counted.Last
	}
	_, err := tx.Exec(ctx, `UPDATE look_up_tries SET misses = $3, last_at = $4, until = $5 WHERE kind = $1 AND code = $2`,
		t.kind, t.code(key), counted.Misses, counted.Last, until)
	return err
}

// forget ends the count: whoever asked was right.
func (t try) forget(ctx context.Context, tx pgx.Tx, key []byte) error {
	_, err := tx.Exec(ctx, `DELETE FROM look_up_tries WHERE kind = $1 AND code = $2`, t.kind, t.code(key))
	return err
}
