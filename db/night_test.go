package db_test

import (
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"

	"github.com/google/uuid"
)

// aPicture stands for a JPEG: the records do not look inside.
var aPicture = []byte(strings.Repeat("jpeg", 50))

// Hard scenario 3 (trade.md Annex E): six carcasses, five cards, one of which reads
// Hale or Hall. Five pair by number; the sixth is nobody's, held, and its tag
// number leads to Wade Tolliver.
func TestBayInTheMorning(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	must(t, s.Receive(ctx, s.Act(s.Ann, now), db.Drop{Drop: animal.Drop{Number: dbtest.Tag(1), Species: domain.Whitetail, Form: domain.Whole, KilledAt: now},
		Owner: db.Person{Name: "Wade Tolliver", Phone: "607-555-0188", Licence: "L-7731"}}))
	must(t, s.CountBay(ctx, s.Act(s.Bob, now), 6, 5))
	for i := range 6 {
		f := animal.Find{Number: dbtest.Tag(10 + i), Species: domain.Whitetail}
		if i == 5 {
			f = animal.Find{Species: domain.Whitetail, Tag: "l-7731", Reads: "eight points, blue rope"}
		}
		must(t, s.FoundInBay(ctx, s.Act(s.Bob, now), f, aPicture))
		if i < 5 {
			must(t, s.FoundInBay(ctx, s.Act(s.Bob, now), animal.Find{Card: true, Number: dbtest.Tag(10 + i), Reads: "Hale, or Hall"}, nil))
		}
	}
	open, err := s.OpenFinds(ctx)
	if err != nil || len(open) != 1 || open[0].Tag != "l-7731" || len(open[0].Photos) != 1 || open[0].FoundBy != "BT" {
		t.Fatalf("open after pairing: %+v, %v", open, err)
	}
	if who, err := s.WhoseTag(ctx, open[0].Tag); err != nil || len(who) != 1 || who[0].Name != "Wade Tolliver" || who[0].From != "licence" {
		t.Errorf("whose tag: %+v, %v", who, err)
	}
	sixth := open[0].ID
	if e := domain.As(s.SettleFind(ctx, s.Act(s.Bob, now), sixth, "called")); e.Kind != domain.Refused {
		t.Errorf("settled before it hangs: %v", e)
	}
	drop := db.Drop{Drop: animal.Drop{Number: dbtest.Tag(16), Species: domain.Whitetail, Form: domain.Whole, KilledAt: now}, Found: sixth}
	act := s.Act(s.Bob, now)
	for range 2 { // a second tap
		must(t, s.Receive(ctx, act, drop))
	}
	holds, err := s.Holds(ctx, dbtest.Tag(16))
	if err != nil || len(holds) != 1 || holds[0].Kind != hold.Identity || !hold.Identity.Blocks(hold.Cut) {
		t.Fatalf("the sixth hangs with %+v, %v", holds, err)
	}
	again := drop
	again.Number = dbtest.Tag(17)
	if e := domain.As(s.Receive(ctx, s.Act(s.Bob, now), again)); e.Kind != domain.Conflict {
		t.Errorf("the same carcass taken in twice: %v", e)
	}
	must(t, s.SettleFind(ctx, s.Act(s.Bob, now), sixth, "Tolliver called back, comes by at noon"))
	if e := domain.As(s.SettleFind(ctx, s.Act(s.Ann, now), sixth, "called")); e.Kind != domain.Conflict {
		t.Errorf("settled twice: %v", e)
	}
	if open, err := s.OpenFinds(ctx); err != nil || len(open) != 0 {
		t.Errorf("still open: %+v, %v", open, err)
	}
	if photos, err := s.DoorPhotos(ctx, act.ID); err != nil || len(photos) != 1 {
		t.Errorf("pictures of the sixth: %v, %v", photos, err)
	}
	// One with a card comes in without a hold.
	all, err := s.NightFinds(ctx, now.AddDate(0, 0, -1))
	if err != nil || len(all) != 11 || all[0].CardID == nil {
		t.Fatalf("%d finds, %v", len(all), err)
	}
	must(t, s.Receive(ctx, s.Act(s.Bob, now), db.Drop{Drop: animal.Drop{Number: dbtest.Tag(10), Species: domain.Whitetail, Form: domain.Whole, KilledAt: now},
		Found: all[0].ID, Owner: db.Person{Name: "Hale"}}))
	if holds, err := s.Holds(ctx, dbtest.Tag(10)); err != nil || len(holds) != 0 {
		t.Errorf("with its card it is held: %+v, %v", holds, err)
	}
}

// A number that hangs in the bay is nobody else's: the roll is offered past it, another
// animal with it is refused and told where it is, and the carcass itself comes in with it.
func TestNumberInTheBayIsTaken(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	found := s.Act(s.Bob, now)
	must(t, s.FoundInBay(ctx, found, animal.Find{Species: domain.Whitetail, Number: dbtest.Tag(1)}, nil))
	must(t, s.FoundInBay(ctx, s.Act(s.Bob, now), animal.Find{Card: true, Number: dbtest.Tag(2), Reads: "Prather"}, nil))
	if n, err := s.NextTag(ctx); err != nil || n != dbtest.Tag(3) {
		t.Errorf("next off the roll: %s, %v", n, err)
	}
	drop := db.Drop{Drop: animal.Drop{Number: dbtest.Tag(1), Species: domain.Whitetail, Form: domain.Whole, KilledAt: now}, Owner: db.Person{Name: "Lena Prather"}}
	if e := domain.As(s.Receive(ctx, s.Act(s.Bob, now), drop)); e.Kind != domain.Conflict || e.At != "number" || !strings.Contains(e.Error(), "found in the bay") {
		t.Errorf("another animal with the number of the bay: %v", e)
	}
	drop.Found = found.ID
	must(t, s.Receive(ctx, s.Act(s.Bob, now), drop))
	drop.Found = uuid.Nil
	if e := domain.As(s.Receive(ctx, s.Act(s.Bob, now), drop)); e.Kind != domain.Conflict || !strings.Contains(e.Error(), "already on another animal") {
		t.Errorf("once it is in: %v", e)
	}
	drop.Number = dbtest.Tag(2) // of which the bay has the card alone: this is its carcass
	must(t, s.Receive(ctx, s.Act(s.Bob, now), drop))
}

