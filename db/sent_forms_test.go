package db_test

import (
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
)

// The same words again are done already; other words are refused, but for what a tablet
// sends again by itself; after a month nobody knows any more what a form said.
func TestFormSaysSomethingElse(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.CutDeer(t, 1, animal.Hanging)
	act := s.Act(s.Bob, dbtest.Noon)
	send := func(said string, kept bool) error {
		again := act
		if again.Said = []byte(said); kept {
			again.Arrived = dbtest.Noon.Add(time.Minute)
		}
		_, err := s.TakeDeposit(ctx, again, n, 1000, "cash")
		return err
	}
	must(t, send("ten dollars", false))
	must(t, send("ten dollars", false))
	if e := domain.As(send("twenty dollars", false)); e.Kind != domain.Conflict {
		t.Errorf("other words: %v", e)
	}
	must(t, send("twenty dollars", true))
	must(t, s.DropOldForms(ctx, dbtest.Noon.AddDate(0, 0, 29)))
	if e := domain.As(send("twenty dollars", false)); e.Kind != domain.Conflict {
		t.Errorf("within the month: %v", e)
	}
	must(t, s.DropOldForms(ctx, dbtest.Noon.AddDate(0, 0, 31)))
	must(t, send("twenty dollars", false))
	if _, i := money(t, s, n); i.Received() != 1000 {
		t.Errorf("paid %v, want one deposit", i.Received())
	}
}

// One form sent twice at once in other words: one is done, the other is told.
func TestFormInTwoWordsAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.CutDeer(t, 1, animal.Hanging)
	act := s.Act(s.Bob, dbtest.Noon)
	var done, told atomic.Int32
	var both sync.WaitGroup
	for _, said := range []string{"ten dollars", "twenty dollars"} {
		both.Go(func() {
			mine := act
			mine.Said = []byte(said)
			_, err := s.TakeDeposit(ctx, mine, n, 1000, "cash")
			switch {
			case err == nil:
				done.Add(1)
			case domain.As(err).Kind == domain.Conflict:
				told.Add(1)
			default:
				t.Error(err)
			}
		})
	}
	both.Wait()
	if done.Load() != 1 || told.Load() != 1 {
		t.Errorf("%d done and %d told, want one each", done.Load(), told.Load())
	}
}
