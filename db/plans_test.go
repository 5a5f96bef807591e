package db_test

import (
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/plan"
)

func day(n int) time.Time { return time.Date(2026, 11, n, 0, 0, 0, 0, time.UTC) }

// ordered marks the order of an animal complete, as its row says.
func ordered(t *testing.T, s *dbtest.Shop, numbers ...domain.ShopNumber) {
	t.Helper()
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET order_state = 'complete', revision = revision + 1 WHERE number = ANY ($1)`, numbers); err != nil {
		t.Fatal(err)
	}
}

func planOf(t *testing.T, s *dbtest.Shop) db.CutPlan {
	t.Helper()
	p, err := s.CutPlan(t.Context(), dbtest.Noon)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Of today the plan has what is left: a deer that was taken to the table at noon has had
// its 40 minutes, one that was hung back has not, and an hour before midnight there is one.
func TestCutPlanOfWhatIsLeftOfToday(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	left := func(now time.Time) int {
		t.Helper()
		p, err := s.CutPlan(ctx, now)
		if err != nil {
			t.Fatal(err)
		}
		return p.Days[0].Minutes
	}
	if n := left(dbtest.Noon); n != 480 {
		t.Fatalf("%d minutes, want the 480 of the calendar", n)
	}
	must(t, s.Start(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1}))
	if n := left(dbtest.Noon.Add(time.Minute)); n != 440 {
		t.Errorf("%d minutes with one on the table, want 440", n)
	}
	places, err := s.FreePlaces(ctx)
	must(t, err)
	must(t, s.StopCutting(ctx, s.Act(s.Bob, dbtest.Noon.Add(2*time.Minute)), number, places[0].ID))
	if n := left(dbtest.Noon.Add(3 * time.Minute)); n != 480 {
		t.Errorf("%d minutes with it hung back, want 480", n)
	}
	if n := left(dbtest.Noon.Add(11 * time.Hour)); n != 60 {
		t.Errorf("%d minutes at 11 in the evening, want 60", n)
	}
}

// planned finds an animal's day in the plan.
func planned(p db.CutPlan, n domain.ShopNumber) (db.Planned, bool) {
	for _, d := range p.Days {
		for _, j := range d.Jobs {
			if j.Number == n {
				return j, true
			}
		}
	}
	return db.Planned{}, false
}

// Gates are never crossed: without an order or under a hold an animal is not
// planned, and stays on the list with its reason (trade.md 6.1).
func TestCutPlanKeepsTheGates(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.Cold(t)
	free, orderless, held := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2), s.HangDeer(t, 3, 3)
	ordered(t, s, free, held)
	if _, err := s.Pool().Exec(t.Context(), `
		INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) SELECT gen_random_uuid(), id, 'quality', 'smells', $2, $3 FROM animals WHERE number = $1`,
		held, dbtest.Noon, s.Bob.ID); err != nil {
		t.Fatal(err)
	}
	p := planOf(t, s)
	if _, ok := planned(p, free); !ok || len(p.Barred) != 2 || !p.Best {
		t.Errorf("planned %+v, barred %d", p.Placed, len(p.Barred))
	}
	for _, n := range []domain.ShopNumber{orderless, held} {
		if _, ok := planned(p, n); ok {
			t.Errorf("%s is planned through a shut gate", n)
		}
	}
	for _, b := range p.Barred {
		if len(b.Why) == 0 {
			t.Errorf("%s is barred without a reason", b.Number)
		}
	}
}

// A closed day takes nothing, a livestock day no game, and the promise that then
// cannot be kept is told with its new day.
func TestCutPlanMovesAPromise(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	ordered(t, s, n)
	if err := s.Promise(t.Context(), s.Act(s.Bob, dbtest.Noon), n, day(20)); err != nil {
		t.Fatal(err)
	}
	if j, ok := planned(planOf(t, s), n); !ok || j.Late() || !j.Day.Equal(day(19)) {
		t.Errorf("planned for %s, late %v; want today, the 19th, home on the 20th", j.Day, j.Late())
	}
	days := []db.CrewDay{{Takes: "both"}, {Takes: "livestock", Cutters: 1, Size: 480}, {Takes: "both"}}
	for i := range days {
		d := day(19 + i)
		days[i].Day = &d
		if err := s.SetCrewDay(t.Context(), s.Act(s.Ann, dbtest.Noon), days[i]); err != nil {
			t.Fatal(err)
		}
	}
	j, ok := planned(planOf(t, s), n)
	if !ok || !j.Late() || !j.Day.Equal(day(23)) || !j.Home.Equal(day(24)) {
		t.Errorf("planned for %s, home %s: the 19th and 21st are closed, the 20th takes livestock, the 22nd is a Sunday", j.Day, j.Home)
	}
	moved, err := s.PromisesMoved(t.Context())
	if err != nil || len(moved) != 0 {
		t.Fatalf("nobody has moved it yet: %v, %v", moved, err)
	}
	act := s.Act(s.Ann, dbtest.Noon.Add(time.Minute))
	for range 2 {
		if err := s.Promise(t.Context(), act, n, j.Home); err != nil {
			t.Fatal(err)
		}
	}
	if moved, err = s.PromisesMoved(t.Context()); err != nil || len(moved) != 1 || moved[0].Number != n || moved[0].Was != "2026-11-20" {
		t.Fatalf("owners to tell: %+v, %v", moved, err)
	}
	if err := s.LogCall(t.Context(), s.Act(s.Bob, dbtest.Noon.Add(time.Hour)), n, "call", "spoke", ""); err != nil {
		t.Fatal(err)
	}
	if moved, err = s.PromisesMoved(t.Context()); err != nil || len(moved) != 0 {
		t.Errorf("told, and still on the list: %+v, %v", moved, err)
	}
}

// Two people change the same day at once: one wins, the other is told.
func TestSetCrewDayTwoTablets(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	monday, d := 1, day(23)
	for _, c := range []db.CrewDay{{Weekday: &monday, Version: 1}, {Day: &d}} {
		errs := make([]error, 2)
		var wg sync.WaitGroup
		for i := range errs {
			one := c
			one.Cutters, one.Size, one.Takes = i+1, 400, "both"
			act := s.Act(s.Ann, dbtest.Noon)
			wg.Go(func() { errs[i] = s.SetCrewDay(t.Context(), act, one) })
		}
		wg.Wait()
		if (errs[0] == nil) == (errs[1] == nil) {
			t.Fatalf("want one winner, got %v and %v", errs[0], errs[1])
		}
		for _, err := range errs {
			if err != nil && domain.As(err).Kind != domain.Conflict {
				t.Errorf("the second is told: %v", err)
			}
		}
	}
}

func TestSetCrewDayRefuses(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	monday, d := 1, day(23)
	for field, c := range map[string]db.CrewDay{
		"day":     {Cutters: 1, Size: 480, Takes: "both"},
		"cutters": {Weekday: &monday, Version: 1, Cutters: 21, Size: 480, Takes: "both"},
		"size":    {Day: &d, Cutters: 0, Size: 480, Takes: "both"},
		"takes":   {Day: &d, Cutters: 1, Size: 480, Takes: "horses"},
	} {
		if err := s.SetCrewDay(t.Context(), s.Act(s.Ann, dbtest.Noon), c); err == nil || domain.As(err).At != field {
			t.Errorf("%v, want %s", err, field)
		}
	}
	if err := s.SetCrewWorks(t.Context(), s.Act(s.Ann, dbtest.Noon), "hurry"); err == nil || domain.As(err).At != "works" {
		t.Errorf("works: %v", err)
	}
	if err := s.SetCrewWorks(t.Context(), s.Act(s.Ann, dbtest.Noon), plan.Carcasses); err != nil {
		t.Error(err)
	}
}

// The list says whose an animal is: every owner of a shared one, and nothing where the
// counter has only a phone, as the stand-in for a name is no name.
func TestQueueSaysWhose(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	shared, nameless := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	s.Own(t, shared, "Wade Tolliver", "555-0101")
	s.Own(t, shared, "June Abbot", "555-0102")
	s.Own(t, nameless, db.NoName, "555-0103")
	_, barred, err := s.CuttingQueue(t.Context(), dbtest.Noon)
	must(t, err)
	whose := map[domain.ShopNumber]string{}
	for _, q := range barred {
		whose[q.Number] = q.Owner
	}
	if len(whose) != 2 || whose[shared] != "June Abbot, Wade Tolliver" || whose[nameless] != "" {
		t.Errorf("%q", whose)
	}
}
