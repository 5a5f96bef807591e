package db

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// PostingSensor is a sensor that has, or had, a token to post its readings with.
type PostingSensor struct {
	TokenID   uuid.UUID
	Name      string
	Room      string
	Measures  string
	MadeAt    time.Time
	RevokedAt *time.Time
	LastAt    *time.Time // of the last reading it posted
}

// PostingSensors lists them, those whose token still counts first.
func (db *DB) PostingSensors(ctx context.Context) ([]PostingSensor, error) {
	return all[PostingSensor](ctx, db.pool, `
		SELECT t.id AS token_id, s.name, c.label AS room, s.measures, t.made_at, t.revoked_at,
		       (SELECT max(at) FROM readings WHERE sensor_id = s.id AND flag = 'ok' AND source = 'post') AS last_at
		FROM sensor_tokens t JOIN sensors s ON s.id = t.sensor_id JOIN coolers c ON c.id = s.cooler_id
		ORDER BY t.revoked_at IS NOT NULL, s.name, t.made_at DESC LIMIT 100`)
}

// LetSensorIn lets a sensor post its readings and returns its token, which is
// shown this once: the book keeps only its hash. A sensor the room does not have
// yet is added. Sent twice it changes nothing, and the token is gone.
func (db *DB) LetSensorIn(ctx context.Context, act Act, s Sensor) (token string, err error) {
	if !scaleName.MatchString(s.Name) {
		return "", domain.Wrong("sensor", "Name the sensor in small letters, digits and dashes, such as main-air.")
	}
	if s.Measures != "air" && s.Measures != "meat" {
		return "", domain.Wrong("measures", "Say whether it measures the air or the meat.")
	}
	if !(s.Resolution > 0 && s.Resolution <= 5) {
		return "", domain.Wrong("step", "Give the smallest step the sensor shows, such as 0.1.")
	}
	secret := make([]byte, 24)
	rand.Read(secret) // never fails: see crypto/rand
	made := hex.EncodeToString(secret)
	err = db.act(ctx, act, "let sensor in", func(tx pgx.Tx) (line, error) {
		id, err := postingSensor(ctx, tx, s)
		if err != nil {
			return line{}, err
		}
		hash := sha256.Sum256([]byte(made))
		tag, err := tx.Exec(ctx, `
			INSERT INTO sensor_tokens (id, sensor_id, token_hash, made_at, made_by) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (sensor_id) WHERE revoked_at IS NULL DO NOTHING`, act.ID, id, hash[:], act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Wrong("sensor", "%s has a password already. If it is lost, take the sensor out first and let it in again.", s.Name)
		}
		token = made
		return line{Cooler: s.CoolerID, What: "let-sensor-in", Detail: map[string]any{"sensor": s.Name}}, err
	})
	return token, err
}

// postingSensor finds the sensor of that name, or adds it. Its row stays locked.
func postingSensor(ctx context.Context, tx pgx.Tx, s Sensor) (id int16, err error) {
	there, found, err := one[Sensor](ctx, tx, `
		INSERT INTO sensors (cooler_id, name, kind, measures, resolution) VALUES ($1, $2, 'posting', $3, $4)
		ON CONFLICT (name) DO UPDATE SET name = excluded.name RETURNING `+sensorColumns, s.CoolerID, s.Name, s.Measures, s.Resolution)
	switch {
	case err != nil || !found:
		return 0, err
	case there.Kind == "hand":
		return 0, domain.Wrong("sensor", "%s is read by hand. Give the sensor another name.", s.Name)
	case there.CoolerID != s.CoolerID || there.Measures != s.Measures:
		return 0, domain.Wrong("sensor", "%s stands in another room or measures something else. Give this one another name.", s.Name)
	}
	return there.ID, nil
}

// TakeSensorOut takes the token from a sensor: what it posts from now on is
// refused, and what it posted stays.
func (db *DB) TakeSensorOut(ctx context.Context, act Act, tokenID uuid.UUID) error {
	return db.act(ctx, act, "take sensor out", func(tx pgx.Tx) (line, error) {
		var name string
		var room int16
		err := tx.QueryRow(ctx, `
			UPDATE sensor_tokens t SET revoked_at = $2 FROM sensors s
			WHERE s.id = t.sensor_id AND t.id = $1 AND t.revoked_at IS NULL RETURNING s.name, s.cooler_id`, tokenID, act.At).Scan(&name, &room)
		if err == pgx.ErrNoRows {
			err = domain.Taken("That sensor sends nothing any more.")
		}
		return line{Cooler: room, What: "take-sensor-out", Detail: map[string]any{"sensor": name}}, err
	})
}

// sensorOf finds the sensor a token belongs to and locks it, so that two posts of
// one sensor queue up.
func sensorOf(ctx context.Context, tx pgx.Tx, token string) (s Sensor, found bool, err error) {
	hash := sha256.Sum256([]byte(token))
	return one[Sensor](ctx, tx, `
		SELECT s.id, s.cooler_id, s.name, s.kind, s.measures, s.resolution, s.zone FROM sensors s JOIN sensor_tokens t ON t.sensor_id = s.id
		WHERE t.token_hash = $1 AND t.revoked_at IS NULL FOR UPDATE OF s`, hash[:])
}
