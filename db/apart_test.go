package db_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/batch"
)

// Wisconsin's notice on wild game (Register 2001, ATCP 55): game only when no livestock
// work is running, cleaned and sanitised before going back. A table with a lamb on it
// takes no deer, nor after it until its full clean-out is entered; a rinse is none. Of
// two people who start one of each at once, one wins.
func TestGameAndLivestockApart(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	lamb, deer, later := readyDeer(t, s, 1, 1), readyDeer(t, s, 2, 2), 10*time.Minute
	for _, sql := range []string{`UPDATE animals SET species = 'lamb', class = 'mature', killed_at = received_at - interval '1 hour', protocol_id = (SELECT min(id) FROM protocols WHERE key LIKE 'lamb%') WHERE number = '` + string(lamb) + `'`, `UPDATE shop SET home_state = 'WI'`} {
		if _, err := dbtest.Owner(t, s.DB).Exec(ctx, sql); err != nil {
			t.Fatal(err)
		}
	}
	free, err := s.FreePlaces(ctx)
	if err != nil {
		t.Fatal(err)
	}
	start := func(number domain.ShopNumber, at time.Time) error {
		return s.Start(ctx, s.Act(s.Ann, at), number, db.Taking{TagRead: string(number), Version: 1, Why: "the lead's word"})
	}
	var wg sync.WaitGroup
	errs, numbers := make([]error, 2), []domain.ShopNumber{lamb, deer}
	for i, n := range numbers {
		wg.Go(func() { errs[i] = start(n, dbtest.Noon) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) || !strings.Contains(fmt.Sprint(errs), "is on the table") {
		t.Fatalf("one of each at once: %v and %v", errs[0], errs[1])
	}
	first, second := lamb, deer
	if errs[0] != nil {
		first, second = deer, lamb
	}
	refused := func(err error, says string) {
		t.Helper()
		if e := domain.As(err); err == nil || e.Kind != domain.Refused || !strings.Contains(e.Error(), says) || !strings.Contains(e.Error(), "ATCP 55") {
			t.Errorf("%v: want a refusal that says %q and its source", err, says)
		}
	}
	refused(start(second, dbtest.Noon), string(first)+" (")
	if err := s.StopCutting(ctx, s.Act(s.Ann, dbtest.Noon.Add(later)), first, free[0].ID); err != nil {
		t.Fatal(err)
	}
	refused(start(second, dbtest.Noon.Add(later)), "no full clean-out of the table is entered since")
	const table = 7
	if err := s.CleanOut(ctx, s.Act(s.Ann, dbtest.Noon.Add(later)), table, batch.Rinse, ""); err != nil {
		t.Fatal(err)
	}
	refused(start(second, dbtest.Noon.Add(later)), "no full clean-out")
	if err := start(first, dbtest.Noon.Add(later)); err != nil {
		t.Errorf("of the same kind: %v", err)
	}
	if err := s.StopCutting(ctx, s.Act(s.Ann, dbtest.Noon.Add(2*later)), first, free[0].ID); err != nil {
		t.Fatal(err)
	}
	if err := s.CleanOut(ctx, s.Act(s.Ann, dbtest.Noon.Add(2*later)), table, batch.Full, ""); err != nil {
		t.Fatal(err)
	}
	if err := start(second, dbtest.Noon.Add(2*later)); err != nil {
		t.Errorf("after the clean-out: %v", err)
	}
}
