package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"
)

// A carcass past its hours comes in only once the agency was told, and hangs held;
// off a tablet that had no network it hangs already, and comes in held (trade.md 2.4,
// Wisconsin's 72 hours after harvest).
func TestPastItsHours(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	late := func(running int) db.Drop {
		d := aDrop(running)
		d.KillState, d.KilledAt, d.Form, d.Sex = "Wisconsin", dbtest.Noon.Add(-73*time.Hour), domain.Whole, animal.Female
		d.DeepTemp = nil
		return d
	}
	says(t, s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), late(1)), domain.Invalid, "No: by the rule of WI its hours were over")
	told := late(1)
	told.RoadTold = "Officer Lane, 11:40"
	left := told.KilledAt.Add(-time.Hour)
	told.LeftCounty = &left
	says(t, s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), told), domain.Invalid, "left the county after the kill")
	told.LeftCounty = nil
	kept := s.Act(s.Bob, dbtest.Noon)
	kept.Arrived = dbtest.Noon.Add(2 * time.Hour)
	for i, come := range []func() error{
		func() error { return s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), told) },
		func() error { return s.Receive(ctx, kept, late(2)) },
	} {
		if err := come(); err != nil {
			t.Fatal(err)
		}
		number := dbtest.Tag(i + 1)
		a, err := s.Animal(ctx, number)
		if err != nil || a.Legal != animal.Query {
			t.Errorf("%s stands %s, %v", number, a.Legal, err)
		}
		holds, err := s.Holds(ctx, number)
		if err != nil || len(holds) != 1 || !strings.Contains(holds[0].Why, "past its hours on the road by rule wi-72h; "+[]string{"told: Officer Lane", "nobody told yet"}[i]) {
			t.Errorf("%s: holds %+v, %v", number, holds, err)
		}
	}
	other := late(3)
	other.KillState = "OH"
	if err := s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), other); err != nil {
		t.Errorf("no rule of OH counts hours: %v", err)
	}
	rules, err := s.TransportRules(ctx, "MO")
	if err != nil || len(rules) != 1 || rules[0].Topic != statute.Transport {
		t.Errorf("rules %+v, %v", rules, err)
	}
}
