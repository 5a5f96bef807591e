package db_test

import (
	"slices"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/batch"
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

// A batch goes a step back where it was tapped on by a slip: finished, it is weighed out
// anew; mixed, a wrong weight is taken out, weighed in right, cured and mixed anew. Of two
// at once one takes it back; with a share given it stays.
func TestReopenBatch(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	wade, marla := poolDeer(t, s, 1), poolDeer(t, s, 2)
	number := begun(t, s, batch.Pooled, "no")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, wade, 10), s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, marla, 12),
		s.Cure(ctx, s.Act(s.Bob, later(1)), number, cured(s, 22)), s.Mix(ctx, s.Act(s.Bob, later(2)), number))
	smoked(t, s, number, later(time.Hour))
	finished := db.Finished{Packs: 20, PackedKg: 18}
	ok(t, s.FinishBatch(ctx, s.Act(s.Bob, later(12*time.Hour)), number, finished))
	refused(t, s.ReopenBatch(ctx, s.Act(s.Bob, later(13*time.Hour)), number, db.BatchFinished, " "), "why", "what was wrong")
	oneWins(t, func(by db.Staff) error {
		return s.ReopenBatch(ctx, s.Act(by, later(13*time.Hour)), number, db.BatchFinished, "21 packs, not 20")
	}, s.Ann, s.Bob)
	back := s.Act(s.Bob, later(14*time.Hour))
	ok(t, s.ReopenBatch(ctx, back, number, db.BatchMixed, "12 for 11"), s.ReopenBatch(ctx, back, number, db.BatchMixed, "12 for 11"))
	b, err := s.Batch(ctx, number)
	if shares, _ := s.BatchShares(ctx, number); err != nil || b.Status != db.BatchOpen || b.Packs != 0 || len(shares) != 0 {
		t.Fatalf("%+v, %+v, %v", b, shares, err)
	}
	inputs, err := s.BatchInputs(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	ok(t, s.TakeOut(ctx, s.Act(s.Bob, later(14*time.Hour)), number, inputs[1].ID, "12 for 11"), s.AddToBatch(ctx, s.Act(s.Bob, later(14*time.Hour)), number, marla, 11))
	refused(t, s.Mix(ctx, s.Act(s.Bob, later(15*time.Hour)), number), "cure", "Weigh and reckon it again")
	ok(t, s.Cure(ctx, s.Act(s.Bob, later(15*time.Hour)), number, cured(s, 21)), s.Mix(ctx, s.Act(s.Bob, later(15*time.Hour)), number),
		s.FinishBatch(ctx, s.Act(s.Bob, later(16*time.Hour)), number, db.Finished{Packs: 21, PackedKg: 18}), s.GiveShare(ctx, s.Act(s.Bob, later(17*time.Hour)), number, wade, spotNamed(t, s, "F1-1")))
	refused(t, s.ReopenBatch(ctx, s.Act(s.Bob, later(18*time.Hour)), number, db.BatchFinished, "again"), "batch", "with its animal already")
	line, err := s.TimeLine(ctx, animalOf(t, s, marla).ID)
	if err != nil || !slices.ContainsFunc(line, func(h db.Happening) bool { return h.What == "reopen-batch" && h.Detail["why"] == "12 for 11" }) {
		t.Errorf("%+v, %v", line, err)
	}
}
