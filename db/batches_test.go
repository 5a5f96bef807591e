package db_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/cure"
	"coldrail/domain/round"
)

// asked lets the order of an animal say yes to a pool and to pork.
func asked(t *testing.T, s *dbtest.Shop, ownOnly bool, added string, numbers ...domain.ShopNumber) {
	t.Helper()
	for _, n := range numbers {
		if _, err := s.Pool().Exec(t.Context(), `
			UPDATE orders SET own_meat_only = $2, added_meat = $3 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n, ownOnly, added); err != nil {
			t.Fatal(err)
		}
	}
}

// begun is a batch of summer sausage, ready for meat.
func begun(t *testing.T, s *dbtest.Shop, kind batch.Kind, pork string) int {
	t.Helper()
	number, err := s.StartBatch(t.Context(), s.Act(s.Bob, dbtest.Noon), db.NewBatch{Product: batch.Summer, Flavour: "jalapeno", Kind: kind, Pork: pork, Beef: "no"})
	if err != nil {
		t.Fatal(err)
	}
	return number
}

// deer is a deer in boxes whose owner said yes to pool and pork, with some of it on
// the table once.
func poolDeer(t *testing.T, s *dbtest.Shop, running int) domain.ShopNumber {
	t.Helper()
	n := s.BoxDeer(t, running, 1)
	s.Packed(t, n, "steaks", 8)
	asked(t, s, false, "pork", n)
	return n
}

func later(d time.Duration) time.Time { return dbtest.Noon.Add(d) }

// ok fails the test on any error.
func ok(t *testing.T, errs ...error) {
	t.Helper()
	for _, err := range errs {
		if err != nil {
			t.Fatal(err)
		}
	}
}

// refused fails the test unless the error is told at its rule or field, with the words.
func refused(t *testing.T, err error, at, words string) {
	t.Helper()
	if e := domain.As(err); err == nil || e.At != at || !strings.Contains(e.Error(), words) {
		t.Errorf("got %v at %q, want %q at %q", err, e.At, words, at)
	}
}

// cured is the cure that fits so much meat: at 150 ppm.
func cured(s *dbtest.Shop, kg domain.Kilogram) db.WeighedCure {
	return db.WeighedCure{Method: cure.Comminuted, Grams: 2.4 * float64(kg), Fraction: 0.0625, Lot: "C-81", Second: s.Ann.ID}
}

// smoked is the log of a batch that met both tables.
func smoked(t *testing.T, s *dbtest.Shop, number int, from time.Time) {
	t.Helper()
	for _, p := range []struct{ h, f float64 }{{0, 60}, {3, 161}, {3.5, 130}, {5, 80}, {9, 39}} {
		at, c := from.Add(time.Duration(p.h*float64(time.Hour))), domain.Fahrenheit(p.f)
		ok(t, s.Probe(t.Context(), s.Act(s.Bob, at), number, db.BatchProbe{At: at, LowC: c, HighC: c}))
	}
}

// The pool of trade.md 6.7 from three animals to their boxes.
func TestPoolFromTrimToBoxes(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	wade, marla, orrin := poolDeer(t, s, 1), poolDeer(t, s, 2), poolDeer(t, s, 3)
	number := begun(t, s, batch.Pooled, "yes")
	for n, lb := range map[domain.ShopNumber]float64{wade: 12, marla: 18, orrin: 20} {
		add := s.Act(s.Bob, dbtest.Noon)
		for range 2 { // the same act sent twice goes in once
			ok(t, s.AddToBatch(ctx, add, number, n, domain.Pounds(lb)))
		}
	}
	refused(t, s.Mix(ctx, s.Act(s.Bob, dbtest.Noon), number), "added", "Pork was announced")
	ok(t, s.AddLot(ctx, s.Act(s.Bob, dbtest.Noon), number, db.BatchLot{Kind: "pork", Supplier: "Miller Packing", Mark: "EST 1234", Lot: "L7", Kg: domain.Pounds(12.5)}))
	refused(t, s.Mix(ctx, s.Act(s.Bob, dbtest.Noon), number), "cure", "has not been weighed")
	ok(t, s.Cure(ctx, s.Act(s.Bob, later(1)), number, cured(s, domain.Pounds(62.5))))
	mix := s.Act(s.Bob, later(2))
	ok(t, s.Mix(ctx, mix, number), s.Mix(ctx, mix, number))
	refused(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, wade, 1), "batch", "mixed")
	finished := db.Finished{Packs: 49, PackedKg: domain.Pounds(49), OddKg: domain.Pounds(0.6), OddTo: "with the largest share"}
	refused(t, s.FinishBatch(ctx, s.Act(s.Bob, later(10*time.Hour)), number, finished), "cook", "No temperature")
	smoked(t, s, number, later(time.Hour))
	finish := s.Act(s.Bob, later(12*time.Hour))
	ok(t, s.FinishBatch(ctx, finish, number, finished), s.FinishBatch(ctx, finish, number, finished))

	shares, err := s.BatchShares(ctx, number)
	if err != nil || len(shares) != 3 {
		t.Fatal(shares, err)
	}
	for i, want := range []struct {
		n     domain.ShopNumber
		packs int
		exact float64
	}{{orrin, 19, 19.84}, {marla, 18, 17.856}, {wade, 12, 11.904}} { // trade.md Annex E 24
		if got := shares[i]; got.Number != want.n || got.Packs != want.packs || math.Abs(got.ExactKg.Lb()-want.exact) > 0.001 {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
	giveBack(t, s, number, wade, marla, orrin)
}

// giveBack puts the shares into boxes and looks at what the counter then sees.
func giveBack(t *testing.T, s *dbtest.Shop, number int, wade, marla, orrin domain.ShopNumber) {
	t.Helper()
	ctx := t.Context()
	if p, err := s.Pickup(ctx, wade); err != nil || fmt.Sprint(p.InBatches) != "[summer sausage, batch 1]" {
		t.Errorf("the counter is told %v, %v", p.InBatches, err)
	}
	spots, err := s.FreezerSpots(ctx)
	ok(t, err)
	act := func() db.Act { return s.Act(s.Bob, later(13*time.Hour)) }
	refused(t, s.GiveShare(ctx, act(), number, wade, 0), "place", "Say where box")
	refused(t, s.Bill(ctx, act(), orrin), "later", "Still to come, and priced by the finished pound: Summer sausage")
	ok(t, s.BillPart(ctx, act(), orrin)) // before his sausage came back
	give := act()
	ok(t, s.GiveShare(ctx, give, number, wade, spots[0].ID), s.GiveShare(ctx, give, number, wade, spots[0].ID))
	refused(t, s.GiveShare(ctx, act(), number, wade, spots[0].ID), "", "already with its boxes")
	ok(t, s.GiveShare(ctx, act(), number, marla, spots[0].ID), s.GiveShare(ctx, act(), number, orrin, spots[1].ID))

	packs, err := s.Packs(ctx, wade)
	ok(t, err)
	last := packs[len(packs)-1]
	if last.Cut != "Summer sausage, jalapeno" || last.Count != 12 || math.Abs(last.NetKg.Lb()-12) > 0.001 || last.Box != 2 {
		t.Errorf("%+v", last)
	}
	if b, err := s.Batch(ctx, number); err != nil || b.Status != db.BatchGiven {
		t.Errorf("%+v, %v", b, err)
	}
	if p, err := s.Pickup(ctx, wade); err != nil || len(p.InBatches) != 0 || len(p.Boxes) != 2 {
		t.Errorf("still to come %v, boxes %v, %v", p.InBatches, p.Boxes, err)
	}
	acc, err := s.Account(ctx, orrin)
	ok(t, err)
	bill := acc.Charges[len(acc.Charges)-1]
	if bill.Code != "summer-sausage" || bill.Quantity != 19 || bill.TotalCents != 19*550 {
		t.Errorf("the sausage on the bill: %+v", bill)
	}
	if acc, err = s.Account(ctx, marla); err != nil || len(acc.Charges) != 0 {
		t.Errorf("a bill that is not made yet got %+v, %v", acc.Charges, err)
	}
	for n, lb := range map[domain.ShopNumber]float64{wade: 12, marla: 18} { // each owner's own pounds, made later
		ok(t, s.BillPart(ctx, act(), n))
		acc, err = s.Account(ctx, n)
		ok(t, err)
		if i := slices.IndexFunc(acc.Charges, func(c db.Charge) bool { return c.Code == "summer-sausage" }); i < 0 || acc.Charges[i].Quantity != lb || acc.Charges[i].TotalCents != domain.Cents(lb*550) {
			t.Errorf("%s is billed %+v, want %v lb", n, acc.Charges, lb)
		}
	}
	happened, err := s.TimeLine(ctx, animalOf(t, s, marla).ID)
	ok(t, err)
	said := map[string]int{}
	for _, h := range happened {
		said[h.What]++
	}
	for _, what := range []string{"into-batch", "batch-lot", "cure", "mix", "finish-batch", "share"} {
		if said[what] != 1 {
			t.Errorf("%q stands %d times on the time line of %s: %v", what, said[what], marla, said)
		}
	}
}

func TestStartBatchAsksPlainly(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	whole := db.NewBatch{Product: batch.Sticks, Kind: batch.Own, Pork: "no", Beef: "no"}
	for at, change := range map[string]func(*db.NewBatch){
		"product": func(n *db.NewBatch) { n.Product = "soup" }, "kind": func(n *db.NewBatch) { n.Kind = "" },
		"pork": func(n *db.NewBatch) { n.Pork = "" }, "beef": func(n *db.NewBatch) { n.Beef = "maybe" },
	} {
		n := whole
		change(&n)
		if _, err := s.StartBatch(ctx, s.Act(s.Bob, dbtest.Noon), n); domain.As(err).At != at {
			t.Errorf("%s: %v", at, err)
		}
	}
	act := s.Act(s.Bob, dbtest.Noon)
	first, err := s.StartBatch(ctx, act, whole)
	again, err2 := s.StartBatch(ctx, act, whole)
	next, err3 := s.StartBatch(ctx, s.Act(s.Bob, dbtest.Noon), whole)
	if ok(t, err, err2, err3); first != 1 || again != 1 || next != 2 {
		t.Errorf("numbers %d, %d, %d", first, again, next)
	}
}

// What may not go in, by the rows of the shop; domain/batch has the whole table.
func TestAddToBatchRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	pool, own := begun(t, s, batch.Pooled, "yes"), begun(t, s, batch.Own, "no")
	add := func(number int, n domain.ShopNumber, lb float64) error {
		return s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, domain.Pounds(lb))
	}
	n := poolDeer(t, s, 1)
	refused(t, add(pool, n, 0), "weight", "Weigh the meat")
	refused(t, add(pool, n, 100), "weight", "Read the scale")
	refused(t, add(99, n, 5), "", "There is no batch 99")
	asked(t, s, true, "pork", n)
	refused(t, add(pool, n, 5), "consent", "only their own meat")
	asked(t, s, false, "none", n)
	refused(t, add(pool, n, 5), "pork", "no yes to pork")
	ok(t, add(own, n, 5))
	refused(t, add(own, poolDeer(t, s, 2), 5), "owner", "somebody else's")
	// Annex E 8: sample pending. The pool refuses, and the own batch waits too.
	held := poolDeer(t, s, 3)
	ok(t, s.DrawSample(ctx, s.Act(s.Ann, dbtest.Noon), held, db.NewSample{Number: "114", DrawnOn: dbtest.Noon.AddDate(0, 0, -9), Elsewhere: true}))
	refused(t, add(pool, held, 5), "test", "is not back")
	refused(t, add(begun(t, s, batch.Own, "no"), held, 5), "test", "is not back")
	refused(t, s.AddLot(ctx, s.Act(s.Bob, dbtest.Noon), own, db.BatchLot{Kind: "pork", Supplier: "x", Mark: "y", Kg: 1}), "added", "begun without pork")
	// What smells at the table goes into nobody's meat before the lead has decided.
	sour := poolDeer(t, s, 4)
	ok(t, s.Look(ctx, s.Act(s.Bob, dbtest.Noon), sour, db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellSour, Surface: round.SurfaceDry}, Touched: true}))
	refused(t, add(begun(t, s, batch.Pooled, "yes"), sour, 5), "look", "It smells sour.")
	for at, l := range map[string]db.BatchLot{"added": {}, "supplier": {Kind: "pork"}, "mark": {Kind: "pork", Supplier: "x"}, "lot_weight": {Kind: "pork", Supplier: "x", Mark: "y"}} {
		refused(t, s.AddLot(ctx, s.Act(s.Bob, dbtest.Noon), pool, l), at, "")
	}
}

func TestTakeOutOfBatch(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n, number := poolDeer(t, s, 1), begun(t, s, batch.Pooled, "no")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 5))
	in, err := s.BatchInputs(ctx, number)
	ok(t, err)
	refused(t, s.TakeOut(ctx, s.Act(s.Bob, dbtest.Noon), number, in[0].ID, " "), "why", "in a word")
	act := s.Act(s.Bob, dbtest.Noon)
	ok(t, s.TakeOut(ctx, act, number, in[0].ID, "wrong tub"), s.TakeOut(ctx, act, number, in[0].ID, "wrong tub"))
	refused(t, s.TakeOut(ctx, s.Act(s.Bob, dbtest.Noon), number, in[0].ID, "again"), "", "gone already")
	refused(t, s.Mix(ctx, s.Act(s.Bob, dbtest.Noon), number), "inputs", "Nobody's meat")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 4))
	refused(t, s.Mix(ctx, s.Act(s.Bob, dbtest.Noon), number), "least", "too little")
}

// Two people give the same share at once: one does, the other is told.
func TestGiveShareTwoTablets(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := poolDeer(t, s, 1)
	number, err := s.StartBatch(ctx, s.Act(s.Bob, dbtest.Noon), db.NewBatch{Product: batch.Brats, Kind: batch.Own, Pork: "no", Beef: "no"})
	ok(t, err)
	refused(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20), "order", "does not ask for brats")
	number = begun(t, s, batch.Own, "no")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20), s.Cure(ctx, s.Act(s.Bob, dbtest.Noon), number, cured(s, 20)))
	both(t, "mixed", func(by db.Staff) error { return s.Mix(ctx, s.Act(by, later(1)), number) }, s)
	smoked(t, s, number, later(time.Hour))
	both(t, "finished", func(by db.Staff) error {
		return s.FinishBatch(ctx, s.Act(by, later(12*time.Hour)), number, db.Finished{Packs: 60, PackedKg: 18})
	}, s)
	spots, err := s.FreezerSpots(ctx)
	ok(t, err)
	both(t, "given", func(by db.Staff) error {
		return s.GiveShare(ctx, s.Act(by, later(13*time.Hour)), number, n, spots[0].ID)
	}, s)
	boxes, err := s.Boxes(ctx, n)
	if err != nil || len(boxes) != 2 || boxes[1].Packs != 60 {
		t.Errorf("%+v, %v", boxes, err)
	}
}

// both lets two people do the same at once, each by an act of their own.
func both(t *testing.T, what string, do func(db.Staff) error, s *dbtest.Shop) {
	t.Helper()
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i, who := range []db.Staff{s.Ann, s.Bob} {
		wg.Go(func() { errs[i] = do(who) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("%s: want exactly one winner, got %v and %v", what, errs[0], errs[1])
	}
	for _, err := range errs {
		if err != nil && domain.As(err).Kind != domain.Refused && domain.As(err).Kind != domain.Conflict {
			t.Errorf("%s: the second was told %v", what, err)
		}
	}
}

// Whoever takes all boxes while sausage is still to come leaves something behind.
func TestHandOverWhileInABatch(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n, number := poolDeer(t, s, 1), begun(t, s, batch.Own, "no")
	ok(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20), s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), n))
	take := db.Collection{Collector: "Wade", Authority: animal.ByOwner, Seen: "known by face", Boxes: []string{domain.BoxCode(n, 1)}, TagReturned: true, LetOwe: "pays at the end"}
	refused(t, s.HandOver(ctx, s.Act(s.Ann, dbtest.Noon), n, take), "remains", "summer sausage, batch 1")
	take.Remains = "summer sausage"
	ok(t, s.HandOver(ctx, s.Act(s.Ann, dbtest.Noon), n, take))
	if a, err := s.Animal(ctx, n); err != nil || a.Physical != animal.PartReleased {
		t.Errorf("%s, %v", a.Physical, err)
	}
}
