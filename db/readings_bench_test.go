package db_test

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/logger"

	"github.com/jackc/pgx/v5"
)

// manyRows is a logger's file of n rows, one a minute, that ends before the day of
// dbtest.Noon. The nth of a run has other temperatures, so that no file is known.
func manyRows(n, nth int) string {
	var b strings.Builder
	b.WriteString("Date,Time,Temp (F)\n")
	at := time.Date(2026, 11, 18, 12, 0, 0, 0, time.UTC).Add(-time.Duration(n) * time.Minute)
	for i := range n {
		t := at.Add(time.Duration(i) * time.Minute)
		fmt.Fprintf(&b, "%s,%s,%.1f\n", t.Format("2006-01-02"), t.Format("15:04:05"), 34+float64((i*7+nth)%40)/10)
	}
	return b.String()
}

// A file of 100,000 rows comes in whole; a row typed twice, one that is no number
// and one of a sensor's start are counted and kept with the reason.
func TestHundredThousandRows(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	text := manyRows(100_000, 0) + "2026-11-18,11:59:00,36.0\n2026-11-18,12:05:00,sensor lost\n2026-11-18,12:06:00,185.0\n"
	f := readFile(t, s, text)
	in, err := s.ImportReadings(t.Context(), s.Act(s.Ann, dbtest.Noon), f)
	if err != nil || in.Kept != 100_000 || in.Read != len(f.Rows) || in.LeftOut[logger.Duplicate] != 1 {
		t.Errorf("%+v, %v: want 100,000 kept and one twice", in, err)
	}
	var stored, good int
	if err := s.Pool().QueryRow(t.Context(), `SELECT count(*), count(*) FILTER (WHERE flag = 'ok') FROM readings`).Scan(&stored, &good); err != nil || stored != len(f.Rows) || good != 100_000 {
		t.Errorf("%d rows stored, %d of them good, %v", stored, good, err)
	}
}

func readFile(t testing.TB, s *dbtest.Shop, text string) db.ReadingsFile {
	t.Helper()
	rows, _, err := logger.Read([]byte(text), logger.Told{Zone: time.UTC, Unit: logger.Fahrenheit})
	if err != nil {
		t.Fatal(err)
	}
	return db.ReadingsFile{Sensor: "main-logger", Name: "many.csv", Sum: sha256.Sum256([]byte(text)), Rows: rows, Room: s.Cooler.ID}
}

// BenchmarkReadingsFile brings a file of 100,000 rows in, from its bytes to the
// commit, and COPYs the same rows, parsed already, in turn; it prints the ratio of
// the medians (target: at most 2).
func BenchmarkReadingsFile(b *testing.B) {
	s := dbtest.OpenShop(b)
	s.Past(b)
	text := manyRows(100_000, 0)
	warm := readFile(b, s, text)
	if _, err := s.ImportReadings(b.Context(), s.Act(s.Ann, dbtest.Noon), warm); err != nil {
		b.Fatal(err)
	}
	owner := dbtest.Owner(b, s.DB)
	empty := func() { // the months of the file alone: earlier seasons stay
		if _, err := owner.Exec(b.Context(), `TRUNCATE readings_202609, readings_202610, readings_202611; DELETE FROM imports`); err != nil {
			b.Fatal(err)
		}
	}
	var whole, bare []time.Duration
	nth := 0
	for b.Loop() {
		for range 3 { // of fewer there is no median
			nth++
			text := manyRows(100_000, nth)
			empty()
			begun := time.Now()
			if _, err := s.ImportReadings(b.Context(), s.Act(s.Ann, dbtest.Noon), readFile(b, s, text)); err != nil {
				b.Fatal(err)
			}
			whole = append(whole, time.Since(begun))
			empty()
			begun = time.Now()
			copyAlone(b, s, warm.Rows)
			bare = append(bare, time.Since(begun))
		}
	}
	slices.Sort(whole)
	slices.Sort(bare)
	w, c := whole[len(whole)/2], bare[len(bare)/2]
	b.ReportMetric(float64(w.Microseconds())/1000, "whole-ms")
	b.ReportMetric(float64(c.Microseconds())/1000, "copy-ms")
	b.ReportMetric(float64(w)/float64(c), "ratio")
}

// copyAlone is COPY of the same rows in a transaction of its own.
func copyAlone(b *testing.B, s *dbtest.Shop, rows []logger.Row) {
	sensors, err := s.Sensors(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	sensor := sensors[slices.IndexFunc(sensors, func(x db.Sensor) bool { return x.Name == "main-logger" })]
	err = pgx.BeginFunc(b.Context(), s.Pool(), func(tx pgx.Tx) error {
		_, err := tx.CopyFrom(b.Context(), pgx.Identifier{"readings"},
			[]string{"sensor_id", "cooler_id", "at", "c", "raw_value", "raw_unit", "raw_at", "flag", "source"},
			pgx.CopyFromSlice(len(rows), func(i int) ([]any, error) {
				r := rows[i]
				return []any{sensor.ID, s.Cooler.ID, r.At, float64(r.C), r.RawValue, string(r.Unit), r.RawAt, "ok", "file"}, nil
			}))
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
}
