package db

import (
	"context"
	"crypto/subtle"
	"encoding/base32"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Unmanned reports whether nobody has ever worked here: the shop is still to be
// set up.
func (db *DB) Unmanned(ctx context.Context) (unmanned bool, err error) {
	err = db.pool.QueryRow(ctx, `SELECT NOT EXISTS (SELECT FROM staff)`).Scan(&unmanned)
	return unmanned, translate(err)
}

// OpeningCode is the word that whoever sets the shop up reads off the machine's
// own screen: 40 bits, so that nobody else on the network guesses it.
func (db *DB) OpeningCode(ctx context.Context) (string, error) {
	secret, err := db.Secret(ctx, "opening code")
	if err != nil {
		return "", err
	}
	return base32.StdEncoding.EncodeToString(secret[:5]), nil
}

// Opening is what a shop begins with.
type Opening struct {
	Code   string
	Shop   Shop
	Owner  NewStaff
	Device string // what to call the device that sets it up
}

// OpenShop writes the shop, its first owner and the device in the owner's hand,
// once: whoever comes second is told.
func (db *DB) OpenShop(ctx context.Context, o Opening, now time.Time) (device uuid.UUID, owner Staff, err error) {
	code, err := db.OpeningCode(ctx)
	if err != nil {
		return device, owner, err
	}
	typed := strings.ToUpper(strings.TrimSpace(o.Code))
	if subtle.ConstantTimeCompare([]byte(typed), []byte(code)) != 1 {
		return device, owner, domain.Wrong("code", "That is not the code. It stands where the program was started.")
	}
	if err := o.Shop.check(); err != nil {
		return device, owner, err
	}
	if o.Owner.Password == "" {
		return device, owner, domain.Wrong("password", "The owner's password needs 12 to 128 characters. A short sentence does well.")
	}
	if o.Device = strings.TrimSpace(o.Device); o.Device == "" {
		return device, owner, domain.Wrong("device", "Name the device, such as counter tablet.")
	}
	o.Owner.Roles = []string{"lead", "owner"}
	owner, secrets, err := o.Owner.checked(now)
	if err != nil {
		return device, owner, err
	}
	device = uuid.Must(uuid.NewV7())
	return device, owner, db.tx(ctx, "open shop", func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT FROM shop FOR UPDATE`); err != nil {
			return err
		}
		var manned bool
		if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM staff)`).Scan(&manned); err != nil {
			return err
		}
		if manned {
			return domain.Taken("The shop has been set up already. Let this device in with the owner's password.")
		}
		if err := o.Shop.save(ctx, tx); err != nil {
			return err
		}
		if err := addStaff(ctx, tx, owner, secrets); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, `INSERT INTO devices (id, name, enrolled_at, enrolled_by) VALUES ($1, $2, $3, $4)`, device, o.Device, now, owner.ID)
		return err
	})
}
