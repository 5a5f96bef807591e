package db_test

import (
	"slices"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain/statute"
)

// What is remembered of the rules is what stands: a rule written, ended by the owner or
// changed by hand in the table counts from the next drop-off on.
func TestDropoffAsksTheRulesOfNow(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	owed := func(running int) int {
		t.Helper()
		d, n := aDrop(running), 0
		d.Unit = ""
		receive(t, s, d)
		if err := s.Pool().QueryRow(ctx, `SELECT (detail->>'owed')::int FROM time_line t JOIN animals a ON a.id = t.animal_id WHERE a.number = $1 AND what = 'receive'`, d.Number).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	usual := []int{owed(1), owed(2)} // read, then remembered
	asksUnit := statute.Rule{Key: "own-unit", State: "*", Topic: statute.Register, Covers: "game", Fields: []string{"unit"},
		Says: "Write the unit of the kill.", Cites: "our own, invented for this test"}
	if err := s.WriteStatute(ctx, s.Act(s.Ann, dbtest.Noon), 0, asksUnit); err != nil {
		t.Fatal(err)
	}
	written := []int{owed(3), owed(4)}
	if err := s.EndStatute(ctx, s.Act(s.Ann, dbtest.Noon), "own-unit", 1); err != nil {
		t.Fatal(err)
	}
	ended := []int{owed(5), owed(6)}
	if _, err := dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE statutes SET until = NULL WHERE key = 'own-unit'`); err != nil {
		t.Fatal(err)
	}
	byHand := []int{owed(7), owed(8)}
	base := usual[0]
	want := []int{base, base, base + 1, base + 1, base, base, base + 1, base + 1}
	if got := slices.Concat(usual, written, ended, byHand); !slices.Equal(got, want) {
		t.Errorf("owed %v, want %v", got, want)
	}
}
