package db_test

import (
	"sync"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"

	"github.com/google/uuid"
)

// Whoever asks for a mark is told nothing older than what stood when he asked, of
// his own animal, however many ask at the same time.
func TestMarksAskedTogether(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	var ids []uuid.UUID
	for i := range 2 {
		a, err := s.Animal(t.Context(), s.HangDeer(t, i+1, i+1))
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, a.ID)
	}
	var raised sync.RWMutex // held by the one who raises until it is done
	least := 0
	var wg sync.WaitGroup
	for i := range 40 {
		wg.Go(func() {
			for range 10 {
				raised.RLock()
				want := least
				raised.RUnlock()
				m, found, err := s.MarkOf(t.Context(), ids[i%2])
				if err != nil || !found || i%2 == 0 && m.Revision < want || i%2 == 1 && m.Revision >= 1000 {
					t.Errorf("animal %d: revision %d, want %d or later (%v, %v)", i%2, m.Revision, want, found, err)
				}
			}
		})
	}
	owner := dbtest.Owner(t, s.DB)
	for n := 1000; n < 1020; n++ {
		if _, err := owner.Exec(t.Context(), "UPDATE animals SET revision = $1 WHERE id = $2", n, ids[0]); err != nil {
			t.Fatal(err)
		}
		raised.Lock()
		least = n
		raised.Unlock()
	}
	wg.Wait()
	if _, found, err := s.MarkOf(t.Context(), uuid.New()); found || err != nil {
		t.Errorf("an animal nobody has: found %v, %v", found, err)
	}
}

// What is remembered of a mark holds only while nothing was written: a change counts
// from its commit, be it of the animal or of its link, also where it was under way when
// the mark was read before.
func TestMarkChangesWithTheCommit(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	a, err := s.Animal(ctx, s.HangDeer(t, 1, 1))
	if err != nil {
		t.Fatal(err)
	}
	mark := func() db.Mark {
		t.Helper()
		m, found, err := s.MarkOf(ctx, a.ID)
		if err != nil || !found {
			t.Fatal(found, err)
		}
		return m
	}
	was := mark()
	for change, want := range map[string]db.Mark{
		`UPDATE animals SET revision = revision + 1 WHERE id = $1`:           {Revision: 1},
		`UPDATE animals SET link_revision = link_revision + 1 WHERE id = $1`: {LinkRevision: 1},
	} {
		tx, err := dbtest.Owner(t, s.DB).Begin(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := tx.Exec(ctx, change, a.ID); err != nil {
			t.Fatal(err)
		}
		for range 3 { // read while it is under way, then remembered
			if m := mark(); m != was {
				t.Errorf("before the commit of %s: %+v, want %+v", change, m, was)
			}
		}
		if err := tx.Commit(ctx); err != nil {
			t.Fatal(err)
		}
		was.Revision, was.LinkRevision = was.Revision+want.Revision, was.LinkRevision+want.LinkRevision
		for range 3 {
			if m := mark(); m != was {
				t.Errorf("after the commit of %s: %+v, want %+v", change, m, was)
			}
		}
	}
}
