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
)

func TestWeighAndHang(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.Keeps, d.SampleWanted = "antlers", true
	receive(t, s, d)
	wait, err := s.WaitingForSkinner(ctx)
	if err != nil || len(wait) != 1 || wait[0].Keeps != "antlers" || !wait[0].SampleWanted || wait[0].Place != "R1-1" {
		t.Fatalf("waiting: %+v, %v", wait, err)
	}
	act, w := s.Act(s.Bob, dbtest.Noon.Add(time.Hour)), db.Weighing{Gross: domain.Pounds(92), Tare: domain.Pounds(3.5), Place: 14}
	for range 2 { // sent twice
		if err := s.WeighAndHang(ctx, act, d.Number, w); err != nil {
			t.Fatal(err)
		}
	}
	a, err := s.Animal(ctx, d.Number)
	if err != nil || a.Physical != animal.Hanging || a.Form != domain.Whole || a.HangingKg == nil || a.HangingKg.Lb() < 88.49 || a.HangingKg.Lb() > 88.51 {
		t.Errorf("%+v, %v", a, err)
	}
	hung, err := s.Hanging(ctx, dbtest.Noon)
	if err != nil || len(hung) != 1 || hung[0].Place() != "R2-2" {
		t.Errorf("hanging: %+v, %v", hung, err)
	}
	err = s.WeighAndHang(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, w)
	if domain.As(err).Kind != domain.Refused {
		t.Errorf("weighed again: %v", err)
	}
}

// A beef becomes two sides, each with its weight on its own place.
func TestWeighAndHangInSides(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.Species, d.Form, d.Sex, d.Points, d.EarTag = domain.Beef, domain.Whole, animal.Male, 0, "441"
	receive(t, s, d)
	err := s.WeighAndHang(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, db.Weighing{
		Left: &db.Side{Gross: domain.Pounds(352), Tare: domain.Pounds(4)}, Right: &db.Side{Gross: domain.Pounds(348), Tare: domain.Pounds(4)}})
	if err != nil {
		t.Fatal(err)
	}
	hung, err := s.Hanging(ctx, dbtest.Noon)
	if err != nil || len(hung) != 2 || hung[0].Part != "L" || hung[0].Place() != "R3-1" || hung[1].Part != "R" || hung[1].Place() != "R3-3" {
		t.Errorf("a side takes two hooks (trade.md 5.1): %+v, %v", hung, err)
	}
	if lb := hung[0].HangingKg.Lb(); lb < 691.9 || lb > 692.1 {
		t.Errorf("both sides together: %v lb, want 692", lb)
	}
	if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, "L", 30, "room for the hog"); err != nil {
		t.Error(err)
	}
	if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, "Q", 29, ""); domain.As(err).Kind != domain.NotFound {
		t.Errorf("a piece that is not there: %v", err)
	}
}

func TestWeighAndHangRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	receive(t, s, aDrop(2))
	side := &db.Side{Gross: 20}
	for _, tt := range []struct {
		name string
		w    db.Weighing
		kind domain.Kind
		at   string
	}{
		{"no weight", db.Weighing{}, domain.Invalid, "tare"},
		{"tare above gross", db.Weighing{Gross: 40, Tare: 41}, domain.Invalid, "tare"},
		{"far too heavy for a deer", db.Weighing{Gross: 200}, domain.Invalid, "weight"},
		{"one side", db.Weighing{Left: side}, domain.Invalid, "right"},
		{"a deer in sides", db.Weighing{Left: side, Right: side}, domain.Refused, "sides"},
		{"a hook that is taken", db.Weighing{Gross: 40, Place: 2}, domain.Conflict, "place"},
	} {
		err := s.WeighAndHang(ctx, s.Act(s.Bob, dbtest.Noon), dbtest.Tag(1), tt.w)
		if e := domain.As(err); e.Kind != tt.kind || e.At != tt.at {
			t.Errorf("%s: got %v at %q", tt.name, err, e.At)
		}
	}
	if err := s.WeighAndHang(ctx, s.Act(s.Bob, dbtest.Noon), dbtest.Tag(9), db.Weighing{Gross: 40}); domain.As(err).Kind != domain.NotFound {
		t.Errorf("an animal nobody has: %v", err)
	}
	a, err := s.Animal(ctx, dbtest.Tag(1))
	if err != nil || a.Physical != animal.Chilling || a.HangingKg != nil {
		t.Errorf("a refusal changed something: %+v, %v", a, err)
	}
}

// Two skinners weigh the same deer, two others want the same hook: each time one
// wins and the other is told.
func TestTwoSkinners(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for i := range 3 {
		receive(t, s, aDrop(i+1))
	}
	at := func(number int, place int) func() error {
		act := s.Act(s.Bob, dbtest.Noon.Add(time.Minute))
		return func() error {
			return s.WeighAndHang(ctx, act, dbtest.Tag(number), db.Weighing{Gross: 40, Place: place})
		}
	}
	for name, both := range map[string][2]func() error{
		"the same deer": {at(1, 10), at(1, 11)},
		"the same hook": {at(2, 12), at(3, 12)},
	} {
		errs := make([]error, 2)
		var wg sync.WaitGroup
		for i, weigh := range both {
			wg.Go(func() { errs[i] = weigh() })
		}
		wg.Wait()
		lost := errs[0]
		if lost == nil {
			lost = errs[1]
		}
		if (errs[0] == nil) == (errs[1] == nil) || domain.As(lost).Kind == domain.Internal {
			t.Errorf("%s: got %v and %v", name, errs[0], errs[1])
		}
	}
}

func TestMoveKeepsItsHistory(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	a := receive(t, s, aDrop(1))
	receive(t, s, aDrop(2))
	if err := s.Move(ctx, s.Act(s.Bob, dbtest.Noon), a.Number, "", 2, ""); domain.As(err).Kind != domain.Conflict ||
		!strings.Contains(err.Error(), string(dbtest.Tag(2))) {
		t.Errorf("onto a taken hook: %v", err)
	}
	act := s.Act(s.Bob, dbtest.Noon.Add(time.Hour))
	for range 2 { // sent twice
		if err := s.Move(ctx, act, a.Number, "", 20, "warm corner"); err != nil {
			t.Fatal(err)
		}
	}
	var places []int
	if err := s.Pool().QueryRow(ctx, `SELECT array_agg(place_id ORDER BY since) FROM occupancies WHERE animal_id = $1`, a.ID).Scan(&places); err != nil {
		t.Fatal(err)
	}
	if len(places) != 2 || places[0] != 1 || places[1] != 20 {
		t.Errorf("places %v, want 1 then 20", places)
	}
	after, err := s.Animal(ctx, a.Number)
	if err != nil || after.Revision != a.Revision+1 {
		t.Errorf("revision %d after %d, %v", after.Revision, a.Revision, err)
	}
}

// A warden's word keeps the animal where it hangs.
func TestMoveUnderAWardensHold(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	a := receive(t, s, aDrop(1))
	_, err := s.Pool().Exec(ctx, `INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) VALUES (gen_random_uuid(), $1, 'warden', 'told to wait', $2, $3)`,
		a.ID, dbtest.Noon, s.Ann.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Move(ctx, s.Act(s.Ann, dbtest.Noon), a.Number, "", 20, ""); domain.As(err).Kind != domain.Refused || !strings.Contains(err.Error(), "Nobody moves it") {
		t.Errorf("got %v", err)
	}
}
