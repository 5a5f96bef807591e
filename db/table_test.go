package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// wholeOrder is an order with no gaps for a deer of 40 kg.
func wholeOrder() db.Written {
	return db.Written{Source: "counter", Note: "label for the freezer downstairs", Order: cutting.Order{OwnMeatOnly: true, Added: cutting.NoneAdded,
		FallBack: "less stew", Lines: []cutting.Line{
			{Part: cutting.Backstrap, Treatment: cutting.Chops, Thickness: "1", PerPack: "4"},
			{Part: cutting.Hind, Treatment: cutting.Steaks, Thickness: "3/4", Amount: "rest"},
			{Part: cutting.Shoulder, Treatment: cutting.Stew}, {Part: cutting.Neck, Treatment: cutting.Grind},
			{Part: cutting.Trim, Treatment: cutting.Burger, Amount: "rest"},
		}}}
}

// readyDeer hangs a deer with a whole order in a cold room.
func readyDeer(t *testing.T, s *dbtest.Shop, running, position int) domain.ShopNumber {
	t.Helper()
	number := s.HangDeer(t, running, position)
	if err := s.TakeOrder(t.Context(), s.Act(s.Bob, dbtest.Noon), number, wholeOrder()); err != nil {
		t.Fatal(err)
	}
	return number
}

// One deer from the hook to the freezer.
func TestFromHookToFreezer(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	queue, barred, err := s.CuttingQueue(ctx, dbtest.Noon)
	must(err)
	if len(queue) != 1 || len(barred) != 0 || queue[0].Place != "R1-1" || queue[0].Why[0].String() != "Ready to cut." {
		t.Fatalf("queue %+v, barred %+v", queue, barred)
	}
	start := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		must(s.Start(ctx, start, number, db.Taking{TagRead: number.Digits(), Version: 1}))
	}
	a, _ := s.Animal(ctx, number)
	if a.Physical != animal.OnTable || a.OrderState != animal.Locked {
		t.Fatalf("%+v", a.Tracks())
	}
	if hung, err := s.Hanging(ctx, dbtest.Noon); err != nil || len(hung) != 0 {
		t.Errorf("the hook is not free: %v, %v", hung, err)
	}
	if e := domain.As(s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Written{Source: "phone", After: 1})); e.Kind != domain.Refused {
		t.Errorf("an order was changed on the table: %v", e)
	}
	pack := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		must(s.Pack(ctx, pack, number, db.Wrapped{Cut: "chops", Count: 8, Net: 4}))
	}
	must(s.Pack(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Wrapped{Cut: "burger", Count: 20, Net: 14}))
	must(s.Trim(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Trimmed{Kind: "bone", Kg: 16}))
	for _, bad := range []struct {
		at string
		w  db.Wrapped
	}{{"cut", db.Wrapped{Count: 1, Net: 1}}, {"count", db.Wrapped{Cut: "stew", Net: 1}}, {"weight", db.Wrapped{Cut: "stew", Count: 1}},
		{"weight", db.Wrapped{Cut: "stew", Count: 1, Net: 100}}} {
		if e := domain.As(s.Pack(ctx, s.Act(s.Bob, dbtest.Noon), number, bad.w)); e.At != bad.at {
			t.Errorf("%+v: %v at %q", bad.w, e, e.At)
		}
	}
	if e := domain.As(s.Finish(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Finishing{})); e.At != "labelled" {
		t.Errorf("finished without looking: %v", e)
	}
	must(s.Finish(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Finishing{Labelled: true}))
	a, _ = s.Animal(ctx, number)
	if a.Tracks() != (animal.Tracks{Physical: animal.InPieces, Legal: animal.TagHeld, Disease: animal.NotNeeded, Order: animal.Done, Money: animal.Quoted}) {
		t.Errorf("finished: %+v", a.Tracks())
	}
	boxUp(t, s, number)
}

