package db_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/logger"
)

func letIn(t *testing.T, s *dbtest.Shop, name string) (token string) {
	t.Helper()
	token, err := s.LetSensorIn(t.Context(), s.Act(s.Ann, dbtest.Noon), db.Sensor{CoolerID: s.Cooler.ID, Name: name, Measures: "air", Resolution: 0.1})
	if err != nil || len(token) != 48 {
		t.Fatalf("%q, %v", token, err)
	}
	return token
}

func posted(at time.Time, c domain.Celsius) logger.Row {
	return logger.Row{At: at, C: c, Read: true, RawAt: at.Format(time.RFC3339), RawValue: fmt.Sprint(float64(c)), Unit: logger.Celsius}
}

func flagged(t *testing.T, s *dbtest.Shop, flag string) (n int) {
	t.Helper()
	must(t, s.Pool().QueryRow(t.Context(), `SELECT count(*) FROM readings WHERE source = 'post' AND flag = $1`, flag).Scan(&n))
	return n
}

// The token is kept as a hash only, counts until it is taken back, and a lost one
// is replaced for the same sensor.
func TestSensorToken(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	token := letIn(t, s, "main-air")
	var kept int
	must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM sensor_tokens WHERE encode(token_hash, 'hex') = $1`, token).Scan(&kept))
	if kept != 0 {
		t.Error("the token itself is in the book")
	}
	for _, tt := range []struct {
		s  db.Sensor
		at string
	}{
		{db.Sensor{Name: "main-air", Measures: "air", Resolution: 0.1}, "sensor"}, {db.Sensor{Name: "Main Air", Measures: "air", Resolution: 0.1}, "sensor"},
		{db.Sensor{Name: "other", Measures: "wind", Resolution: 0.1}, "measures"}, {db.Sensor{Name: "other", Measures: "air"}, "step"},
		{db.Sensor{Name: "main-air", Measures: "meat", Resolution: 0.1}, "sensor"},
	} {
		tt.s.CoolerID = s.Cooler.ID
		if _, err := s.LetSensorIn(ctx, s.Act(s.Ann, now), tt.s); domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt.s, err)
		}
	}
	list, err := s.PostingSensors(ctx)
	if err != nil || len(list) != 1 || list[0].LastAt != nil {
		t.Fatalf("%+v, %v", list, err)
	}
	rows := []logger.Row{posted(now, 2)}
	for _, wrong := range []string{"", token + "0", "abc"} {
		if _, known, err := s.KeepPosted(ctx, wrong, rows, now); known || err != nil {
			t.Errorf("%q is let in: %v", wrong, err)
		}
	}
	oneWins(t, func(by db.Staff) error { return s.TakeSensorOut(ctx, s.Act(by, now), list[0].TokenID) }, s.Ann, s.Bob)
	if _, known, _ := s.KeepPosted(ctx, token, rows, now); known {
		t.Error("a token taken back is let in")
	}
	again := letIn(t, s, "main-air")
	if p, known, err := s.KeepPosted(ctx, again, rows, now); !known || err != nil || p.New != 1 {
		t.Errorf("%+v, %v, %v", p, known, err)
	}
}

// Sent again, and twice at once, a reading is kept once (issue: retries harmless).
func TestPostedAgain(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	token := letIn(t, s, "main-air")
	junk := posted(now.Add(-3*time.Minute), 85) // power-up, readiness.md 8
	silent := logger.Row{At: now.Add(-2 * time.Minute), RawValue: "null", RawAt: "x", Unit: logger.Celsius}
	batch := []logger.Row{posted(now.Add(-5*time.Minute), 2), posted(now, 2.1), posted(now, 2.1), posted(now, 2.4), junk, silent, posted(now.Add(11*time.Minute), 2)}
	news := make([]db.Posted, 4)
	var wg sync.WaitGroup
	for i := range news {
		wg.Go(func() {
			var err error
			if news[i], _, err = s.KeepPosted(ctx, token, batch, now); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	first := 0
	for _, p := range news {
		switch {
		case p.New == 2 && p.Known == 1 && p.LeftOut[logger.Junk] == 2 && p.LeftOut[logger.Duplicate] == 1 && p.LeftOut[logger.Future] == 1:
			first++
		case p.New != 0 || p.Known != len(batch) || len(p.LeftOut) != 0:
			t.Errorf("%+v", p)
		}
	}
	if first != 1 || flagged(t, s, "ok") != 2 || flagged(t, s, "junk") != 2 || flagged(t, s, "duplicate") != 1 || flagged(t, s, "future") != 1 {
		t.Errorf("%d firsts; %+v", first, news)
	}
	air, _, err := s.RoomSeries(ctx, s.Cooler.ID, now.Add(-time.Hour), now)
	if err != nil || len(air) != 2 || air[1].C != 2.1 {
		t.Errorf("%+v, %v", air, err)
	}
}

// A sensor that shows the same for more than 12 h is stuck, the whole run, also
// what was believed while it came one by one (readiness.md 8).
func TestPostedStuck(t *testing.T) {
	t.Parallel()
	s, ctx, start := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	token := letIn(t, s, "main-air")
	post := func(after time.Duration, c domain.Celsius) db.Posted {
		t.Helper()
		at := start.Add(after)
		p, _, err := s.KeepPosted(ctx, token, []logger.Row{posted(at, c)}, at)
		must(t, err)
		return p
	}
	post(-time.Hour, 2.5)
	for h := range 13 {
		if p := post(time.Duration(h)*time.Hour, 2); p.New != 1 {
			t.Fatalf("hour %d: %+v", h, p)
		}
	}
	var before, after int64
	mark := `SELECT readings_kept FROM coolers WHERE id = $1`
	must(t, s.Pool().QueryRow(ctx, mark, s.Cooler.ID).Scan(&before))
	if p := post(13*time.Hour, 2); p.LeftOut[logger.Stuck] != 1 {
		t.Errorf("the thirteenth hour: %+v", p)
	}
	must(t, s.Pool().QueryRow(ctx, mark, s.Cooler.ID).Scan(&after))
	if post(14*time.Hour, 2); flagged(t, s, "stuck") != 15 || flagged(t, s, "ok") != 1 || after <= before {
		t.Errorf("%d stuck, %d good, the room's mark %d then %d", flagged(t, s, "stuck"), flagged(t, s, "ok"), before, after)
	}
	if p := post(15*time.Hour, 2.2); p.New != 1 {
		t.Errorf("it moves again: %+v", p)
	}
}

// A sensor whose clock was wrong posts a reading of nine years ago beside one of now:
// each is held against its own neighbours, and a reading kept between the two stays out
// of it.
func TestPostedFarApart(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	token, old := letIn(t, s, "main-air"), now.AddDate(-9, 0, 0)
	for _, rows := range [][]logger.Row{{posted(old, 2)}, {posted(now.AddDate(-1, 0, 0), 3)}, {posted(now, 2.1)}} {
		if p, _, err := s.KeepPosted(ctx, token, rows, now); err != nil || p.New != 1 {
			t.Fatalf("%+v, %v", p, err)
		}
	}
	p, _, err := s.KeepPosted(ctx, token, []logger.Row{posted(now, 2.1), posted(old, 2), posted(old.Add(20*time.Hour), 2.2), posted(now.Add(-time.Hour), 2)}, now)
	if err != nil || p.Known != 2 || p.New != 2 {
		t.Errorf("%+v, %v; want the two that were kept known, and two new", p, err)
	}
}
