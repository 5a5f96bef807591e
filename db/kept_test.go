package db_test

import (
	"testing"
	"time"

	"coldrail/db/dbtest"
)

// A move made at ten past arrives after one made at half past from another
// tablet: the animal stays where the later one put it, and the history has both.
func TestLateMove(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	deer := s.HangDeer(t, 1, 3)
	early, late := s.Act(s.Bob, dbtest.Noon.Add(10*time.Minute)), s.Act(s.Ann, dbtest.Noon.Add(30*time.Minute))
	late.Arrived, early.Arrived = dbtest.Noon.Add(time.Hour), dbtest.Noon.Add(2*time.Hour)
	if err := s.Move(ctx, late, deer, "", 7, ""); err != nil {
		t.Fatal(err)
	}
	for range 2 { // the tablet sends it again
		if err := s.Move(ctx, early, deer, "", 5, ""); err != nil {
			t.Fatal(err)
		}
	}
	rows, err := s.Pool().Query(ctx, `
		SELECT o.place_id, o.since, o.until FROM occupancies o JOIN animals a ON a.id = o.animal_id WHERE a.number = $1 ORDER BY o.since`, deer)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	want := []struct {
		place int
		until *time.Time
	}{{3, &early.At}, {5, &late.At}, {7, nil}}
	n := 0
	for ; rows.Next(); n++ {
		var place int
		var since time.Time
		var until *time.Time
		if err := rows.Scan(&place, &since, &until); err != nil {
			t.Fatal(err)
		}
		if n >= len(want) || place != want[n].place || (until == nil) != (want[n].until == nil) || until != nil && !until.Equal(*want[n].until) {
			t.Errorf("stay %d: on %d from %s until %v", n, place, since, until)
		}
	}
	if n != len(want) || rows.Err() != nil {
		t.Errorf("%d stays, %v; want %d", n, rows.Err(), len(want))
	}
}