// boxUp tries what must not pass and then puts the two lines into two boxes.
func boxUp(t *testing.T, s *dbtest.Shop, number domain.ShopNumber) {
	t.Helper()
	ctx := t.Context()
	packs, err := s.Packs(ctx, number)
	if err != nil || len(packs) != 2 {
		t.Fatalf("%+v, %v", packs, err)
	}
	spots, err := s.FreezerSpots(ctx)
	if err != nil || len(spots) != 8 || spots[0].Name != "F1-1" {
		t.Fatalf("%+v, %v", spots, err)
	}
	chops, burger, shelf := packs[0].ID, packs[1].ID, spots[2].ID
	for name, boxes := range map[string][]db.NewBox{
		"one left over":    {{N: 1, Place: shelf, Packs: []uuid.UUID{chops}}},
		"an empty box":     {{N: 1, Place: shelf, Packs: []uuid.UUID{chops, burger}}, {N: 2, Place: shelf}},
		"number 2 alone":   {{N: 2, Place: shelf, Packs: []uuid.UUID{chops, burger}}},
		"nowhere":          {{N: 1, Packs: []uuid.UUID{chops, burger}}},
		"in two boxes":     {{N: 1, Place: shelf, Packs: []uuid.UUID{chops, burger}}, {N: 2, Place: shelf, Packs: []uuid.UUID{chops}}},
		"somebody else's":  {{N: 1, Place: shelf, Packs: []uuid.UUID{chops, burger, uuid.New()}}},
		"no boxes at all":  {},
		"box without hook": {{N: 1, Place: 1, Packs: []uuid.UUID{chops, burger}}},
	} {
		e := domain.As(s.BoxUp(ctx, s.Act(s.Bob, dbtest.Noon), number, boxes))
		if e.Kind != domain.Invalid && e.Kind != domain.Conflict {
			t.Errorf("%s: %v", name, e)
		}
	}
	if err := s.BoxUp(ctx, s.Act(s.Bob, dbtest.Noon), number, []db.NewBox{
		{N: 1, Place: shelf, Packs: []uuid.UUID{chops}}, {N: 2, Place: shelf, Packs: []uuid.UUID{burger}}}); err != nil {
		t.Fatal(err)
	}
	boxes, err := s.Boxes(ctx, number)
	if err != nil || len(boxes) != 2 || boxes[1].Place != "F1-3" || boxes[1].Packs != 20 || boxes[1].NetKg != 14 {
		t.Errorf("%+v, %v", boxes, err)
	}
	if a, _ := s.Animal(ctx, number); a.Physical != animal.Stored {
		t.Errorf("boxed: %v", a.Physical)
	}
}

func TestTwoCuttersOneCarcass(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	oneWins(t, func(by db.Staff) error {
		return s.Start(ctx, s.Act(by, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1})
	}, s.Ann, s.Bob)
	err := s.Start(ctx, s.Act(s.Ann, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1})
	if e := domain.As(err); e.Kind != domain.Conflict || !strings.Contains(e.Error(), "started on 26-0001-") {
		t.Errorf("the one who comes later is told: %v", err)
	}
}

func TestStartRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	first, second, bare := readyDeer(t, s, 1, 1), readyDeer(t, s, 2, 2), s.HangDeer(t, 3, 3)
	held := readyDeer(t, s, 4, 4)
	if err := s.OpenHold(ctx, s.Act(s.Ann, dbtest.Noon), held, hold.Quality, "odd smell", time.Time{}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name   string
		number domain.ShopNumber
		by     db.Staff
		take   db.Taking
		kind   domain.Kind
		at     string
		src    string
	}{
		{"a void sheet", first, s.Bob, db.Taking{TagRead: string(first), Card: cutting.SheetCode(first, 9), Version: 1}, domain.Conflict, "", "trade.md 6.2: withdrawn paper is void"},
		{"another animal's sheet", first, s.Bob, db.Taking{TagRead: string(first), Card: cutting.SheetCode(second, 1), Version: 1}, domain.Invalid, "card", "Annex B: tag = card"},
		{"no sheet at all", first, s.Bob, db.Taking{TagRead: string(first), Card: first.Digits(), Version: 1}, domain.Invalid, "card", "Annex B: tag = card = order version"},
		{"a misread tag", first, s.Bob, db.Taking{TagRead: "2600010", Version: 1}, domain.Invalid, "tag", "ISO/IEC 7064 check digit"},
		{"an old order", first, s.Bob, db.Taking{TagRead: string(first), Version: 0}, domain.Conflict, "", "Annex B: order version"},
		{"no order", bare, s.Ann, db.Taking{TagRead: string(bare)}, domain.Refused, "gate", "trade.md 6.1 gates"},
		{"held", held, s.Ann, db.Taking{TagRead: string(held), Version: 1, Why: "rush"}, domain.Refused, "gate", "trade.md 6.1 gates"},
		{"not the first, no word why", second, s.Ann, db.Taking{TagRead: string(second), Version: 1}, domain.Invalid, "why", "trade.md 6.1: one-word reason"},
		{"not the first, not the lead", second, s.Bob, db.Taking{TagRead: string(second), Version: 1, Why: "nearer"}, domain.Refused, "lead", "trade.md 6.1: the lead may pick another"},
	} {
		e := domain.As(s.Start(ctx, s.Act(tt.by, dbtest.Noon), tt.number, tt.take))
		if tt.src == "" || e.Kind != tt.kind || e.At != tt.at {
			t.Errorf("%s: %v at %q kind %d (%s)", tt.name, e, e.At, e.Kind, tt.src)
		}
	}
	if err := s.Start(ctx, s.Act(s.Ann, dbtest.Noon), second, db.Taking{TagRead: string(second), Version: 1, Why: "nearer"}); err != nil {
		t.Errorf("the lead with a word why: %v", err)
	}
}

