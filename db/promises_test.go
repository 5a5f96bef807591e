package db_test

import (
	"sync"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
)

// Two people who promise at once both leave their line; the later one counts,
// and its line names the day before it.
func TestPromiseTwoTablets(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.HangDeer(t, 1, 1)
	days := []time.Time{time.Date(2026, 12, 3, 0, 0, 0, 0, time.UTC), time.Date(2026, 12, 4, 0, 0, 0, 0, time.UTC)}
	var wg sync.WaitGroup
	errs := make([]error, len(days))
	for i, day := range days {
		wg.Go(func() { errs[i] = s.Promise(ctx, s.Act(s.Bob, dbtest.Noon), n, day) })
	}
	wg.Wait()
	must(t, errs[0])
	must(t, errs[1])
	a, err := s.Animal(ctx, n)
	must(t, err)
	happened, err := s.TimeLine(ctx, a.ID)
	must(t, err)
	named, replaced := map[any]bool{}, ""
	for _, h := range happened {
		if h.What == "promise" {
			named[h.Detail["day"]] = true
			if before, ok := h.Detail["before"].(string); ok {
				replaced = before
			}
		}
	}
	if len(named) != 2 || a.PromisedOn == nil || replaced == "" || replaced == a.PromisedOn.UTC().Format(time.DateOnly) {
		t.Errorf("promised %v, replaced %q, named %v", a.PromisedOn, replaced, named)
	}
	if e := domain.As(s.Promise(ctx, s.Act(s.Bob, dbtest.Noon), n, dbtest.Noon.AddDate(0, 0, -3))); e.Kind != domain.Invalid || e.At != "promised" {
		t.Errorf("a day that is past: %v", e)
	}
	if e := domain.As(s.Promise(ctx, s.Act(s.Bob, dbtest.Noon), "26-0999-9", days[0])); e.Kind != domain.NotFound {
		t.Errorf("of an animal nobody knows: %v", e)
	}
}
