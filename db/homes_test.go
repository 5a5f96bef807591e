package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
)

// What the counter may say at drop-off: a young deer hangs 1 to 3 days by its
// protocol (common practice, no source), was killed three days ago, and freezes a
// day; with the crew closed for a while the day moves.
func TestWhenHome(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n := s.HangDeer(t, 1, 1)
	ask := func() db.HomeRange {
		t.Helper()
		h, err := s.WhenHome(t.Context(), n, dbtest.Noon)
		if err != nil || len(h.Why) != 3 {
			t.Fatal(h, err)
		}
		return h
	}
	if h := ask(); !h.From.Equal(day(21)) || !h.To.Equal(day(21)) {
		t.Errorf("home from %s to %s; cold by tomorrow the 20th, cut then, frozen on the 21st", h.From, h.To)
	}
	for n := 20; n <= 25; n++ {
		d := day(n)
		if err := s.SetCrewDay(t.Context(), s.Act(s.Ann, dbtest.Noon), db.CrewDay{Day: &d, Takes: "both"}); err != nil {
			t.Fatal(err)
		}
	}
	if h := ask(); !h.From.Equal(day(27)) {
		t.Errorf("home from %s; the crew is back on the 26th", h.From)
	}
	for weekday := range 7 {
		if err := s.SetCrewDay(t.Context(), s.Act(s.Ann, dbtest.Noon.Add(time.Minute)), db.CrewDay{Weekday: &weekday, Takes: "both", Version: 1}); err != nil {
			t.Fatal(err)
		}
	}
	if h := ask(); !h.To.IsZero() {
		t.Errorf("home by %s, though nobody cuts", h.To)
	}
}
