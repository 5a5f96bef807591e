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

	"github.com/google/uuid"
)

// fitting counts the places an animal may move to, and finds one by its words.
func fitting(t *testing.T, s *dbtest.Shop, number domain.ShopNumber, mark string) map[string]db.FreePlace {
	t.Helper()
	list, err := s.PlacesFor(t.Context(), number, mark)
	if err != nil {
		t.Fatal(err)
	}
	places := map[string]db.FreePlace{}
	for _, p := range list {
		places[strings.TrimPrefix(p.Words().String(), "Main cooler, ")] = p
	}
	return places
}

func TestPlacesForOneAnimal(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	bare, hide := s.HangDeer(t, 1, 1), aDrop(2)
	hide.Place = 5
	receive(t, s, hide)
	free := fitting(t, s, bare, "")
	if len(free) != 28 { // 30 hooks, two taken
		t.Errorf("%d free places, want 28", len(free))
	}
	for place, why := range map[string]string{"R1, place 2": "", "R1, place 4": "hide on and skinned would hang side by side",
		"R1, place 6": "hide on and skinned would hang side by side", "R3, place 1": "the rail is for something else"} {
		p, is := free[place]
		if !is || p.Fits != (why == "") || p.Why.String() != why {
			t.Errorf("%s for the skinned deer: %+v, want %q", place, p, why)
		}
	}
	for _, place := range []string{"R1, place 1", "R1, place 5"} {
		if _, is := free[place]; is {
			t.Errorf("%s is offered, though something hangs there", place)
		}
	}
	// Its own hook does not stand in its way: place 6 touches nothing once it has moved.
	if p := fitting(t, s, hide.Number, "")["R1, place 6"]; !p.Fits {
		t.Errorf("one hook further for the deer with its hide on: %s", p.Why)
	}
	for number, kind := range map[domain.ShopNumber]domain.Kind{dbtest.Tag(99): domain.NotFound, "nonsense": domain.NotFound} {
		if _, err := s.PlacesFor(t.Context(), number, ""); domain.As(err).Kind != kind {
			t.Errorf("%s: %v", number, err)
		}
	}
}

// A place against the rules of the rail is a person's decision, with its reason.
func TestMoveAgainstTheRulesNeedsAReason(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	livestock := fitting(t, s, number, "")["R3, place 6"].ID
	err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), number, "", livestock, "  ")
	if e := domain.As(err); e.Kind != domain.Invalid || e.At != "reason" || !strings.Contains(e.Error(), "the rail is for something else") {
		t.Errorf("without a reason: %v at %q", err, e.At)
	}
	if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), number, "", livestock, "R1 and R2 are being washed"); err != nil {
		t.Error(err)
	}
	var why string
	if err := s.Pool().QueryRow(ctx, `SELECT r.why FROM time_line t JOIN typed_reasons r ON r.act = t.act WHERE t.what = 'move'`).Scan(&why); err != nil || why != "R1 and R2 are being washed" {
		t.Errorf("the time line says %q, %v", why, err)
	}
}

func TestMoveWhatHangsNowhere(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	number := s.BoxDeer(t, 1, 1)
	err := s.Move(t.Context(), s.Act(s.Bob, dbtest.Noon), number, "", 3, "")
	if domain.As(err).Kind != domain.Refused || !strings.Contains(err.Error(), "hangs nowhere just now") {
		t.Errorf("got %v", err)
	}
}

