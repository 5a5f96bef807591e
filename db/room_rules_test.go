package db_test

import (
	"errors"
	"sync"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/cooler"
)

func incidents(t *testing.T, s *dbtest.Shop, now time.Time) int {
	t.Helper()
	watch(t, s, now)
	list, err := s.IncidentsOf(t.Context(), s.Cooler.ID)
	if err != nil {
		t.Fatal(err)
	}
	return len(list)
}

// readiness.md sections 7 and 8: neither a defrost nor a loading of at most 60 min
// is an incident; the same air outside them is.
func TestDefrostAndLoadingAreNoIncident(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	at := func(min int) time.Time { return dbtest.Noon.Add(time.Duration(min) * time.Minute) }
	shop, err := s.DB.Shop(ctx)
	if err != nil {
		t.Fatal(err)
	}
	local := at(120).In(shop.Location())
	rules := cooler.Rules{Limits: cooler.Usual, Defrosts: []int{local.Hour()*60 + local.Minute()}}
	act := s.Act(s.Ann, at(1))
	for range 2 {
		if err := s.SetRules(ctx, act, "main", rules); err != nil {
			t.Fatal(err)
		}
	}
	warm(t, s, 2, at(5), at(119))
	warm(t, s, 7.7, at(125), at(165)) // 46 °F at most, over within the hour
	warm(t, s, 2, at(170), at(290))
	if n := incidents(t, s, at(290)); n != 0 {
		t.Fatalf("a defrost is %d incidents", n)
	}
	load := s.Act(s.Bob, at(291))
	for range 2 {
		if err := s.StartLoading(ctx, load, "main"); err != nil {
			t.Fatal(err)
		}
	}
	wants(t, s.StartLoading(ctx, s.Act(s.Ann, at(300)), "main"), domain.Refused, "already, until")
	wants(t, s.StartLoading(ctx, s.Act(s.Ann, at(360)), "main"), domain.Refused, "Let the room get cold")
	warm(t, s, 11, at(300), at(340))
	warm(t, s, 2, at(350), at(480))
	if n := incidents(t, s, at(480)); n != 0 {
		t.Fatalf("a loading is %d incidents", n)
	}
	room, err := s.DB.Cooler(ctx, "main")
	if err != nil || len(room.Book.Loadings) != 1 || len(room.Book.Rules) != 1 || room.Book.At(at(2)).By != "AK" || room.Book.At(at(0)).By != "" {
		t.Errorf("%+v %v: want one loading and one set of rules, in force from when they were made", room.Book, err)
	}
	warm(t, s, 11, at(490), at(530)) // the same air with nothing to excuse it
	warm(t, s, 2, at(540), at(600))
	if n := incidents(t, s, at(600)); n != 1 {
		t.Fatalf("%d incidents, want one", n)
	}
}

func TestRulesRefuse(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	loose := cooler.Rules{Limits: cooler.Usual}
	loose.TooLong = 3 * time.Hour
	wants(t, s.SetRules(ctx, s.Act(s.Ann, dbtest.Noon), "main", loose), domain.Invalid, "Say why")
	loose.Reason = "door seal waits for its part"
	if err := s.SetRules(ctx, s.Act(s.Ann, dbtest.Noon), "main", loose); err != nil {
		t.Fatal(err)
	}
	wants(t, s.SetRules(ctx, s.Act(s.Ann, dbtest.Noon), "freezer", loose), domain.Refused, "no such limits")
	wants(t, s.SetRules(ctx, s.Act(s.Ann, dbtest.Noon), "attic", loose), domain.NotFound, "no room called")
	wants(t, s.StartLoading(ctx, s.Act(s.Ann, dbtest.Noon), "freezer"), domain.Refused, "no loading time")

	// Two people tap at the same moment: one loading.
	var all sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs {
		all.Go(func() { errs[i] = s.StartLoading(ctx, s.Act(s.Bob, dbtest.Noon), "main") })
	}
	all.Wait()
	if err := errors.Join(errs...); err == nil || errs[0] != nil && errs[1] != nil {
		t.Errorf("%v: want one of two refused", errs)
	}
}
