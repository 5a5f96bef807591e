package db_test

import (
	"crypto/sha256"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/logger"
)

func loggerFile(t testing.TB, s *dbtest.Shop, name, sensor string) db.ReadingsFile {
	t.Helper()
	text, err := os.ReadFile("../testdata/logger/" + name)
	must(t, err)
	shop, err := s.DB.Shop(t.Context())
	must(t, err)
	rows, err := logger.Parse(text, logger.Told{Zone: shop.Location()})
	must(t, err)
	return db.ReadingsFile{Sensor: sensor, Name: name, Sum: sha256.Sum256(text), Rows: rows}
}

func addLogger(t testing.TB, s *dbtest.Shop) {
	t.Helper()
	_, err := s.AddSensor(t.Context(), db.Sensor{CoolerID: s.Cooler.ID, Name: "main-logger"})
	must(t, err)
}

func TestImportReadings(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	addLogger(t, s)
	f := loggerFile(t, s, "fahrenheit_gap.csv", "main-logger")
	var told []int64
	f.Tell = func(done, all int64) { told = append(told, done, all) }
	act := s.Act(s.Ann, now)
	in, err := s.ImportReadings(ctx, act, f)
	if err != nil || in.Read != 103 || in.Kept != 103 || len(in.Gaps) != 1 || in.Cooler != "main" {
		t.Fatalf("%+v, %v", in, err)
	}
	if n := len(told); n != 206 || told[0] != 1 || told[n-2] != 103 || told[n-1] != 103 {
		t.Errorf("103 rows told %d times: %v", n/2, told)
	}
	if _, err := s.ImportReadings(ctx, act, f); err != nil {
		t.Errorf("the same act again: %v", err)
	}
	_, err = s.ImportReadings(ctx, s.Act(s.Ann, now), f)
	if e := domain.As(err); e.Kind != domain.Conflict || !strings.Contains(e.Error(), "is in already") {
		t.Errorf("the same file again: %v", err)
	}
	air, meat, err := s.RoomSeries(ctx, s.Cooler.ID, now.AddDate(0, 0, -3), now)
	if err != nil || len(air) != 103 || len(meat) != 0 || !air[0].At.Before(air[1].At) {
		t.Errorf("%d of the air, %d of the meat, %v", len(air), len(meat), err)
	}
	var raw, at, unit string
	must(t, s.Pool().QueryRow(ctx, `SELECT raw_value, raw_at, raw_unit FROM readings ORDER BY at LIMIT 1`).Scan(&raw, &at, &unit))
	if raw != "36.0" || at != "11/17/2026 6:00 PM" || unit != "F" {
		t.Errorf("the raw row: %q %q %q", raw, at, unit)
	}
	// A longer file that repeats the first: only what is new is kept.
	longer := f
	longer.Sum[0]++
	last := f.Rows[len(f.Rows)-1]
	last.At = last.At.Add(10 * time.Minute)
	longer.Rows = append(append([]logger.Row{}, f.Rows...), last)
	if in, err = s.ImportReadings(ctx, s.Act(s.Ann, now), longer); err != nil || in.Kept != 1 || in.LeftOut[logger.Duplicate] != 103 {
		t.Errorf("a longer file: %+v, %v", in, err)
	}
}

// Every row stays, the left-out ones with their reason.
func TestImportKeepsWhatItLeavesOut(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	addLogger(t, s)
	in, err := s.ImportReadings(ctx, s.Act(s.Ann, dbtest.Noon), loggerFile(t, s, "power_up.csv", "main-logger"))
	if err != nil || in.Kept != 5 || in.LeftOut[logger.Junk] != 5 || in.LeftOut[logger.Duplicate] != 1 {
		t.Fatalf("%+v, %v", in, err)
	}
	var rows, without int
	must(t, s.Pool().QueryRow(ctx, `SELECT count(*), count(*) FILTER (WHERE c IS NULL AND raw_value = '---') FROM readings`).Scan(&rows, &without))
	if rows != 11 || without != 1 {
		t.Errorf("%d rows, %d without a number", rows, without)
	}
}

func TestImportAsksAboutTheUnit(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	addLogger(t, s)
	at := time.Date(2026, 11, 18, 12, 0, 0, 0, time.UTC)
	must(t, s.SaveRound(ctx, s.Act(s.Bob, at), walked(s, at)))
	f := loggerFile(t, s, "celsius_decimal_comma.csv", "main-logger")
	for i := range f.Rows { // read as °F what was °C
		f.Rows[i].C = domain.Fahrenheit(float64(f.Rows[i].C))
	}
	_, err := s.ImportReadings(ctx, s.Act(s.Ann, dbtest.Noon), f)
	if e := domain.As(err); e.Kind != domain.Refused || e.At != "unit" {
		t.Fatalf("35 °F by hand, a file at 2 °F: %v", err)
	}
	f.Sure = true
	if _, err := s.ImportReadings(ctx, s.Act(s.Ann, dbtest.Noon), f); err != nil {
		t.Errorf("somebody is sure: %v", err)
	}
}

func TestImportRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	addLogger(t, s)
	f := loggerFile(t, s, "utf16_tabs.txt", "attic")
	if _, err := s.ImportReadings(ctx, s.Act(s.Ann, dbtest.Noon), f); domain.As(err).Kind != domain.NotFound {
		t.Errorf("a sensor nobody has: %v", err)
	}
	f.Sensor = "main-logger"
	for i := range 40 {
		r := f.Rows[0]
		r.At = r.At.AddDate(0, -i, 0)
		f.Rows = append(f.Rows, r)
	}
	if _, err := s.ImportReadings(ctx, s.Act(s.Ann, dbtest.Noon), f); domain.As(err).At != "file" {
		t.Errorf("forty months: %v", err)
	}
}

// The same file from two places at once is kept once.
func TestImportAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	addLogger(t, s)
	f := loggerFile(t, s, "fahrenheit_gap.csv", "main-logger")
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs {
		wg.Go(func() { _, errs[i] = s.ImportReadings(ctx, s.Act(s.Ann, dbtest.Noon), f) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) || domain.As(firstError(errs)).Kind != domain.Conflict {
		t.Errorf("want one winner: %v", errs)
	}
	var rows int
	must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM readings`).Scan(&rows))
	if rows != 103 {
		t.Errorf("%d readings", rows)
	}
}
