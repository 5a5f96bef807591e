package db_test

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/cutting"
)

// A hanging weight typed wrong is put right by a line with its reason: the old weighing
// stays, sending twice changes nothing, and once the bill stands it is refused.
func TestReweigh(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.HangDeer(t, 1, 1)
	act, again := s.Act(s.Bob, dbtest.Noon), db.Reweighed{Gross: 36, Tare: 2, Why: "typed 40 for 34"}
	for range 2 {
		if err := s.Reweigh(ctx, act, n, again); err != nil {
			t.Fatal(err)
		}
	}
	r, err := s.Record(ctx, n, dbtest.Noon)
	if err != nil || r.Animal.HangingKg == nil || *r.Animal.HangingKg != 34 || len(r.Weighings) != 1 || r.Weighings[0].Purpose != "put-right" {
		t.Fatalf("%v hangs, weighings %+v, %v", r.Animal.HangingKg, r.Weighings, err)
	}
	for field, w := range map[string]db.Reweighed{"why": {Gross: 36}, "tare": {Gross: 3, Tare: 4, Why: "x"}, "side": {Gross: 36, Why: "x", Mark: "L"}} {
		if e := domain.As(s.Reweigh(ctx, s.Act(s.Bob, dbtest.Noon), n, w)); e.Kind != domain.Invalid || e.At != field {
			t.Errorf("%+v: %v at %q, want it at %q", w, e, e.At, field)
		}
	}
	if err := s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), s.BoxDeer(t, 2, 1)); err != nil {
		t.Fatal(err)
	}
	if e := domain.As(s.Reweigh(ctx, s.Act(s.Bob, dbtest.Noon), dbtest.Tag(2), again)); e.Kind != domain.Refused {
		t.Errorf("a weight that a bill stands on: %v", e)
	}
}

// A tub ticked off by a slip is fetched back once, with its reason; a cape that
// somebody signed for is not.
func TestFetchBack(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.HangDeer(t, 1, 1)
	mark, err := s.CutOff(ctx, s.Act(s.Bob, dbtest.Noon), n, db.NewPiece{Kind: cutting.TubPiece, Kg: 4})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.SendOff(ctx, s.Act(s.Bob, dbtest.Noon), n, mark, cutting.GoneBatch, db.Signature{}); err != nil {
		t.Fatal(err)
	}
	if e := domain.As(s.FetchBack(ctx, s.Act(s.Bob, dbtest.Noon), n, mark, " ")); e.At != "why" {
		t.Errorf("without a reason: %v", e)
	}
	oneWins(t, func(by db.Staff) error {
		return s.FetchBack(ctx, s.Act(by, dbtest.Noon), n, mark, "the neighbour's tub was meant")
	}, s.Ann, s.Bob)
	if p, err := s.PieceOf(ctx, n, mark); err != nil || p.GoneAt != nil {
		t.Errorf("%+v, %v", p, err)
	}
}
