package db

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Scale is one that sends its weights over the shop's network.
type Scale struct {
	ID        uuid.UUID
	Name      string
	Device    string // the tablet it stands beside; empty: any
	MadeAt    time.Time
	RevokedAt *time.Time
	LastAt    *time.Time // it last sent a weight
}

// ScaleWeight is a weight a scale has sent and nobody has used yet.
type ScaleWeight struct {
	ID    uuid.UUID
	Scale string
	Kg    domain.Kilogram
	At    time.Time
}

// freshWeight is how long a weight sent by a scale may be taken for what lies on
// it. Common practice, no source: longer, and something else lies there.
const freshWeight = 2 * time.Minute

var scaleName = regexp.MustCompile(`^[a-z0-9-]{1,30}$`)

// Scales lists the scales that send their weights.
func (db *DB) Scales(ctx context.Context) ([]Scale, error) {
	return all[Scale](ctx, db.pool, `
		SELECT s.id, s.name, coalesce(d.name, '') AS device, s.made_at, s.revoked_at, (SELECT max(at) FROM scale_readings WHERE scale_id = s.id) AS last_at
		FROM scales s LEFT JOIN devices d ON d.id = s.device_id ORDER BY s.revoked_at IS NOT NULL, s.name LIMIT 100`)
}

// MakeScale lets a scale send its weights and returns its token, which is shown
// this once: the book keeps only its hash. Sent twice it changes nothing, and
// the token is gone.
func (db *DB) MakeScale(ctx context.Context, act Act, name string, device uuid.UUID) (token string, err error) {
	if !scaleName.MatchString(name) {
		return "", domain.Wrong("scale", "Name the scale in small letters, digits and dashes, such as bench-1.")
	}
	secret := make([]byte, 24)
	rand.Read(secret) // never fails: see crypto/rand
	made := hex.EncodeToString(secret)
	err = db.act(ctx, act, "make scale", func(tx pgx.Tx) (line, error) {
		hash := sha256.Sum256([]byte(made))
		tag, err := tx.Exec(ctx, `
			INSERT INTO scales (id, name, token_hash, device_id, made_at, made_by) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT (name) DO NOTHING`,
			act.ID, name, hash[:], orNull(device), act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Wrong("scale", "There is a scale called %s already. Give this one another name.", name)
		}
		token = made
		return line{What: "make-scale", Detail: map[string]any{"scale": name}}, err
	})
	return token, err
}

// RevokeScale takes the token from a scale: what it sends from now on is refused.
func (db *DB) RevokeScale(ctx context.Context, act Act, id uuid.UUID) error {
	return db.act(ctx, act, "revoke scale", func(tx pgx.Tx) (line, error) {
		var name string
		err := tx.QueryRow(ctx, `UPDATE scales SET revoked_at = $2 WHERE id = $1 AND revoked_at IS NULL RETURNING name`, id, act.At).Scan(&name)
		if err == pgx.ErrNoRows {
			err = domain.Taken("That scale sends nothing any more.")
		}
		return line{What: "revoke-scale", Detail: map[string]any{"scale": name}}, err
	})
}

// ReadScale keeps a weight a scale has sent, if its token is right. Known is
// false where there is no such scale or the token is wrong: which of the two is
// nobody's business. What is a day old and was never used is thrown out.
func (db *DB) ReadScale(ctx context.Context, name, token string, kg domain.Kilogram, sent string, now time.Time) (known bool, err error) {
	err = db.tx(ctx, "read scale", func(tx pgx.Tx) error {
		hash := sha256.Sum256([]byte(token))
		var id uuid.UUID
		err := tx.QueryRow(ctx, `SELECT id FROM scales WHERE name = $1 AND token_hash = $2 AND revoked_at IS NULL`, name, hash[:]).Scan(&id)
		if err == pgx.ErrNoRows {
			return nil
		}
		if err != nil {
			return err
		}
		known = true
		if !(kg > 0 && kg <= 1500) {
			return domain.Wrong("weight", "A weight is above 0 and below 1500 kg.")
		}
		if _, err := tx.Exec(ctx, `DELETE FROM scale_readings WHERE scale_id = $1 AND used_at IS NULL AND at < $2`, id, now.Add(-24*time.Hour)); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO scale_readings (id, scale_id, kg, sent, at) VALUES ($1, $2, $3, $4, $5)`,
			uuid.Must(uuid.NewV7()), id, kg, strings.ToValidUTF8(sent[:min(len(sent), 100)], ""), now)
		return err
	})
	return known, err
}

// WeightsAt lists the last weight of each scale beside a tablet that was sent
// within two minutes and not used yet.
func (db *DB) WeightsAt(ctx context.Context, device uuid.UUID, now time.Time) ([]ScaleWeight, error) {
	return all[ScaleWeight](ctx, db.pool, `
		SELECT r.id, s.name AS scale, r.kg, r.at
		FROM scales s JOIN LATERAL (SELECT id, kg, at, used_at FROM scale_readings WHERE scale_id = s.id AND at <= $2 ORDER BY at DESC, id DESC LIMIT 1) r ON true
		WHERE s.revoked_at IS NULL AND (s.device_id IS NULL OR s.device_id = $1) AND r.used_at IS NULL AND r.at > $3 ORDER BY s.name LIMIT 10`,
		device, now, now.Add(-freshWeight))
}

// readFrom says which scale read a weight and when; the zero value: it was typed.
type readFrom struct {
	Scale string
	Kg    domain.Kilogram
	At    time.Time
}

func (r readFrom) at() *time.Time {
	if r.Scale == "" {
		return nil
	}
	return &r.At
}

// detail adds to a line of the time line how the weight came about.
func (r readFrom) detail(d map[string]any, tare domain.Kilogram) map[string]any {
	if r.Scale != "" {
		d["scale"] = r.Scale
	}
	if tare > 0 {
		d["tare_kg"] = round3(tare)
	}
	return d
}

// weightRead finds the net weight: of the reading, which is used up by it, less
// the tare; or as it was typed.
func weightRead(ctx context.Context, tx pgx.Tx, act Act, reading uuid.UUID, net *domain.Kilogram, tare domain.Kilogram, field, ask string) (readFrom, error) {
	var r readFrom
	if reading != uuid.Nil {
		var found bool
		var err error
		r, found, err = one[readFrom](ctx, tx, `
			UPDATE scale_readings r SET used_at = $2 FROM scales s
			WHERE s.id = r.scale_id AND r.id = $1 AND r.used_at IS NULL AND r.at > $3 RETURNING s.name AS scale, r.kg, r.at`,
			reading, act.At, act.At.Add(-2*freshWeight))
		if err == nil && !found {
			err = domain.Taken("That weight was used already, or is too old. Put it on the scale again.")
		}
		if err != nil {
			return r, err
		}
		*net = r.Kg - tare
	}
	switch {
	case !(tare >= 0 && tare <= 1500):
		return r, domain.Wrong("tare", "Weigh the empty tub again.")
	case !(*net > 0 && *net <= 1500):
		return r, domain.Wrong(field, "%s", domain.Say(ask))
	}
	return r, nil
}