// Pairing by hand, twice sent and by two people at once.
func TestPairByHand(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	carcass, card := s.Act(s.Bob, now), s.Act(s.Bob, now)
	for range 2 {
		must(t, s.FoundInBay(ctx, carcass, animal.Find{Species: domain.Whitetail}, nil))
		must(t, s.FoundInBay(ctx, card, animal.Find{Card: true, Reads: "Prather"}, nil))
	}
	if e := domain.As(s.PairFinds(ctx, s.Act(s.Bob, now), card.ID, carcass.ID)); e.At != "card" {
		t.Errorf("the wrong way round: %v", e)
	}
	oneWins(t, func(by db.Staff) error { return s.PairFinds(ctx, s.Act(by, now), carcass.ID, card.ID) }, s.Ann, s.Bob)
	if open, err := s.OpenFinds(ctx); err != nil || len(open) != 0 {
		t.Errorf("open: %+v, %v", open, err)
	}
	tagged := animal.Find{Species: domain.Whitetail, Number: dbtest.Tag(3)}
	oneWins(t, func(by db.Staff) error { return s.FoundInBay(ctx, s.Act(by, now), tagged, nil) }, s.Ann, s.Bob)
	if e := domain.As(s.PairFinds(ctx, s.Act(s.Bob, now), uuid.New(), card.ID)); e.Kind != domain.NotFound {
		t.Errorf("nothing such: %v", e)
	}
}

// A closed form is refused with the shop's reason, the others come in; of two who
// close it one is told.
func TestClosedForms(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	oneWins(t, func(by db.Staff) error {
		return s.SwitchIntake(ctx, s.Act(by, now), animal.TakeWhole, true, "cooler full until Monday")
	}, s.Ann, s.Bob)
	drop := func(running int, f domain.Form) error {
		return s.Receive(ctx, s.Act(s.Bob, now), db.Drop{Drop: animal.Drop{Number: dbtest.Tag(running), Species: domain.Whitetail, Form: f, KilledAt: now}, Owner: db.Person{Name: "Lena Prather"}})
	}
	for _, f := range []domain.Form{domain.Whole, domain.WholeHideOn} {
		if e := domain.As(drop(1, f)); e.At != "shape" || !strings.Contains(e.Error(), "no whole animals just now: cooler full until Monday") {
			t.Errorf("%s: %v", f, e)
		}
	}
	must(t, drop(1, domain.Quarters))
	act := s.Act(s.Ann, now)
	for range 2 {
		must(t, s.SwitchIntake(ctx, act, animal.TakeWhole, false, ""))
	}
	must(t, drop(2, domain.Whole))
	if e := domain.As(s.SwitchIntake(ctx, s.Act(s.Ann, now), animal.TakeWhole, false, "")); e.Kind != domain.Conflict || !strings.Contains(e.Error(), "opened again already by AK") {
		t.Errorf("opened twice: %v", e)
	}
	if e := domain.As(s.SwitchIntake(ctx, s.Act(s.Ann, now), animal.TakeBoned, true, " ")); e.At != "why" {
		t.Errorf("closed without a reason: %v", e)
	}
	c, err := s.Capacity(ctx, now)
	if err != nil || c.Free != 28 || c.Percent < 5 || c.Percent > 9 || !c.Fills {
		t.Errorf("30 hooks, two taken: %+v, %v", c, err)
	}
}

// What is turned away is written down once, with its picture and no person on the
// time line.
func TestRefusedAtDoor(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	act, deep := s.Act(s.Bob, now), domain.Fahrenheit(68)
	r := animal.Refusal{Finding: animal.WarmLong, Reason: "shot yesterday noon, hung in a garage", Species: domain.Whitetail, Name: "Orrin Beck", Deep: &deep}
	for range 2 {
		must(t, s.RefuseAtDoor(ctx, act, r, "", aPicture))
	}
	list, err := s.RefusedAtDoor(ctx, 10)
	if err != nil || len(list) != 1 || len(list[0].Photos) != 1 || list[0].By != "BT" || *list[0].DeepC != deep {
		t.Fatalf("%+v, %v", list, err)
	}
	if jpeg, err := s.Photo(ctx, list[0].Photos[0]); err != nil || len(jpeg) != len(aPicture) {
		t.Errorf("picture: %d bytes, %v", len(jpeg), err)
	}
	lines := collect[struct{ Detail string }](t, s, `SELECT detail::text AS detail FROM time_line WHERE act = $1`, act.ID)
	if len(lines) != 1 || strings.Contains(lines[0].Detail, "Beck") {
		t.Errorf("time line: %+v", lines)
	}
	for at, bad := range map[string]animal.Refusal{"finding": {Finding: "ugly", Reason: "x"}, "reason": {Finding: animal.Full}, "told": {Finding: animal.Sick, Reason: "thin"}} {
		if e := domain.As(s.RefuseAtDoor(ctx, s.Act(s.Bob, now), bad, "", nil)); e.At != at {
			t.Errorf("%+v: %v", bad, e)
		}
	}
}
