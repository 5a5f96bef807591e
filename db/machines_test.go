package db_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/batch"
)

const (
	grinder = 2
	stuffer = 4
)

// Annex E 18: own meat, no pork, after a batch with pork: blocked until a full
// clean-out is entered.
func TestMachineWantsCleanOut(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	orrin, lena := poolDeer(t, s, 1), poolDeer(t, s, 2)
	pork, own := begun(t, s, batch.Pooled, "yes"), begun(t, s, batch.Own, "no")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), pork, orrin, 10), s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), own, lena, 10))
	run := func(h int, th db.Through) error {
		return s.RunMachine(ctx, s.Act(s.Bob, later(time.Duration(h)*time.Hour)), th)
	}
	ok(t, run(1, db.Through{Machine: stuffer, Batch: pork}))
	refused(t, run(2, db.Through{Machine: stuffer, Batch: own}), "clean", "own meat")
	ok(t, run(2, db.Through{Machine: grinder, Batch: own})) // another machine
	ok(t, s.CleanOut(ctx, s.Act(s.Bob, later(3*time.Hour)), stuffer, batch.Rinse, ""))
	refused(t, run(4, db.Through{Machine: stuffer, Batch: own}), "clean", "full first")
	ok(t, s.CleanOut(ctx, s.Act(s.Bob, later(5*time.Hour)), stuffer, batch.Full, "own batch next"))
	act := s.Act(s.Bob, later(6*time.Hour))
	ok(t, s.RunMachine(ctx, act, db.Through{Machine: stuffer, Batch: own}), s.RunMachine(ctx, act, db.Through{Machine: stuffer, Batch: own}))
	runs, err := s.MachineRuns(ctx, 50)
	if err != nil || len(runs) != 5 || runs[0].Batch != own || runs[1].Clean != batch.Full || runs[1].By != "BT" {
		t.Errorf("%+v, %v", runs, err)
	}
	refused(t, s.CleanOut(ctx, s.Act(s.Bob, dbtest.Noon), stuffer, "quick", ""), "level", "how thorough")
	refused(t, run(7, db.Through{Machine: 99, Batch: own}), "machine", "Choose the machine")
	refused(t, run(7, db.Through{Machine: stuffer, Number: s.HangDeer(t, 9, 1)}), "table", "not on the table")
	both(t, "through the mixer", func(by db.Staff) error {
		b := pork
		if by.ID == s.Ann.ID {
			b = own
		}
		return s.RunMachine(ctx, s.Act(by, later(8*time.Hour)), db.Through{Machine: 3, Batch: b})
	}, s)
}

// What a positive reached: its own pool, the batch that followed on the grinder,
// their packs and people; not what came after the clean-out.
func TestTouched(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	bad, mate, next, after := poolDeer(t, s, 1), poolDeer(t, s, 2), poolDeer(t, s, 3), poolDeer(t, s, 4)
	pool, second, third := begun(t, s, batch.Pooled, "no"), begun(t, s, batch.Pooled, "no"), begun(t, s, batch.Pooled, "no")
	for n, b := range map[domain.ShopNumber]int{bad: pool, mate: pool, next: second, after: third} {
		ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), b, n, 10))
	}
	for i, b := range []int{pool, second} {
		ok(t, s.RunMachine(ctx, s.Act(s.Bob, later(time.Duration(i+1)*time.Hour)), db.Through{Machine: grinder, Batch: b}))
	}
	ok(t, s.CleanOut(ctx, s.Act(s.Bob, later(3*time.Hour)), grinder, batch.Full, "end of day"),
		s.RunMachine(ctx, s.Act(s.Bob, later(4*time.Hour)), db.Through{Machine: grinder, Batch: third}))
	got, err := s.Touched(ctx, bad)
	ok(t, err)
	var reached []string
	for _, r := range got.Reached {
		reached = append(reached, fmt.Sprint(r.Thing.Batch, r.Machine))
	}
	if strings.Join(reached, ", ") != "1, 2grinder" {
		t.Errorf("reached %q", reached)
	}
	if len(got.Packs) != 1 || got.Packs[0].Number != bad || got.Packs[0].Cut != "steaks" {
		t.Errorf("packs %+v", got.Packs)
	}
	if _, err := s.Touched(ctx, dbtest.Tag(77)); domain.As(err).Kind != domain.NotFound {
		t.Error(err)
	}
}
