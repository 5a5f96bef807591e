package db_test

import (
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
)

var seen = dbtest.Noon.AddDate(0, 0, -1)

// The whole way of a sample: drawn and held, sent, read at its source, freed.
func TestSampleHoldsUntilItsResultIsRead(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	ok := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	draw := s.Act(s.Bob, dbtest.Noon)
	for range 2 { // sent twice, done once
		ok(s.DrawSample(ctx, draw, number, db.NewSample{Number: "LAB-771", Lab: "State laboratory", DrawnOn: seen}))
	}
	if holds, err := s.Holds(ctx, number); err != nil || len(holds) != 1 || holds[0].Kind != hold.TestPending {
		t.Fatalf("one hold for the test: %v, %v", holds, err)
	}
	result := db.Result{Word: db.LabNotDetected, Day: seen, Source: hold.AgencySite}
	if e := domain.As(s.SeeResult(ctx, s.Act(s.Bob, dbtest.Noon), number, result)); e.Kind != domain.Refused {
		t.Errorf("a sample that was never sent has a result: %v", e)
	}
	ok(s.SendSample(ctx, s.Act(s.Bob, dbtest.Noon), number, dbtest.Noon.AddDate(0, 0, 7)))
	for _, bad := range []struct {
		r    db.Result
		kind domain.Kind
		src  string
	}{
		{db.Result{Word: db.LabNotDetected, Day: seen, Source: hold.OwnerSays}, domain.Refused, "trade.md 2.4: the owner's word does not count"},
		{db.Result{Word: db.LabNotDetected, Day: dbtest.Noon.AddDate(0, 0, 2), Source: hold.LabReport}, domain.Invalid, "a date that has not come"},
		{db.Result{Word: db.LabNotDetected, Day: seen}, domain.Invalid, "trade.md 2.4: where it was seen"},
		{db.Result{Word: "safe", Day: seen, Source: hold.LabReport}, domain.Invalid, "trade.md 2.4: never the word safe"},
	} {
		if e := domain.As(s.SeeResult(ctx, s.Act(s.Bob, dbtest.Noon), number, bad.r)); e.Kind != bad.kind {
			t.Errorf("%+v: %v (%s)", bad.r, e, bad.src)
		}
	}
	ok(s.SeeResult(ctx, s.Act(s.Bob, dbtest.Noon), number, result))
	a, err := s.Animal(ctx, number)
	ok(err)
	samples, err := s.Samples(ctx, number)
	ok(err)
	holds, err := s.Holds(ctx, number)
	ok(err)
	if a.Disease != animal.NotDetected || a.CallFirst || samples[0].Result != "not detected" || samples[0].SeenBy != "BT" || holds[0].Open() ||
		holds[0].Evidence != "not detected; agency site; dated 2026-11-18; read by BT" {
		t.Errorf("animal %v, sample %+v, hold %+v", a.Disease, samples[0], holds[0])
	}
}

// Detected: the harder hold stands, and the owner hears it from the lead first.
func TestDetectedCallsFirst(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	if err := s.DrawSample(ctx, s.Act(s.Bob, dbtest.Noon), number, db.NewSample{Number: "771", DrawnOn: seen, Elsewhere: true}); err != nil {
		t.Fatal(err)
	}
	if err := s.SeeResult(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Result{Word: db.LabDetected, Day: seen, Source: hold.AgencyLetter}); err != nil {
		t.Fatal(err)
	}
	a, err := s.Animal(ctx, number)
	if err != nil || !a.CallFirst || a.Disease != animal.Detected {
		t.Fatalf("%+v, %v", a, err)
	}
	holds, err := s.Holds(ctx, number)
	if err != nil || len(holds) != 2 || holds[0].Kind != hold.Positive || !holds[0].Open() || holds[1].Open() {
		t.Fatalf("%+v, %v", holds, err)
	}
	e := hold.Evidence{Result: hold.Detected, ResultDay: seen, Source: hold.AgencyLetter, SeenBy: "BT", Surrenders: true, Note: "agency told, landfill"}
	if w := domain.As(s.CloseHold(ctx, s.Act(s.Ann, dbtest.Noon), holds[0].ID, e)); w.At != "second" {
		t.Errorf("one person alone closed a positive: %v", w)
	}
	e.Second = "Bob Tarrant"
	if err := s.CloseHold(ctx, s.Act(s.Ann, dbtest.Noon), holds[0].ID, e); err != nil {
		t.Fatal(err)
	}
	if a, err = s.Animal(ctx, number); err != nil || a.CallFirst || a.Disease != animal.Detected {
		t.Errorf("after the owner was told: %+v, %v", a, err)
	}
}

