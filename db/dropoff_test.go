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

// aDrop is a grown buck, killed the day before and told in full.
func aDrop(running int) db.Drop {
	return db.Drop{
		Drop: animal.Drop{Number: dbtest.Tag(running), Species: domain.Whitetail, Form: domain.WholeHideOn, Sex: animal.Male, Points: 8,
			KilledAt: dbtest.Noon.AddDate(0, 0, -1), Kept: animal.KeptHung},
		Owner: db.Person{Name: "Dell Hargrove", Phone: "555-0142", Address: "9 Mill Lane, Corbin", Licence: "H-77310"},
		Tag:   db.OfficialTag{Number: "NY 4410 " + string(dbtest.Tag(running)), State: "NY"}, KillState: "NY", County: "Delaware", Unit: "4W",
	}
}

// receive takes in a drop and returns its animal.
func receive(t *testing.T, s *dbtest.Shop, d db.Drop) db.Animal {
	t.Helper()
	if err := s.Receive(t.Context(), s.Act(s.Bob, dbtest.Noon), d); err != nil {
		t.Fatal(err)
	}
	a, err := s.Animal(t.Context(), d.Number)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestReceiveTakesTheAnimalInWhole(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	a := receive(t, s, aDrop(147))
	want := animal.Tracks{Physical: animal.Chilling, Legal: animal.Verified, Disease: animal.NotNeeded, Order: animal.NoOrder, Money: animal.Quoted}
	if a.Tracks() != want || a.Class != domain.Mature || a.PriceListID != s.Prices.ID {
		t.Errorf("got %+v %s list %d", a.Tracks(), a.Class, a.PriceListID)
	}
	lines, err := s.RegisterOf(ctx, a.Number)
	if err != nil || len(lines) != 1 {
		t.Fatalf("register: %d lines, %v", len(lines), err)
	}
	// trade.md 2.1: what California and Texas ask for stands in the one line.
	l := lines[0]
	if l.Facts["county"] != "Delaware" || l.Facts["received"] != "2026-11-19 12:00 -05:00" || l.Facts["points"] != "8" {
		t.Errorf("facts: %v", l.Facts)
	}
	if l.Personal["taker"] != "Dell Hargrove" || l.Personal["deliverer"] != "Dell Hargrove" || l.Personal["licence"] != "H-77310" {
		t.Errorf("personal: %v", l.Personal)
	}
	for _, v := range l.Facts {
		if strings.Contains(v, "Hargrove") || strings.Contains(v, "0142") {
			t.Errorf("a person stands among the facts: %q", v)
		}
	}
	tags, err := s.OfficialTags(ctx, a.ID)
	if err != nil || len(tags) != 1 || tags[0].State != "NY" {
		t.Errorf("tags: %v, %v", tags, err)
	}
	hung, err := s.Hanging(ctx, dbtest.Noon)
	if err != nil || len(hung) != 1 || hung[0].Place() != "R1-1" {
		t.Errorf("hanging: %v, %v", hung, err)
	}
}

// Sent twice, also at the same moment, the form makes one animal; gone back to
// and sent with another number it is refused.
func TestReceiveTwiceMakesOneAnimal(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	act, errs := s.Act(s.Bob, dbtest.Noon), make([]error, 3)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { errs[i] = s.Receive(ctx, act, aDrop(1)) })
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			t.Errorf("the same form again: %v", err)
		}
	}
	if err := s.Receive(ctx, act, aDrop(2)); domain.As(err).Kind != domain.Conflict || !strings.Contains(err.Error(), string(dbtest.Tag(1))) {
		t.Errorf("the same form with another number: %v", err)
	}
	lines, err := s.RegisterLines(ctx, dbtest.Noon, dbtest.Noon.Add(time.Hour), 0)
	if err != nil || len(lines) != 1 {
		t.Errorf("register has %d lines, want 1 (%v)", len(lines), err)
	}
}

func TestReceiveRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	heavy := domain.Kilogram(900)
	for _, tt := range []struct {
		name  string
		wrong func(*db.Drop)
		kind  domain.Kind
		at    string
		says  string
	}{
		{"species", func(d *db.Drop) { d.Species = "unicorn" }, domain.Invalid, "species", "do not know this species"},
		{"killed after drop-off", func(d *db.Drop) { d.KilledAt = dbtest.Noon.Add(time.Minute) }, domain.Invalid, "killed", "after it was dropped off"},
		{"drop-off in the future", func(d *db.Drop) { d.ReceivedAt = dbtest.Noon.Add(time.Hour) }, domain.Invalid, "received", "future"},
		{"weight", func(d *db.Drop) { d.HangingWeight = &heavy }, domain.Invalid, "weight", "Really 1984.2 lb"},
		{"check digit", func(d *db.Drop) { d.Number = "26-0147-9" }, domain.Invalid, "number", "does not add up"},
		{"shop number", func(d *db.Drop) { d.Number = dbtest.Tag(1) }, domain.Conflict, "number", string(dbtest.Tag(1)) + " is already on another animal (whitetail), since 2026-11-19"},
		{"official tag", func(d *db.Drop) { d.Tag = aDrop(1).Tag }, domain.Conflict, "tag", "already read on " + string(dbtest.Tag(1)) + ", on 2026-11-19"},
		{"tag again by the counter", func(d *db.Drop) { d.Tag = aDrop(1).Tag; d.Tag.RepeatWhy = "reprinted" }, domain.Refused, "tag", "Only the lead or the owner"},
		{"tag without a state", func(d *db.Drop) { d.Tag.State = "" }, domain.Invalid, "tag_state", "which state"},
		{"nobody to reach", func(d *db.Drop) { d.Owner = db.Person{} }, domain.Invalid, "phone", "phone number or a name"},
		{"half a phone", func(d *db.Drop) { d.Owner.Phone = "555" }, domain.Invalid, "phone", "not a whole phone number"},
		{"hook", func(d *db.Drop) { d.Place = 1 }, domain.Conflict, "place", "R1, place 1 is taken: " + string(dbtest.Tag(1)) + " has hung there since 2026-11-19"},
		{"no such hook", func(d *db.Drop) { d.Place = 9999 }, domain.Invalid, "place", "no such place"},
		{"door says refuse", func(d *db.Drop) { d.Door = map[animal.DoorLine]animal.Grade{animal.DoorSmell: animal.RefuseGrade} }, domain.Refused, "door", "call the lead"},
	} {
		d := aDrop(2)
		tt.wrong(&d)
		err := s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d)
		if e := domain.As(err); e.Kind != tt.kind || e.At != tt.at || !strings.Contains(e.Error(), tt.says) {
			t.Errorf("%s: got %v at %q", tt.name, err, e.At)
		}
	}
	lines, err := s.RegisterLines(ctx, dbtest.Noon.AddDate(-1, 0, 0), dbtest.Noon.AddDate(1, 0, 0), 0)
	if err != nil || len(lines) != 1 {
		t.Errorf("something refused left a line: %d, %v", len(lines), err)
	}
}

// The owner may take a tag number for the second time and an animal the door
// check refuses; the tag keeps the reason, the animal hangs held.
func TestReceiveOnTheOwnersWord(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	d := aDrop(2)
	d.Form, d.Tag = domain.Whole, aDrop(1).Tag
	d.Tag.RepeatWhy = "the state printed the number twice, letter seen"
	d.Door = map[animal.DoorLine]animal.Grade{animal.DoorSmell: animal.RefuseGrade}
	if err := s.Receive(ctx, s.Act(s.Ann, dbtest.Noon), d); err != nil {
		t.Fatal(err)
	}
	a, err := s.Animal(ctx, d.Number)
	if err != nil || a.Door != "damaged" {
		t.Errorf("door %q, %v", a.Door, err)
	}
	tags, err := s.OfficialTags(ctx, a.ID)
	if err != nil || tags[0].RepeatOf == nil || *tags[0].RepeatOf != dbtest.Tag(1) || tags[0].RepeatWhy != d.Tag.RepeatWhy {
		t.Errorf("tag: %+v, %v", tags, err)
	}
	hung, err := s.Hanging(ctx, dbtest.Noon)
	if err != nil || len(hung) != 2 || len(hung[1].Holds) != 1 || hung[1].Holds[0] != "quality" || hung[1].Place() != "R1-3" {
		t.Errorf("it should hang held with an empty place beside it: %+v, %v", hung, err)
	}
}

func TestReceiveByHowItCame(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	light := domain.Pounds(88)
	for i, tt := range []struct {
		name string
		told func(*db.Drop)
		want animal.Tracks
	}{
		{"weighed at the door hangs for good", func(d *db.Drop) { d.Form, d.HangingWeight = domain.Whole, &light },
			animal.Tracks{Physical: animal.Hanging, Legal: animal.Verified, Disease: animal.NotNeeded}},
		{"left outside to be skinned", func(d *db.Drop) { d.NotHung = true },
			animal.Tracks{Physical: animal.Received, Legal: animal.Verified, Disease: animal.NotNeeded}},
		{"sample wanted, licence owed", func(d *db.Drop) { d.SampleWanted = true; d.Owner.Licence = "" },
			animal.Tracks{Physical: animal.Chilling, Legal: animal.Unchecked, Disease: animal.Wanted}},
		{"tag differs", func(d *db.Drop) { d.Form = domain.Whole; d.TagDiffers = "tag says antlerless, it has 6 points" },
			animal.Tracks{Physical: animal.Chilling, Legal: animal.Query, Disease: animal.NotNeeded}},
	} {
		d := aDrop(10 + i)
		tt.told(&d)
		got := receive(t, s, d).Tracks()
		got.Order, got.Money = "", ""
		if got != tt.want {
			t.Errorf("%s: got %+v, want %+v", tt.name, got, tt.want)
		}
	}
}