// What was left outside the cooler is hung as it came: with its hide on and not weighed,
// where it fits so, and knife and scale come later.
func TestHangAsItCame(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.HangDeer(t, 1, 1) // skinned, on the first hook
	d := aDrop(2)
	d.NotHung = true
	receive(t, s, d)
	if free := fitting(t, s, d.Number, ""); len(free) != 29 || free["R1, place 2"].Fits || !free["R1, place 3"].Fits {
		t.Errorf("%d places, beside the skinned one %+v, one further %+v", len(free), free["R1, place 2"], free["R1, place 3"])
	}
	act := s.Act(s.Bob, dbtest.Noon.Add(time.Hour))
	for place, kind := range map[int]domain.Kind{1: domain.Conflict, 2: domain.Invalid, 999: domain.Invalid} {
		if err := s.Move(ctx, s.Act(s.Bob, act.At), d.Number, "", place, ""); domain.As(err).Kind != kind {
			t.Errorf("place %d: %v", place, err)
		}
	}
	if a, err := s.Animal(ctx, d.Number); err != nil || a.Physical != animal.Received {
		t.Fatalf("a refusal hung it: %+v, %v", a, err)
	}
	for range 2 { // sent twice it is one act
		if err := s.Move(ctx, act, d.Number, "", 3, ""); err != nil {
			t.Fatal(err)
		}
	}
	a, err := s.Animal(ctx, d.Number)
	if err != nil || a.Physical != animal.Chilling || a.Form != domain.WholeHideOn || a.HangingKg != nil {
		t.Errorf("%+v, %v", a, err)
	}
	told, err := s.TimeLine(ctx, a.ID)
	if err != nil || len(told) != 2 || told[0].What != "chill" || told[0].Detail["place"] != "Main cooler R1-3" || told[0].Detail["form"] != "whole-hide-on" || told[0].By != "Bob Tarrant" {
		t.Errorf("%+v, %v", told, err)
	}
	if err := s.WeighAndHang(ctx, s.Act(s.Bob, act.At), d.Number, db.Weighing{Gross: 40, Place: 5}); err != nil {
		t.Error(err)
	}
	if a, err := s.Animal(ctx, d.Number); err != nil || a.Physical != animal.Hanging || a.Form != domain.Whole {
		t.Errorf("weighed: %+v, %v", a, err)
	}
}

// One that was weighed at the door hangs for good, as it would have from there.
func TestHangAsItCameWeighed(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d, kg := aDrop(1), domain.Kilogram(40)
	d.NotHung, d.Form, d.HangingWeight = true, domain.Whole, &kg
	receive(t, s, d)
	if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, "", 3, ""); err != nil {
		t.Fatal(err)
	}
	if a, err := s.Animal(ctx, d.Number); err != nil || a.Physical != animal.Hanging {
		t.Errorf("%+v, %v", a, err)
	}
}

// Two that wait want the same hook; and one that was hung without a network, where
// another hangs by now, stands there with it until a person has looked.
func TestTwoHangAsTheyCame(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for n := range 3 {
		d := aDrop(n + 1)
		d.NotHung = true
		receive(t, s, d)
	}
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { errs[i] = s.Move(ctx, s.Act(s.Bob, dbtest.Noon), dbtest.Tag(i+1), "", 3, "") })
	}
	wg.Wait()
	if errs[0] != nil {
		errs[0], errs[1] = errs[1], errs[0]
	}
	if errs[0] != nil || errs[1] == nil || domain.As(errs[1]).Kind != domain.Conflict {
		t.Fatalf("want one winner and one told that it is taken, got %v", errs)
	}
	kept := s.Act(s.Bob, dbtest.Noon)
	kept.Arrived = dbtest.Noon.Add(time.Hour)
	if err := s.Move(ctx, kept, dbtest.Tag(3), "", 3, ""); err != nil {
		t.Fatal(err)
	}
	a, err := s.Animal(ctx, dbtest.Tag(3))
	if err != nil || a.Physical != animal.Chilling {
		t.Errorf("%+v, %v", a, err)
	}
	if where, err := s.WhereHangs(ctx, a.ID); err != nil || len(where) != 1 || !where[0].Conflict {
		t.Errorf("%+v, %v", where, err)
	}
}

