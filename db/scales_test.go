package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// A weight that a scale sends is taken once, by whoever stands at its tablet, and
// stands in the book as read from it.
func TestScaleSendsItsWeights(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	if err := s.Start(ctx, s.Act(s.Bob, now), number, db.Taking{TagRead: string(number), Version: 1}); err != nil {
		t.Fatal(err)
	}
	token, err := s.MakeScale(ctx, s.Act(s.Ann, now), "bench-1", s.Device)
	if err != nil || len(token) != 48 {
		t.Fatalf("%q, %v", token, err)
	}
	if _, err := s.MakeScale(ctx, s.Act(s.Ann, now), "bench-1", uuid.Nil); domain.As(err).At != "scale" {
		t.Errorf("two scales of one name: %v", err)
	}
	if _, err := s.MakeScale(ctx, s.Act(s.Ann, now), "Bench 1", uuid.Nil); domain.As(err).At != "scale" {
		t.Errorf("a name no address can carry: %v", err)
	}
	var kept int
	if err := s.Pool().QueryRow(ctx, `SELECT count(*) FROM scales WHERE encode(token_hash, 'hex') = $1`, token).Scan(&kept); err != nil || kept != 0 {
		t.Errorf("the token itself is in the book: %d, %v", kept, err)
	}
	for _, wrong := range [][2]string{{"bench-1", token + "0"}, {"bench-2", token}, {"bench-1", ""}} {
		if known, err := s.ReadScale(ctx, wrong[0], wrong[1], 4, "4", now); known || err != nil {
			t.Errorf("%v is let in: %v", wrong, err)
		}
	}
	if _, err := s.ReadScale(ctx, "bench-1", token, -1, "-1", now); domain.As(err).Kind != domain.Invalid {
		t.Errorf("a weight below nothing: %v", err)
	}
	for i, kg := range []domain.Kilogram{3, 4.2} {
		if known, err := s.ReadScale(ctx, "bench-1", token, kg, "x", now.Add(time.Duration(i)*time.Second)); !known || err != nil {
			t.Fatalf("%v, %v", known, err)
		}
	}
	now = now.Add(10 * time.Second)
	if elsewhere, err := s.WeightsAt(ctx, uuid.New(), now); err != nil || len(elsewhere) != 0 {
		t.Errorf("another tablet sees %+v, %v", elsewhere, err)
	}
	weights, err := s.WeightsAt(ctx, s.Device, now)
	if err != nil || len(weights) != 1 || weights[0].Kg != 4.2 {
		t.Fatalf("%+v, %v", weights, err)
	}
	oneWins(t, func(by db.Staff) error {
		return s.Pack(ctx, s.Act(by, now), number, db.Wrapped{Cut: "stew", Count: 4, Tare: 0.2, Reading: weights[0].ID})
	}, s.Ann, s.Bob)
	packs, err := s.Packs(ctx, number)
	if err != nil || len(packs) != 1 || packs[0].Scale != "bench-1" || abs(float64(packs[0].NetKg)-4) > 1e-9 || packs[0].TareKg != 0.2 || packs[0].ReadAt == nil {
		t.Errorf("%+v, %v", packs, err)
	}
	if left, _ := s.WeightsAt(ctx, s.Device, now); len(left) != 0 {
		t.Errorf("a used weight is offered again: %+v", left)
	}
	scales, err := s.Scales(ctx)
	if err != nil || len(scales) != 1 || scales[0].Device != "counter tablet" {
		t.Fatalf("%+v, %v", scales, err)
	}
	oneWins(t, func(by db.Staff) error { return s.RevokeScale(ctx, s.Act(by, now), scales[0].ID) }, s.Ann, s.Bob)
	if known, _ := s.ReadScale(ctx, "bench-1", token, 4, "4", now); known {
		t.Error("a scale without its token is let in")
	}
}

// Weights are closed only where everything was on the scale (readiness.md 12).
func TestClosureOfOneDeer(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.Cold(t)
	cut := func(running int, packed domain.Kilogram, all bool) domain.ShopNumber {
		t.Helper()
		number := readyDeer(t, s, running, running)
		for _, err := range []error{
			s.Start(ctx, s.Act(s.Ann, now), number, db.Taking{TagRead: string(number), Version: 1, Why: "test"}),
			s.Pack(ctx, s.Act(s.Bob, now), number, db.Wrapped{Cut: "grind", Count: 20, Net: packed}),
			s.Trim(ctx, s.Act(s.Bob, now), number, db.Trimmed{Kind: "bone", Kg: 16}),
			s.Finish(ctx, s.Act(s.Bob, now.Add(time.Hour)), number, db.Finishing{Labelled: true, AllWeighed: all}),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		return number
	}
	// 40 kg hung; 16 kg of bone. What dried in three days is inside the tolerance.
	good, unweighed, lacks, tooMuch := cut(1, 23.5, true), cut(2, 20, false), cut(3, 17, true), cut(4, 29, true)
	if c, err := s.Closure(ctx, good); err != nil || !c.Shown || !c.AddsUp {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err := s.Closure(ctx, unweighed); err != nil || c.Shown || !c.AddsUp {
		t.Errorf("not all weighed: %+v, %v", c, err)
	}
	c, err := s.Closure(ctx, lacks)
	if err != nil || !c.Shown || c.AddsUp || c.Off < 5 {
		t.Errorf("6 kg are missing: %+v, %v", c, err)
	}
	around, err := s.Neighbours(ctx, lacks)
	if err != nil || len(around) != 3 {
		t.Fatalf("%+v, %v", around, err)
	}
	if mixed := cutting.MixUp(c, around); len(mixed) != 1 || mixed[0].Number != tooMuch {
		t.Errorf("%+v", mixed)
	}
	if _, err := s.CutOff(ctx, s.Act(s.Bob, now), lacks, db.NewPiece{Kind: cutting.TubPiece, Kg: 6}); err != nil {
		t.Fatal(err)
	}
	if c, _ = s.Closure(ctx, lacks); !c.AddsUp {
		t.Errorf("the tub was found and it still lacks %v", c.Off)
	}
}

// What can be eaten is thrown away only with a reason (trade.md 2.7).
func TestEdiblePartsNeedAReason(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	if err := s.Start(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		t  db.Trimmed
		at string
	}{
		{db.Trimmed{Kind: "shot", Kg: 2, Part: cutting.Hind}, "note"}, {db.Trimmed{Kind: "other", Kg: 1}, "note"}, {db.Trimmed{Kind: "shot", Kg: 2, Part: cutting.Ham, Note: "x"}, "part"},
		{db.Trimmed{Kind: "shot", Kg: 2, Part: cutting.Hind, Note: "bone splinters through it"}, ""}, {db.Trimmed{Kind: "bone", Kg: 9}, ""}, {db.Trimmed{Kind: "gristle", Kg: 9}, "kind"},
		{db.Trimmed{Kind: "bone", Kg: 0}, "trim_weight"}, {db.Trimmed{Kind: "bone", Kg: 3, Tare: -1}, "tare"},
	} {
		if e := s.Trim(ctx, s.Act(s.Bob, dbtest.Noon), number, tt.t); (e == nil) != (tt.at == "") || e != nil && domain.As(e).At != tt.at {
			t.Errorf("%+v: %v, want it at %q", tt.t, e, tt.at)
		}
	}
}
