package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/cutting"
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

// What the counter says of an animal that hangs is what the plan by day and its record
// say: home from the day of the plan on, at the latest after its last day, and never
// before it is cut and frozen. The order counts as in before it is; one for sausage
// takes its weeks; a hold that keeps it from the knife leaves no day.
func TestWhenHomeIsThePlan(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.Cold(t)
	n, other := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	ask := func() db.HomeRange {
		t.Helper()
		h, err := s.WhenHome(ctx, n, now)
		must(t, err)
		return h
	}
	onPlan := func() db.Planned {
		t.Helper()
		p := planOf(t, s)
		j, ok := planned(p, n)
		if !ok {
			t.Fatalf("%s is not planned: %+v", n, p.Barred)
		}
		return j
	}
	before := ask()
	ordered(t, s, n, other)
	h, j, v := ask(), onPlan(), hungOf(t, s, n, now).Verdict
	if !before.From.Equal(h.From) || !before.To.Equal(h.To) {
		t.Errorf("home %s to %s before the order, %s to %s with it", before.From, before.To, h.From, h.To)
	}
	shop, err := s.Shop(ctx)
	must(t, err)
	last := v.CutBy.In(shop.Location())
	if want := day(last.Day() + 1); !h.From.Equal(j.Home) || !h.To.Equal(want) || v.CutBy.Month() != time.November || h.Verdict == nil {
		t.Errorf("home %s to %s; the plan says %s, the record %s at the latest", h.From, h.To, j.Home, last)
	}
	if h.From.Before(j.Day.AddDate(0, 0, 1)) {
		t.Errorf("home %s, cut %s", h.From, j.Day)
	}
	must(t, s.TakeOrder(ctx, s.Act(s.Bob, now), n, db.Written{Order: cutting.Order{Added: cutting.NoneAdded, Lines: []cutting.Line{{Part: cutting.Trim, Treatment: "summer-sausage"}}}, Source: "counter"}))
	ordered(t, s, n)
	h = ask()
	if j := onPlan(); !h.From.Equal(j.Home) || !h.From.Equal(j.Day.AddDate(0, 0, 1+14)) { // a day to freeze, two weeks for sausage: plan.Specials
		t.Errorf("with sausage home %s, the plan says %s, cut %s", h.From, j.Home, j.Day)
	}
	must(t, s.Promise(ctx, s.Act(s.Bob, now), n, h.To))
	if onPlan().Late() {
		t.Error("a day that was named is late in the plan")
	}
	exec(t, s, `INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) SELECT gen_random_uuid(), id, 'test-pending', 'sampled', $2, $3 FROM animals WHERE number = $1`, n, now, s.Bob.ID)
	exec(t, s, `UPDATE animals SET revision = revision + 1 WHERE number = $1`, n)
	if h := ask(); !h.Shut || !h.To.IsZero() {
		t.Errorf("held, and told %s to %s", h.From, h.To)
	}
}
