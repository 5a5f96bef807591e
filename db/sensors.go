package db

import (
	"context"
	"math"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Sensor is what measures in a room.
type Sensor struct {
	ID         int16
	CoolerID   int16
	Name       string
	Kind       string  // hand, logger or posting
	Measures   string  // air or meat
	Resolution float64 // the smallest step it shows, in its own unit
	Zone       string  // of its clock, where its files name none
}

const sensorColumns = `id, cooler_id, name, kind, measures, resolution, zone`

// Sensors lists what measures, room by room.
func (db *DB) Sensors(ctx context.Context) ([]Sensor, error) {
	return all[Sensor](ctx, db.pool, `SELECT `+sensorColumns+` FROM sensors ORDER BY cooler_id, kind, name LIMIT 500`)
}

// Sensor finds one by its name.
func (db *DB) Sensor(ctx context.Context, name string) (Sensor, error) {
	s, found, err := one[Sensor](ctx, db.pool, `SELECT `+sensorColumns+` FROM sensors WHERE name = $1`, name)
	if err == nil && !found {
		err = domain.Missing("There is no sensor called %s.", name)
	}
	return s, err
}

// AddSensor puts a sensor to a room. Kind, what it measures and its resolution
// may be left empty: a logger of the air, to a tenth.
func (db *DB) AddSensor(ctx context.Context, s Sensor) (Sensor, error) {
	s.Name = strings.TrimSpace(s.Name)
	if s.Name == "" {
		return s, domain.Wrong("sensor", "Name the sensor, such as main-logger.")
	}
	if _, err := time.LoadLocation(s.Zone); err != nil {
		return s, domain.Wrong("zone", "%s is no time zone. Give one such as America/New_York.", s.Zone)
	}
	if s.Kind == "" {
		s.Kind = "logger"
	}
	if s.Measures == "" {
		s.Measures = "air"
	}
	if s.Resolution == 0 {
		s.Resolution = 0.1
	}
	err := db.tx(ctx, "add sensor", func(tx pgx.Tx) error {
		return tx.QueryRow(ctx, `
			INSERT INTO sensors (cooler_id, name, kind, measures, resolution, zone) VALUES ($1, $2, $3, $4, $5, $6) RETURNING id`,
			s.CoolerID, s.Name, s.Kind, s.Measures, s.Resolution, s.Zone).Scan(&s.ID)
	})
	return s, err
}

// What a round reads in a room: the name of its sensor behind the room's.
const (
	handWarmSpot, handPanel = "by hand, warm spot", "panel"
	handOldest, handNewest  = "by hand, oldest meat", "by hand, newest meat"
)

var handWords = map[string]string{handWarmSpot: "air at the warm spot", handPanel: "air at the panel",
	handOldest: "the longest hung meat", handNewest: "the newest meat"}

// HandWords says what is read by hand in a room; a sensor that no round makes is called
// by its name.
func (s Sensor) HandWords(room string) domain.Words {
	name := strings.TrimPrefix(s.Name, room+" ")
	if said, ok := handWords[name]; ok {
		return domain.Say(said)
	}
	return domain.Say("%s", name)
}

// addHandReadings makes readings of what was measured on a round. The shop's own
// thermometer comes before the panel: of two readings at one instant the first
// counts.
func addHandReadings(ctx context.Context, tx pgx.Tx, roundID uuid.UUID, shop Shop, room Cooler, r RoomCheck, at time.Time) error {
	for _, hand := range []struct {
		name, measures string
		temp           *domain.Celsius
	}{
		{handWarmSpot, "air", r.AirOwn}, {handPanel, "air", r.AirPanel}, {handOldest, "meat", r.MeatOld}, {handNewest, "meat", r.MeatNew},
	} {
		if hand.temp == nil {
			continue
		}
		sensor, err := handSensor(ctx, tx, room, hand.name, hand.measures)
		if err != nil {
			return err
		}
		if err := addReading(ctx, tx, roundID, shop, sensor, *hand.temp, at); err != nil {
			return err
		}
	}
	return nil
}

// handSensor is the room's hand sensor of that name, made when first used. Its
// row stays locked until tx ends, so that readings of one instant queue up.
func handSensor(ctx context.Context, tx pgx.Tx, room Cooler, name, measures string) (Sensor, error) {
	s, _, err := one[Sensor](ctx, tx, `
		INSERT INTO sensors (cooler_id, name, kind, measures, resolution) VALUES ($1, $2, 'hand', $3, 1)
		ON CONFLICT (name) DO UPDATE SET resolution = sensors.resolution RETURNING `+sensorColumns, room.ID, room.Name+" "+name, measures)
	return s, err
}

// addReading keeps one reading taken by hand, in the unit it was read in.
func addReading(ctx context.Context, tx pgx.Tx, roundID uuid.UUID, shop Shop, s Sensor, c domain.Celsius, at time.Time) error {
	raw, unit := float64(c), "C"
	if shop.Units == "us" {
		raw, unit = c.F(), "F"
	}
	if _, err := tx.Exec(ctx, `SELECT make_readings_month($1)`, at); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `
		INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source, round_id)
		VALUES ($1, $2, $3, $4, $5, $6, $7, CASE WHEN EXISTS (SELECT FROM readings WHERE sensor_id = $1 AND at = $3 AND flag = 'ok')
		        THEN 'duplicate' ELSE 'ok' END, 'hand', $8)`,
		s.ID, s.CoolerID, at, c, strconv.FormatFloat(math.Round(raw*100)/100, 'f', -1, 64), unit, at.UTC().Format(time.RFC3339), roundID)
	return err
}