// At lunch what is left goes back on the rail, and its order is open again.
func TestStopCutting(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	s.HangDeer(t, 2, 2)
	if err := s.Start(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1}); err != nil {
		t.Fatal(err)
	}
	places, err := s.FreePlaces(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var taken int
	if err := s.Pool().QueryRow(ctx, `SELECT place_id FROM occupancies WHERE until IS NULL`).Scan(&taken); err != nil {
		t.Fatal(err)
	}
	if e := domain.As(s.StopCutting(ctx, s.Act(s.Bob, dbtest.Noon.Add(time.Hour)), number, taken)); e.Kind != domain.Conflict {
		t.Errorf("hung on a hook that is taken: %v", e)
	}
	if err := s.StopCutting(ctx, s.Act(s.Bob, dbtest.Noon.Add(time.Hour)), number, places[0].ID); err != nil {
		t.Fatal(err)
	}
	a, _ := s.Animal(ctx, number)
	if a.Physical != animal.Hanging || a.OrderState != animal.Complete {
		t.Errorf("%+v", a.Tracks())
	}
	w := wholeOrder()
	w.Source, w.Caller, w.After = "phone", "Dell Marrow", 1
	if err := s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon.Add(time.Hour)), number, w); err != nil {
		t.Errorf("the order is not open again: %v", err)
	}
	e := domain.As(s.Start(ctx, s.Act(s.Bob, dbtest.Noon.Add(2*time.Hour)), number, db.Taking{TagRead: string(number), Version: 1}))
	if e.Kind != domain.Conflict || !strings.Contains(e.Error(), "version 2 counts now") {
		t.Errorf("the old paper still counts: %v", e)
	}
}

