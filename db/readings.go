package db

import (
	"context"
	"errors"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
	"coldrail/domain/logger"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ReadingsFile is a logger's file as somebody brings it in.
type ReadingsFile struct {
	Sensor string // its name
	Name   string // of the file
	Sum    [32]byte
	Rows   []logger.Row
	Sure   bool  // it may differ from what was read by hand
	Room   int16 // a sensor it does not have yet is added to it; 0: that is refused

	Tell func(done, all int64) // hears how many rows are stored; nil: nobody does
}

// Imported says what became of a file.
type Imported struct {
	Cooler     string
	Read, Kept int
	LeftOut    map[logger.Flag]int
	From, To   time.Time // of what was kept
	Gaps       []logger.Gap
}

// mostMonths is how many months one file may span before it is plain that the
// logger's clock was wrong.
const mostMonths = 36

// ImportReadings brings a logger's file in. Every row is kept, those left out
// with the reason. The same file twice is refused, a row the sensor has already
// is a duplicate, and a file far from what was read by hand asks first whether
// its unit is right.
func (db *DB) ImportReadings(ctx context.Context, act Act, f ReadingsFile) (Imported, error) {
	var in Imported
	err := db.act(ctx, act, "import readings", func(tx pgx.Tx) (line, error) {
		s, flags, err := in.judge(ctx, tx, f, act.At)
		if err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO imports (id, sensor_id, file_name, sha256, rows_read, rows_kept, rows_left_out, at, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			act.ID, s.ID, f.Name, f.Sum[:], in.Read, in.Kept, in.Read-in.Kept, act.At, orNull(act.Staff)); err != nil {
			return line{}, err
		}
		if err := copyReadings(ctx, tx, rowsFrom{Sensor: s, Source: "file", Import: act.ID, Tell: f.Tell}, f.Rows, flags); err != nil {
			return line{}, err
		}
		return line{Cooler: s.CoolerID, What: "import", Detail: map[string]any{"sensor": s.Name, "file": f.Name, "kept": in.Kept, "left_out": in.Read - in.Kept}}, nil
	})
	return in, err
}

// errOnlyLooked ends a look at a file, so that nothing of it stays.
var errOnlyLooked = errors.New("only looked")

// LookAtReadings says what would become of a file, and keeps nothing. An error
// is what would refuse it; where that is a question, the counts stand beside it.
func (db *DB) LookAtReadings(ctx context.Context, f ReadingsFile, now time.Time) (Imported, error) {
	var in Imported
	err := db.tx(ctx, "look at readings", func(tx pgx.Tx) error {
		if _, _, err := in.judge(ctx, tx, f, now); err != nil {
			return err
		}
		return errOnlyLooked
	})
	if errors.Is(err, errOnlyLooked) {
		err = nil
	}
	return in, err
}

// judge says what becomes of each row of a file, or why it cannot come in.
func (in *Imported) judge(ctx context.Context, tx pgx.Tx, f ReadingsFile, now time.Time) (s Sensor, flags []logger.Flag, err error) {
	if s, in.Cooler, err = lockSensor(ctx, tx, f); err != nil {
		return s, nil, err
	}
	if err := newFile(ctx, tx, s, f); err != nil {
		return s, nil, err
	}
	flags = logger.Clean(f.Rows, s.Resolution, now)
	if err := flagKnown(ctx, tx, s.ID, f.Rows, flags); err != nil {
		return s, nil, err
	}
	in.count(f.Rows, flags)
	if !f.Sure {
		err = askIfFar(ctx, tx, s, f.Rows, flags)
	}
	return s, flags, err
}

// lockSensor finds the sensor and its room; a second file for it waits.
func lockSensor(ctx context.Context, tx pgx.Tx, f ReadingsFile) (s Sensor, room string, err error) {
	s, found, err := one[Sensor](ctx, tx, `SELECT `+sensorColumns+` FROM sensors WHERE name = $1 FOR UPDATE`, f.Sensor)
	switch {
	case err != nil:
		return s, "", err
	case found && f.Room != 0 && s.CoolerID != f.Room:
		return s, "", domain.Wrong("sensor", "%s stands in another room. Bring its file in there.", f.Sensor)
	case !found && f.Room == 0:
		return s, "", domain.Missing("There is no sensor called %s. Add it to its room first.", f.Sensor)
	case !found && !scaleName.MatchString(f.Sensor):
		return s, "", domain.Wrong("sensor", "Name the sensor in small letters, digits and dashes, such as main-logger.")
	case !found:
		if s, _, err = one[Sensor](ctx, tx, `INSERT INTO sensors (cooler_id, name, kind) VALUES ($1, $2, 'logger') RETURNING `+sensorColumns, f.Room, f.Sensor); err != nil {
			return s, "", err
		}
	}
	err = tx.QueryRow(ctx, `SELECT name FROM coolers WHERE id = $1`, s.CoolerID).Scan(&room)
	return s, room, err
}

// newFile refuses a file that was brought in before.
func newFile(ctx context.Context, tx pgx.Tx, s Sensor, f ReadingsFile) error {
	if len(f.Rows) == 0 {
		return domain.Wrong("file", "There is no reading in this file.")
	}
	type before struct {
		FileName string
		At       time.Time
		RowsKept int
	}
	b, found, err := one[before](ctx, tx, `SELECT file_name, at, rows_kept FROM imports WHERE sensor_id = $1 AND sha256 = $2`, s.ID, f.Sum[:])
	if err == nil && found {
		err = domain.Taken("This file is in already: it came as %s on %s with %d readings kept. Nothing was changed.", b.FileName, b.At.Format(time.DateOnly), b.RowsKept)
	}
	return err
}

// flagKnown flags the rows for whose instant the sensor has a reading already.
func flagKnown(ctx context.Context, tx pgx.Tx, sensor int16, rows []logger.Row, flags []logger.Flag) error {
	first, last := rows[0].At, rows[0].At
	for _, r := range rows {
		if r.At.Before(first) {
			first = r.At
		}
		if r.At.After(last) {
			last = r.At
		}
	}
	known := map[int64]bool{}
	var at time.Time
	found, err := tx.Query(ctx, `SELECT at FROM readings WHERE sensor_id = $1 AND flag = 'ok' AND at BETWEEN $2 AND $3`, sensor, first, last)
	if err != nil {
		return err
	}
	if _, err := pgx.ForEachRow(found, []any{&at}, func() error { known[at.UnixMilli()] = true; return nil }); err != nil {
		return err
	}
	for i, r := range rows {
		if flags[i] == logger.OK && known[r.At.UnixMilli()] {
			flags[i] = logger.Duplicate
		}
	}
	return nil
}

// count fills in what became of the rows.
func (in *Imported) count(rows []logger.Row, flags []logger.Flag) {
	in.Read, in.LeftOut = len(rows), map[logger.Flag]int{}
	var at []time.Time
	for i, f := range flags {
		if f == logger.OK {
			at = append(at, rows[i].At)
		} else {
			in.LeftOut[f]++
		}
	}
	in.Kept = len(at)
	if in.Kept > 0 {
		slices.SortFunc(at, time.Time.Compare)
		in.From, in.To, in.Gaps = at[0], at[len(at)-1], logger.Gaps(at)
	}
}

// tooFar is how far a file may lie from what was read by hand before a person is
// asked, and near how close in time the two must be (readiness.md section 8).
const (
	tooFar domain.Celsius = 15
	near                  = 2 * time.Hour
)

// askIfFar stops a file that lies far from the last reading taken by hand: its
// unit may be the wrong one.
func askIfFar(ctx context.Context, tx pgx.Tx, s Sensor, rows []logger.Row, flags []logger.Flag) error {
	var first, last time.Time
	for i, r := range rows {
		if flags[i] != logger.OK {
			continue
		}
		if r.At.After(last) {
			last = r.At
		}
		if first.IsZero() || r.At.Before(first) {
			first = r.At
		}
	}
	hand, found, err := one[exposure.Reading](ctx, tx, `
		SELECT r.at, r.c FROM readings r JOIN sensors s ON s.id = r.sensor_id
		WHERE r.cooler_id = $1 AND r.source = 'hand' AND r.flag = 'ok' AND s.measures = $2 AND r.at BETWEEN $4 AND $3 ORDER BY r.at DESC, r.id LIMIT 1`,
		s.CoolerID, s.Measures, last, first.Add(-near))
	if err != nil || !found {
		return err
	}
	closest, read := near, hand.C
	for i, r := range rows {
		if apart := r.At.Sub(hand.At).Abs(); flags[i] == logger.OK && apart <= closest {
			closest, read = apart, r.C
		}
	}
	if read-hand.C > tooFar || hand.C-read > tooFar {
		return domain.Refuse("unit", "The file says %v where %v was read by hand at about that time. Is the unit right, and the sensor? Bring it in again with the other unit, or say that you are sure.", read, hand.C)
	}
	return nil
}

// rowsFrom says where rows came from.
type rowsFrom struct {
	Sensor
	Source string    // file or post
	Import uuid.UUID // of a file
	Tell   func(done, all int64)
}

// copyReadings stores the rows with COPY, making the months they fall in.
func copyReadings(ctx context.Context, tx pgx.Tx, from rowsFrom, rows []logger.Row, flags []logger.Flag) error {
	months := map[time.Time]bool{}
	for _, r := range rows {
		u := r.At.UTC()
		months[time.Date(u.Year(), u.Month(), 1, 0, 0, 0, 0, time.UTC)] = true
	}
	if len(months) > mostMonths {
		return domain.Wrong("file", "The readings in this file fall into %d different months. The logger's clock was wrong: set it, and cut the file to the rows that are right.", len(months))
	}
	for m := range months {
		if _, err := tx.Exec(ctx, `SELECT make_readings_month($1)`, m); err != nil {
			return err
		}
	}
	columns := []string{"sensor_id", "cooler_id", "at", "c", "raw_value", "raw_unit", "raw_at", "flag", "source", "import_id"}
	_, err := tx.CopyFrom(ctx, pgx.Identifier{"readings"}, columns, pgx.CopyFromSlice(len(rows), func(i int) ([]any, error) {
		r := rows[i]
		if from.Tell != nil {
			from.Tell(int64(i+1), int64(len(rows)))
		}
		var c *float64
		if r.Read {
			v := float64(r.C)
			c = &v
		}
		return []any{from.ID, from.CoolerID, r.At, c, r.RawValue, string(r.Unit), r.RawAt, string(flags[i]), from.Source, orNull(from.Import)}, nil
	}))
	return err
}

// mostReadings bounds what one answer carries: five-minute readings of a year.
const mostReadings = 110_000

// EverRead reports whether anything was ever read in a room. One set up this morning
// is not to be scolded for a silence.
func (db *DB) EverRead(ctx context.Context, room int16) (read bool, err error) {
	err = db.pool.QueryRow(ctx, `SELECT EXISTS (SELECT FROM readings WHERE cooler_id = $1 AND flag = 'ok')`, room).Scan(&read)
	return read, err
}

// RoomSeries returns the good readings of a room's air between two moments, in
// order of time and one an instant, the first given first; and those of its meat
// apart.
func (db *DB) RoomSeries(ctx context.Context, room int16, from, to time.Time) (air, meat []exposure.Reading, err error) {
	const series = `
		SELECT DISTINCT ON (r.at) r.at, r.c FROM readings r JOIN sensors s ON s.id = r.sensor_id
		WHERE r.cooler_id = $1 AND r.at BETWEEN $2 AND $3 AND r.flag = 'ok' AND s.measures = $4 ORDER BY r.at, r.id LIMIT $5`
	if air, err = all[exposure.Reading](ctx, db.pool, series, room, from, to, "air", mostReadings); err != nil {
		return nil, nil, err
	}
	meat, err = all[exposure.Reading](ctx, db.pool, series, room, from, to, "meat", mostReadings)
	return air, meat, err
}