// Twenty people at twenty doors: every animal gets its line, its own hook, and
// the register has neither gap nor fork.
func TestTwentyReceiveAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	errs := make([]error, 20)
	var wg sync.WaitGroup
	for i := range errs {
		d := aDrop(100 + i)
		d.Form = domain.Whole
		wg.Go(func() { errs[i] = s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d) })
	}
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			t.Errorf("animal %d: %v", i, err)
		}
	}
	lines, err := s.RegisterLines(ctx, dbtest.Noon, dbtest.Noon.Add(time.Hour), 0)
	if err != nil || len(lines) != len(errs) {
		t.Fatalf("%d lines, %v", len(lines), err)
	}
	for i, l := range lines {
		if l.Seq != int64(i+1) {
			t.Errorf("line %d has number %d", i+1, l.Seq)
		}
	}
	if err := s.VerifyRegister(ctx); err != nil {
		t.Error(err)
	}
	if hung, err := s.Hanging(ctx, dbtest.Noon); err != nil || len(hung) != len(errs) {
		t.Errorf("%d hang, %v", len(hung), err)
	}
}

// Two want the same hook: one has it, the other is told who and since when.
func TestOneHookOneAnimal(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		d := aDrop(i + 1)
		d.Place = 5
		wg.Go(func() { errs[i] = s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d) })
	}
	wg.Wait()
	lost := errs[0]
	if lost == nil {
		lost = errs[1]
	}
	if (errs[0] == nil) == (errs[1] == nil) || domain.As(lost).Kind != domain.Conflict || !strings.Contains(lost.Error(), "has hung there since") {
		t.Errorf("want one winner and one told who was first, got %v and %v", errs[0], errs[1])
	}
}

func TestProtocolFollowsTheAnimal(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	protocols, err := s.Protocols(ctx)
	if err != nil {
		t.Fatal(err)
	}
	keys := map[int]string{}
	for _, p := range protocols {
		keys[p.ID] = p.Key
	}
	fawn, dirty := aDrop(1), aDrop(2)
	fawn.Class = domain.Young
	dirty.Door = map[animal.DoorLine]animal.Grade{animal.DoorGut: animal.BadFault}
	for want, d := range map[string]db.Drop{"deer-young": fawn, "damaged": dirty, "deer-mature": aDrop(3)} {
		if got := keys[receive(t, s, d).ProtocolID]; got != want {
			t.Errorf("%s: protocol %q, want %q", d.Number, got, want)
		}
	}
}

func TestFindPeople(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	again := aDrop(2)
	again.Owner = db.Person{Name: "dell hargrove", Phone: "(555) 0142", Address: "12 Ridge Road, Corbin"} // typed otherwise
	receive(t, s, again)
	other := aDrop(3)
	other.Owner = db.Person{Name: "June Hargrove", Phone: "555-0142"} // the same phone in the same house
	other.Taker = &db.Person{Name: "Wade %Tolliver", Phone: "555-0199"}
	receive(t, s, other)
	for typed, want := range map[string]int{"0142": 2, "5550142": 2, "1 555 0142": 2, "harg": 2, "DELL": 1, "%tol": 1, "%%": 0, "_": 0, "": 0, "01": 0, "nobody": 0} {
		found, err := s.FindPeople(ctx, typed)
		if err != nil || len(found) != want {
			t.Errorf("FindPeople(%q): %d, want %d (%v)", typed, len(found), want, err)
		}
	}
	dell, err := s.FindPeople(ctx, "dell")
	if err != nil || dell[0].Address != "12 Ridge Road, Corbin" || dell[0].Licence != "H-77310" {
		t.Errorf("what was told last counts, silence changes nothing: %+v, %v", dell, err)
	}
}

func TestReceiveNeedsAnAct(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	act := s.Act(s.Bob, dbtest.Noon)
	act.ID = uuid.Nil
	if err := s.Receive(t.Context(), act, aDrop(1)); err == nil {
		t.Error("an act without an id was taken")
	}
}