// What a look stops under the knife is packed and hung back, but neither finished nor
// boxed before the lead has decided; a clean look after it lifts nothing.
func TestStoppedUnderTheKnife(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	after := func(minutes int) db.Act {
		return s.Act(s.Bob, dbtest.Noon.Add(time.Duration(minutes)*time.Minute))
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	looked := func(minutes int, smell round.Smell) {
		t.Helper()
		at := dbtest.Noon.Add(time.Duration(minutes) * time.Minute)
		must(s.Look(ctx, after(minutes), number, db.Look{Look: round.Look{At: at, Smell: smell, Surface: round.SurfaceDry}, Touched: true}))
	}
	refused := func(err error) {
		t.Helper()
		if e := domain.As(err); err == nil || e.Kind != domain.Refused || e.Error() != "It is stopped: It smells sour. Nothing of it is mixed, finished or boxed before the lead has decided." {
			t.Errorf("not refused: %v", err)
		}
	}
	must(s.Start(ctx, after(0), number, db.Taking{TagRead: string(number), Version: 1}))
	looked(1, round.SmellSour)
	looked(2, round.SmellClean)
	must(s.Pack(ctx, after(3), number, db.Wrapped{Cut: "burger", Count: 20, Net: 14}))
	refused(s.Finish(ctx, after(4), number, db.Finishing{Labelled: true}))
	must(s.Decide(ctx, s.Act(s.Ann, dbtest.Noon.Add(5*time.Minute)), number, round.CarryOn, "the flank alone, cut out wide"))
	must(s.Finish(ctx, after(6), number, db.Finishing{Labelled: true}))

	looked(7, round.SmellSour) // what the decision knew
	packs, err := s.Packs(ctx, number)
	must(err)
	spots, err := s.FreezerSpots(ctx)
	must(err)
	boxes := []db.NewBox{{N: 1, Place: spots[0].ID, Packs: []uuid.UUID{packs[0].ID}}}
	looked(26*60, round.SmellSour) // a day later it is a new one
	refused(s.BoxUp(ctx, after(26*60+1), number, boxes))
	must(s.Decide(ctx, s.Act(s.Ann, dbtest.Noon.Add(26*time.Hour+2*time.Minute)), number, round.CarryOn, "the tub smelled, not the meat"))
	must(s.BoxUp(ctx, after(26*60+3), number, boxes))
}

func TestTakeBack(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	if err := s.Start(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1}); err != nil {
		t.Fatal(err)
	}
	if err := s.Pack(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Wrapped{Cut: "chops", Count: 80, Net: 4}); err != nil {
		t.Fatal(err)
	}
	packs, err := s.Packs(ctx, number)
	if err != nil {
		t.Fatal(err)
	}
	if e := domain.As(s.Finish(ctx, s.Act(s.Bob, dbtest.Noon), s.HangDeer(t, 2, 2), db.Finishing{Labelled: true})); e.Kind != domain.Refused {
		t.Errorf("finished what hangs: %v", e)
	}
	if e := domain.As(s.TakeBack(ctx, s.Act(s.Bob, dbtest.Noon), number, packs[0].ID, "")); e.At != "why" {
		t.Errorf("taken back without a word: %v", e)
	}
	oneWins(t, func(by db.Staff) error {
		return s.TakeBack(ctx, s.Act(by, dbtest.Noon), number, packs[0].ID, "8, not 80")
	}, s.Ann, s.Bob)
	if packs, err = s.Packs(ctx, number); err != nil || len(packs) != 0 {
		t.Errorf("%v, %v", packs, err)
	}
	if e := domain.As(s.Finish(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Finishing{Labelled: true})); e.Kind != domain.Refused || e.At != "packs" {
		t.Errorf("finished with no packs: %v", e)
	}
}

// Of a shared steer every pack has an owner, and no box holds two owners' packs.
func TestSharedPacksAndBoxes(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := steer(t, s)
	for i, p := range []cutting.Portion{cutting.Left, cutting.Right} {
		w := beefOrder(p, cutting.TBones)
		w.After = i
		if err := s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, w); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Start(ctx, s.Act(s.Ann, dbtest.Noon), number, db.Taking{TagRead: string(number), Card: cutting.SheetCode(number, 2), Version: 2}); err != nil {
		t.Fatal(err)
	}
	pack := func(p cutting.Portion) error {
		return s.Pack(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Wrapped{Cut: "T-bones", Count: 6, Net: 8, Portion: p})
	}
	for _, p := range []cutting.Portion{cutting.WholeAnimal, cutting.LeftOne} {
		if e := domain.As(pack(p)); e.At != "portion" {
			t.Errorf("packs of %q, which nobody ordered: %v", p, e)
		}
	}
	for _, p := range []cutting.Portion{cutting.Left, cutting.Right} {
		if err := pack(p); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Finish(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Finishing{Labelled: true}); err != nil {
		t.Fatal(err)
	}
	packs, err := s.Packs(ctx, number)
	if err != nil || len(packs) != 2 {
		t.Fatalf("%+v, %v", packs, err)
	}
	spots, err := s.FreezerSpots(ctx)
	if err != nil {
		t.Fatal(err)
	}
	e := domain.As(s.BoxUp(ctx, s.Act(s.Bob, dbtest.Noon), number, []db.NewBox{{N: 1, Place: spots[0].ID, Packs: []uuid.UUID{packs[0].ID, packs[1].ID}}}))
	if e.At != "box" || !strings.Contains(e.Error(), "packs of two owners") {
		t.Errorf("two owners in one box: %v", e)
	}
	if err := s.BoxUp(ctx, s.Act(s.Bob, dbtest.Noon), number, []db.NewBox{{N: 1, Place: spots[0].ID, Packs: []uuid.UUID{packs[0].ID}}, {N: 2, Place: spots[0].ID, Packs: []uuid.UUID{packs[1].ID}}}); err != nil {
		t.Error(err)
	}
}
