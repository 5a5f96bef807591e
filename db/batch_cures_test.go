package db_test

import (
	"math"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/cure"

	"github.com/google/uuid"
)

func TestCureTakesTwo(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n, number := poolDeer(t, s, 1), begun(t, s, batch.Own, "no")
	cureIt := func(change func(*db.WeighedCure)) error {
		w := cured(s, 20)
		change(&w)
		return s.Cure(ctx, s.Act(s.Bob, dbtest.Noon), number, w)
	}
	refused(t, cureIt(func(*db.WeighedCure) {}), "inputs", "Weigh the meat in first")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20))
	for _, tt := range []struct {
		at, words string
		change    func(*db.WeighedCure)
	}{
		{"second", "A second person", func(w *db.WeighedCure) { w.Second = s.Bob.ID }},
		{"second", "A second person", func(w *db.WeighedCure) { w.Second = uuid.Nil }},
		{"lot", "lot on the bag", func(w *db.WeighedCure) { w.Lot = " " }},
		{"cure_method", "not cured that way", func(w *db.WeighedCure) { w.Method = cure.DryCured }},
		{"cure_g", "at the very most", func(w *db.WeighedCure) { w.Grams *= 1.4 }},
		{"cure_g", "that a cured product needs", func(w *db.WeighedCure) { w.Grams /= 1.4 }},
		{"why", "over the limit of 156", func(w *db.WeighedCure) { w.Grams *= 1.2 }},
		{"cure_nitrite_fraction", "0.0625", func(w *db.WeighedCure) { w.Fraction = 6.25 }},
	} {
		refused(t, cureIt(tt.change), tt.at, tt.words)
	}
	act, over := s.Act(s.Bob, dbtest.Noon), cured(s, 20)
	over.Grams, over.Why = over.Grams*1.2, "the scale stuck; the inspector was asked"
	ok(t, s.Cure(ctx, act, number, over), s.Cure(ctx, act, number, over))
	list, err := s.BatchCures(ctx, number)
	if err != nil || len(list) != 1 || list[0].Verdict != cure.Over || list[0].By != "BT" || list[0].Second != "AK" || math.Abs(list[0].PPM-180) > 1e-9 {
		t.Errorf("%+v, %v", list, err)
	}
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 1))
	refused(t, s.Mix(ctx, s.Act(s.Bob, dbtest.Noon), number), "cure", "reckon it again")
}

// A slip at the probe is put right by writing the same minute again: what was read in
// truth decides, whichever way it was wrong, and both lines stay.
func TestProbeWrittenAgain(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n, number := poolDeer(t, s, 1), begun(t, s, batch.Own, "no")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20), s.Cure(ctx, s.Act(s.Bob, dbtest.Noon), number, cured(s, 20)),
		s.Mix(ctx, s.Act(s.Bob, later(42*time.Second)), number))
	ok(t, s.Probe(ctx, s.Act(s.Bob, later(50*time.Second)), number, db.BatchProbe{At: later(0), LowC: 4, HighC: 4})) // read in the minute it was mixed
	at := later(3*time.Hour + 37*time.Second)
	read := func(at time.Time, f float64) {
		c := domain.Fahrenheit(f)
		ok(t, s.Probe(ctx, s.Act(s.Bob, later(4*time.Hour)), number, db.BatchProbe{At: at, LowC: c, HighC: c}))
	}
	cooked := func() bool {
		b, err := s.Batch(ctx, number)
		ok(t, err)
		judged, err := s.CookAndCool(ctx, b)
		ok(t, err)
		return judged.Cooked.Met
	}
	read(later(2*time.Hour), 120)
	read(at, 161) // the probe showed 116
	if !cooked() {
		t.Fatal("161 °F is hot enough, and is not taken")
	}
	read(at.Truncate(time.Minute), 116) // as a form says it: without the seconds
	if cooked() {
		t.Error("a slip still says that it is cooked")
	}
	list, err := s.BatchProbes(ctx, number)
	ok(t, err)
	if len(list) != 4 || list[0].Replaced || list[1].Replaced || !list[2].Replaced || list[3].Replaced {
		t.Errorf("%+v", list)
	}
	read(at.Truncate(time.Minute), 162)
	if !cooked() {
		t.Error("what was written last for the minute does not count")
	}
}

// A table that was missed stops the batch until the lead decides; for bear nobody's
// word does.
func TestMissedTable(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for i, species := range []domain.Species{domain.Whitetail, domain.Bear} {
		n, number := poolDeer(t, s, i+1), begun(t, s, batch.Own, "no")
		if _, err := s.Pool().Exec(ctx, `UPDATE animals SET species = $2 WHERE number = $1`, n, species); err != nil {
			t.Fatal(err)
		}
		ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20), s.Cure(ctx, s.Act(s.Bob, dbtest.Noon), number, cured(s, 20)),
			s.Mix(ctx, s.Act(s.Bob, dbtest.Noon), number))
		at := later(time.Hour)
		refused(t, s.Probe(ctx, s.Act(s.Bob, at), number, db.BatchProbe{At: later(-time.Hour), LowC: 60, HighC: 60}), "when", "before the batch was mixed")
		refused(t, s.Probe(ctx, s.Act(s.Bob, at), number, db.BatchProbe{At: later(2 * time.Hour), LowC: 60, HighC: 60}), "when", "ahead")
		refused(t, s.Probe(ctx, s.Act(s.Bob, at), number, db.BatchProbe{At: at, LowC: 60, HighC: 160}), "probe", "Read the probe again")
		ok(t, s.Probe(ctx, s.Act(s.Bob, at), number, db.BatchProbe{At: at, LowC: 70, HighC: 68}))
		f := db.Finished{Packs: 17, PackedKg: 17}
		refused(t, s.FinishBatch(ctx, s.Act(s.Bob, at), number, f), "cook", "Cook on")
		refused(t, s.AcceptBatch(ctx, s.Act(s.Bob, at), number, "it looked done"), "lead", "Only the lead")
		refused(t, s.AcceptBatch(ctx, s.Act(s.Ann, at), number, ""), "why", "Say why")
		err := s.AcceptBatch(ctx, s.Act(s.Ann, at), number, "our tested process, 158 °F for 10 min")
		if species == domain.Bear {
			refused(t, err, "cook", "Bear or wild hog")
			refused(t, s.DestroyBatch(ctx, s.Act(s.Ann, at), number, "never reached 165", s.Ann.ID), "second", "second person")
			refused(t, s.DestroyBatch(ctx, s.Act(s.Bob, at), number, "never reached 165", s.Ann.ID), "lead", "Only the lead")
			gone := s.Act(s.Ann, at)
			ok(t, s.DestroyBatch(ctx, gone, number, "never reached 165", s.Bob.ID), s.DestroyBatch(ctx, gone, number, "never reached 165", s.Bob.ID))
			continue
		}
		ok(t, err, s.FinishBatch(ctx, s.Act(s.Bob, at), number, f))
	}
}
