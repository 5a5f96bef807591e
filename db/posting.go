package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/logger"

	"github.com/jackc/pgx/v5"
)

// Posted says what became of the readings a sensor posted.
type Posted struct {
	New     int                 // in the room's record from now on
	Known   int                 // the same instant and value came before
	LeftOut map[logger.Flag]int // kept as they came, but not in the record
}

// KeepPosted keeps the readings a sensor posts, if its token counts. What came
// before is kept once, so that a sensor without an answer may simply send again.
// Known is false where no sensor has that token.
func (db *DB) KeepPosted(ctx context.Context, token string, rows []logger.Row, now time.Time) (p Posted, known bool, err error) {
	p.LeftOut = map[logger.Flag]int{}
	err = db.tx(ctx, "keep posted readings", func(tx pgx.Tx) error {
		s, found, err := sensorOf(ctx, tx, token)
		known = found
		if err != nil || !found || len(rows) == 0 {
			return err
		}
		before, err := keptAround(ctx, tx, s.ID, rows)
		if err != nil {
			return err
		}
		fresh := before.without(rows)
		p.Known = len(rows) - len(fresh)
		flags, stuck := before.judge(fresh, s.Resolution, now)
		for _, f := range flags {
			if f == logger.OK {
				p.New++
			} else {
				p.LeftOut[f]++
			}
		}
		if err := callStuck(ctx, tx, s.ID, stuck); err != nil || len(fresh) == 0 {
			return err
		}
		return copyReadings(ctx, tx, rowsFrom{Sensor: s, Source: "post"}, fresh, flags)
	})
	return p, known, err
}

// stuckReach is how far around a reading the others lie that may show with it
// that the sensor is stuck: the 12 h and one step of a run.
const stuckReach = 15 * time.Hour

// keptReading is a reading the sensor has already.
type keptReading struct {
	At       time.Time
	C        *domain.Celsius
	RawValue string
	RawUnit  logger.Unit
	Flag     logger.Flag
}

// keptReadings are those around a post, in the order they came.
type keptReadings []keptReading

// keptAround reads those near any of the rows, and nothing between rows that lie far
// apart: a sensor with a wrong clock may post one of today beside one of years ago.
func keptAround(ctx context.Context, tx pgx.Tx, sensor int16, rows []logger.Row) (keptReadings, error) {
	since, until := spansAround(rows, stuckReach)
	return all[keptReading](ctx, tx, `
		SELECT r.at, r.c, r.raw_value, r.raw_unit, r.flag
		FROM unnest($2::timestamptz[], $3::timestamptz[]) AS near (since, until)
		JOIN readings r ON r.at BETWEEN near.since AND near.until
		WHERE r.sensor_id = $1 ORDER BY r.id`, sensor, since, until)
}

// spansAround are the times within reach of any of the rows, none twice.
func spansAround(rows []logger.Row, reach time.Duration) (since, until []time.Time) {
	at := make([]time.Time, len(rows))
	for i, r := range rows {
		at[i] = r.At
	}
	slices.SortFunc(at, time.Time.Compare)
	for _, t := range at {
		if n := len(until); n > 0 && !t.Add(-reach).After(until[n-1]) {
			until[n-1] = t.Add(reach)
			continue
		}
		since, until = append(since, t.Add(-reach)), append(until, t.Add(reach))
	}
	return since, until
}

// sameReading tells one reading from another: by its instant, and by its value
// or, where that is no number, by what was sent.
type sameReading struct {
	at  int64
	c   domain.Celsius
	raw string
}

func same(at time.Time, c domain.Celsius, read bool, raw string) sameReading {
	if read {
		return sameReading{at: at.UnixMilli(), c: c}
	}
	return sameReading{at: at.UnixMilli(), raw: raw}
}

// without leaves out the rows that came before, also in the same post.
func (k keptReadings) without(rows []logger.Row) []logger.Row {
	seen := map[sameReading]bool{}
	for _, r := range k {
		if r.C != nil {
			seen[same(r.At, *r.C, true, "")] = true
		} else {
			seen[same(r.At, 0, false, r.RawValue)] = true
		}
	}
	var fresh []logger.Row
	for _, r := range rows {
		if s := same(r.At, r.C, r.Read, r.RawValue); !seen[s] {
			seen[s] = true
			fresh = append(fresh, r)
		}
	}
	return fresh
}

// judge flags the fresh rows beside those kept before them, and returns the
// instants of earlier good readings that now turn out to be of a stuck sensor.
func (k keptReadings) judge(fresh []logger.Row, resolution float64, now time.Time) (flags []logger.Flag, stuck []time.Time) {
	var together []logger.Row
	var believed []bool
	for _, r := range k {
		if r.C != nil && (r.Flag == logger.OK || r.Flag == logger.Stuck) {
			together = append(together, logger.Row{At: r.At, C: *r.C, Read: true})
			believed = append(believed, r.Flag == logger.OK)
		}
	}
	flags = logger.Clean(append(together, fresh...), resolution, now)
	for i := range together {
		if believed[i] && flags[i] == logger.Stuck {
			stuck = append(stuck, together[i].At)
		}
	}
	return flags[len(together):], stuck
}

// callStuck takes earlier readings out of the record. They stay as they came.
func callStuck(ctx context.Context, tx pgx.Tx, sensor int16, at []time.Time) error {
	if len(at) == 0 {
		return nil
	}
	_, err := tx.Exec(ctx, `UPDATE readings SET flag = 'stuck' WHERE sensor_id = $1 AND at = ANY($2) AND flag = 'ok'`, sensor, at)
	return err
}