// Two tablets without a network wrote two deer on one hook. Moving either of
// them settles it; the one that stays has the hook alone.
func TestMoveSettlesTwoOnOneHook(t *testing.T) {
	t.Parallel()
	for name, mover := range map[string]int{"the one written first moves": 1, "the one written second moves": 2} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s, ctx := dbtest.OpenShop(t), t.Context()
			first, second := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 9)
			_, err := s.Pool().Exec(ctx, `
				UPDATE occupancies SET conflict = true, place_id = (SELECT place_id FROM occupancies o JOIN animals a ON a.id = o.animal_id WHERE a.number = $1)
				WHERE animal_id = (SELECT id FROM animals WHERE number = $2)`, first, second)
			if err != nil {
				t.Fatal(err)
			}
			if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), dbtest.Tag(mover), "", 7, ""); err != nil {
				t.Fatal(err)
			}
			hung, err := s.Hanging(ctx, dbtest.Noon)
			if err != nil || len(hung) != 2 {
				t.Fatalf("%+v, %v", hung, err)
			}
			for _, h := range hung {
				if h.Conflict || (h.Place() == "R1-7") != (h.Number == dbtest.Tag(mover)) {
					t.Errorf("%s hangs on %s, conflict %v", h.Number, h.Place(), h.Conflict)
				}
			}
		})
	}
}

// Two move to the same hook, two trade places, one is moved twice: never two on
// a hook, never one on two, and whoever lost is told in words.
func TestTwoMoveAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	one, two := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	move := func(number domain.ShopNumber, place int) func() error {
		act := s.Act(s.Bob, dbtest.Noon.Add(time.Minute))
		return func() error { return s.Move(ctx, act, number, "", place, "") }
	}
	for _, tt := range []struct {
		name string
		both [2]func() error
		wins int
	}{
		{"trade places", [2]func() error{move(one, 2), move(two, 1)}, 0},
		{"the same hook", [2]func() error{move(one, 6), move(two, 6)}, 1},
		{"one animal to two hooks", [2]func() error{move(one, 8), move(one, 9)}, 2},
	} {
		errs := make([]error, 2)
		var wg sync.WaitGroup
		for i, do := range tt.both {
			wg.Go(func() { errs[i] = do() })
		}
		wg.Wait()
		won := 0
		for _, err := range errs {
			switch {
			case err == nil:
				won++
			case domain.As(err).Kind != domain.Conflict || !strings.Contains(err.Error(), "has hung there since"):
				t.Errorf("%s: %v", tt.name, err)
			}
		}
		if won != tt.wins {
			t.Errorf("%s: %d won, want %d: %v", tt.name, won, tt.wins, errs)
		}
		var twice int
		err := s.Pool().QueryRow(ctx, `SELECT count(*) - least(count(DISTINCT place_id), count(DISTINCT animal_id)) FROM occupancies WHERE until IS NULL`).Scan(&twice)
		if err != nil || twice != 0 {
			t.Errorf("%s: %d hang twice, %v", tt.name, twice, err)
		}
	}
}

// A beef side is moved by its mark, the other side stays.
func TestMoveASide(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.Species, d.Form, d.Points, d.EarTag = domain.Beef, domain.Whole, 0, "441"
	receive(t, s, d)
	side := &db.Side{Gross: domain.Pounds(350)}
	if err := s.WeighAndHang(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, db.Weighing{Left: side, Right: side}); err != nil {
		t.Fatal(err)
	}
	if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, "", 29, ""); domain.As(err).Kind != domain.Refused {
		t.Errorf("the whole of a split beef: %v", err)
	}
	places := fitting(t, s, d.Number, "L") // L on 1 and 2, R on 3 and 4: five and six are left
	if p := places["R3, place 5"]; !p.Fits {
		t.Errorf("places for the left side: %+v", places)
	}
	if p := places["R3, place 6"]; p.Fits || p.Why.String() != "it needs more hooks side by side" {
		t.Errorf("half off the rail: %+v", p)
	}
	act := s.Act(s.Bob, dbtest.Noon)
	act.ID = uuid.Must(uuid.NewV7())
	for range 2 { // sent twice
		if err := s.Move(ctx, act, d.Number, "L", places["R3, place 5"].ID, ""); err != nil {
			t.Fatal(err)
		}
	}
	hung, err := s.Hanging(ctx, dbtest.Noon)
	if err != nil || len(hung) != 2 || hung[0].Part+hung[0].Place() != "RR3-3" || hung[1].Part+hung[1].Place() != "LR3-5" {
		t.Errorf("%+v, %v", hung, err)
	}
}
