package db_test

import (
	"slices"
	"sync"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/statute"
)

// Every rule that came with the program stands up to the check a typed one gets,
// has its citation, and says that nobody here has checked it.
func TestStatutesThatCameWithTheProgram(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	states, err := s.StatuteStates(t.Context())
	if err != nil || !slices.Contains(states, "WI") || !slices.Contains(states, "*") || len(states) < 25 {
		t.Fatalf("states %v, %v", states, err)
	}
	topics := map[statute.Topic]int{}
	for _, state := range states {
		rules, err := s.StatutesOf(t.Context(), state)
		if err != nil || len(rules) == 0 {
			t.Fatalf("%s: %d rules, %v", state, len(rules), err)
		}
		for _, r := range rules {
			topics[r.Topic]++
			if err := r.Check(); err != nil {
				t.Errorf("%s: %v", r.Key, err)
			}
			if r.By != "" || r.Stale(dbtest.Noon).Format == "" || state != "*" && r.TextDate == "" {
				t.Errorf("%s passes as checked, or has no date of its text: %+v", r.Key, r)
			}
		}
	}
	for _, topic := range statute.Topics {
		if topics[topic] == 0 {
			t.Errorf("no rule about %s", topic)
		}
	}
}

// The owner's version counts from the moment it is written; the one before stays.
// Two owners at once: one wins, the other is told.
func TestWriteStatute(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	shipped, err := s.StatuteVersions(ctx, "any-register-game")
	if err != nil {
		t.Fatal(err)
	}
	rule := shipped[0].Rule
	rule.Fields = []string{"received", "owner", "unit"}
	day := dbtest.Noon.AddDate(0, 0, -1)
	rule.CheckedBy, rule.CheckedOn = "AK, by phone", &day
	act := s.Act(s.Ann, dbtest.Noon)
	for range 2 { // sent twice is written once
		if err := s.WriteStatute(ctx, act, 1, rule); err != nil {
			t.Fatal(err)
		}
	}
	versions, err := s.StatuteVersions(ctx, "any-register-game")
	if err != nil || len(versions) != 2 || versions[0].By != "AK" || versions[0].Until != nil || versions[1].Until == nil || len(versions[1].Fields) != len(shipped[0].Fields) {
		t.Fatalf("versions %+v, %v", versions, err)
	}
	number := s.HangDeer(t, 7, 1)
	owing, err := s.OwedBy(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range owing.Fields() {
		if !slices.Contains(rule.Fields, f.Name) {
			t.Errorf("%s is owed, and no rule asks for it any more", f.Name)
		}
	}
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs {
		wg.Go(func() { errs[i] = s.WriteStatute(ctx, s.Act(s.Ann, dbtest.Noon), 2, rule) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Errorf("two at once: %v and %v", errs[0], errs[1])
	}
	for _, err := range []error{errs[0], errs[1]} {
		if err != nil && domain.As(err).Kind != domain.Conflict {
			t.Errorf("the loser is told: %v", err)
		}
	}
	if err := s.EndStatute(ctx, s.Act(s.Ann, dbtest.Noon), "any-register-game", 3); err != nil {
		t.Fatal(err)
	}
	if owing, err = s.OwedBy(ctx, number); err != nil || len(owing.Fields()) != 0 {
		t.Errorf("no rule asks for anything, owed %v, %v", owing.Fields(), err)
	}
	if err := s.EndStatute(ctx, s.Act(s.Ann, dbtest.Noon), "any-register-game", 3); domain.As(err).Kind != domain.Conflict {
		t.Errorf("ended twice: %v", err)
	}
}

// Another state's rules never reach the shop.
func TestStatutesOfTheHomeStateOnly(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	has := func(state, key string) bool {
		shop, err := s.Shop(ctx)
		if err != nil {
			t.Fatal(err)
		}
		shop.HomeState = state
		if err := s.SaveShop(ctx, shop); err != nil {
			t.Fatal(err)
		}
		rules, err := s.Statutes(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return slices.ContainsFunc(rules, func(r db.Statute) bool { return r.Key == key })
	}
	if has("NY", "ky-import") || !has("KY", "ky-import") || !has("NY", "us-srm") || !has("NY", "any-keep") {
		t.Error("the shop is reached by the wrong rules")
	}
}