func TestUnsuitableSampleKeepsTheHold(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	for _, do := range []func() error{
		func() error {
			return s.DrawSample(ctx, s.Act(s.Bob, dbtest.Noon), number, db.NewSample{Number: "1", DrawnOn: seen, Elsewhere: true})
		},
		func() error {
			return s.SeeResult(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Result{Word: db.LabUnsuitable, Day: seen, Source: hold.LabReport})
		},
		func() error {
			return s.DrawSample(ctx, s.Act(s.Bob, dbtest.Noon), number, db.NewSample{Number: "2", DrawnOn: seen})
		},
	} {
		if err := do(); err != nil {
			t.Fatal(err)
		}
	}
	holds, err := s.Holds(ctx, number)
	if err != nil || len(holds) != 1 || !holds[0].Open() {
		t.Errorf("%+v, %v", holds, err)
	}
}

// A warden's stop moves the tag's track there and, freed, back to be checked.
func TestWardenHoldMovesTheTag(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	if err := s.OpenHold(ctx, s.Act(s.Ann, dbtest.Noon), number, hold.Warden, "tag looks altered", time.Time{}); err != nil {
		t.Fatal(err)
	}
	if e := domain.As(s.OpenHold(ctx, s.Act(s.Bob, dbtest.Noon), number, hold.Warden, "again", time.Time{})); e.Kind != domain.Refused {
		t.Errorf("held twice for the same: %v", e)
	}
	if e := domain.As(s.OpenHold(ctx, s.Act(s.Bob, dbtest.Noon), number, hold.TestPending, "he wants it tested", time.Time{})); e.At != "kind" {
		t.Errorf("a test without a sample: %v", e)
	}
	a, _ := s.Animal(ctx, number)
	holds, err := s.Holds(ctx, number)
	if err != nil || a.Legal != animal.WardenHold {
		t.Fatalf("%v, %v", a.Legal, err)
	}
	if e := domain.As(s.CloseHold(ctx, s.Act(s.Ann, dbtest.Noon), holds[0].ID, hold.Evidence{})); e.At != "note" {
		t.Errorf("closed on nothing: %v", e)
	}
	if err := s.CloseHold(ctx, s.Act(s.Ann, dbtest.Noon), holds[0].ID, hold.Evidence{Note: "officer 14 called, tag is good"}); err != nil {
		t.Fatal(err)
	}
	if a, _ = s.Animal(ctx, number); a.Legal != animal.Unchecked {
		t.Errorf("freed by the warden: %v, want unchecked", a.Legal)
	}
}

func TestTwoCloseTheSameHold(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	if err := s.OpenHold(ctx, s.Act(s.Ann, dbtest.Noon), number, hold.Quality, "odd smell", time.Time{}); err != nil {
		t.Fatal(err)
	}
	holds, err := s.Holds(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	oneWins(t, func(by db.Staff) error {
		return s.CloseHold(ctx, s.Act(by, dbtest.Noon), holds[0].ID, hold.Evidence{Note: "smelled again, clean"})
	}, s.Ann, s.Bob)
}

// Of two leads who choose bone and hold at once one wins; the other is told who chose
// and when. The time line has it once.
func TestTwoBoneAndHold(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	if err := s.DrawSample(ctx, s.Act(s.Ann, dbtest.Noon), number, db.NewSample{Number: "771", DrawnOn: dbtest.Noon}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Pool().Exec(ctx, `UPDATE staff SET roles = roles || '{lead}' WHERE id = $1`, s.Bob.ID); err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	told := ""
	oneWins(t, func(by db.Staff) error {
		err := s.BoneAndHold(ctx, s.Act(by, dbtest.Noon), number, true)
		if err != nil {
			mu.Lock()
			defer mu.Unlock()
			told = err.Error()
		}
		return err
	}, s.Ann, s.Bob)
	holds, err := s.Holds(ctx, number)
	if err != nil || len(holds) != 1 || holds[0].BonedAt.IsZero() || !strings.Contains(told, " chose already that it is boned and held") || !strings.Contains(told, s.Ann.Initials+" ") && !strings.Contains(told, s.Bob.Initials+" ") || !strings.Contains(told, "2026") {
		t.Errorf("%+v, %v: the loser was told %q, want who and when", holds, err, told)
	}
	var lines int
	if err := s.Pool().QueryRow(ctx, `SELECT count(*) FROM time_line WHERE what = 'bone-and-hold'`).Scan(&lines); err != nil || lines != 1 {
		t.Errorf("%d lines on the time line, %v", lines, err)
	}
}

// oneWins has two people do the same at once: one wins, the other is told in
// words, and nothing of ours breaks.
func oneWins(t *testing.T, do func(db.Staff) error, people ...db.Staff) {
	t.Helper()
	var wg sync.WaitGroup
	errs := make([]error, len(people))
	for i, p := range people {
		wg.Go(func() { errs[i] = do(p) })
	}
	wg.Wait()
	won := 0
	for _, err := range errs {
		switch e := domain.As(err); {
		case err == nil:
			won++
		case e.Kind == domain.Conflict || e.Kind == domain.Refused:
			t.Log("told:", e)
		default:
			t.Errorf("the loser got %v", err)
		}
	}
	if won != 1 {
		t.Errorf("%d of %d won, want one", won, len(people))
	}
}
