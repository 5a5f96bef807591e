package db_test

import (
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/domain/register"

	"github.com/google/uuid"
)

// boxed is a deer in boxes on the freezer's shelf, billed and, if asked, paid.
func boxed(t testing.TB, s *dbtest.Shop, running, boxes int, paid bool) domain.ShopNumber {
	t.Helper()
	n := s.BoxDeer(t, running, boxes)
	must(t, s.BillPart(t.Context(), s.Act(s.Bob, dbtest.Noon), n))
	if paid {
		_, err := s.Pay(t.Context(), s.Act(s.Bob, dbtest.Noon), n, 15000, "cash")
		must(t, err)
	}
	return n
}

func takes(boxes ...string) db.Collection {
	return db.Collection{Collector: "Dale Orrin", Authority: animal.ByOwner, Seen: "driver's license", Boxes: boxes, TagReturned: true}
}

func TestHandOver(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 2, true)
	c := takes(domain.BoxCode(n, 1))
	c.TagReturned = false
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, c))
	p, err := s.Pickup(ctx, n)
	if err != nil || p.Animal.Physical != animal.PartReleased || p.Animal.Legal != animal.TagHeld || len(p.Handovers) != 1 ||
		p.Handovers[0].Remains != "1 of 2 boxes" || p.Boxes[0].ReleasedAt == nil || p.Boxes[1].Place != "Freezer F1-1" {
		t.Fatalf("%+v, %v", p, err)
	}
	if e := domain.As(s.HandOver(ctx, s.Act(s.Bob, now), n, takes(domain.BoxCode(n, 1)))); e.Kind != domain.Conflict || !strings.Contains(e.Error(), "BT") {
		t.Errorf("box 1 again: %v", e)
	}
	act := s.Act(s.Bob, now)
	must(t, s.HandOver(ctx, act, n, takes(domain.BoxCode(n, 2))))
	must(t, s.HandOver(ctx, act, n, takes(domain.BoxCode(n, 2)))) // sent twice
	p, err = s.Pickup(ctx, n)
	if err != nil || p.Animal.Physical != animal.Released || p.Animal.Legal != animal.TagReturned || len(p.Handovers) != 2 {
		t.Fatalf("%+v, %v", p, err)
	}
	lines, err := s.RegisterOf(ctx, n)
	if err != nil || len(lines) != 2 || lines[1].Kind != register.Handover || lines[1].Facts["boxes"] != "2" || lines[1].Facts["tag_returned"] != "yes" ||
		lines[0].Facts["disposition"] != "1 of 2 boxes" || lines[0].Personal["collector"] != "Dale Orrin" {
		t.Errorf("register %+v, %v", lines, err)
	}
	must(t, s.VerifyRegister(ctx))
	if e := domain.As(s.HandOver(ctx, s.Act(s.Bob, now), n, takes(domain.BoxCode(n, 2)))); e.Kind == domain.Internal {
		t.Errorf("handed over a third time: %v", e)
	}
}

// What must not leave the counter, and what is said.
func TestHandOverRefuses(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n, other := boxed(t, s, 1, 1, true), boxed(t, s, 2, 1, true)
	owes, held := boxed(t, s, 3, 1, false), boxed(t, s, 4, 1, true)
	exec(t, s, `INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) SELECT $1, id, $2, 'sampled', $3, $4 FROM animals WHERE number = $5`,
		uuid.Must(uuid.NewV7()), hold.TestPending, now, s.Bob.ID, held)
	unpaid := takes(domain.BoxCode(owes, 1))
	unpaid.LetOwe = "old customer, pays on Friday"
	for _, tt := range []struct {
		name   string
		number domain.ShopNumber
		by     db.Staff
		c      db.Collection
		at     string
		says   string
	}{
		{"another animal's box", n, s.Bob, takes(domain.BoxCode(n, 1), domain.BoxCode(other, 1)), "box", "Put it back to Freezer F1-2"},
		{"a box nobody knows", n, s.Bob, takes(domain.BoxCode(dbtest.Tag(77), 1)), "box", "no such box"},
		{"a box it does not have", n, s.Bob, takes(domain.BoxCode(n, 4)), "boxes", "no box 4"},
		{"a label that cannot be read", n, s.Bob, takes("ham"), "boxes", "not the label of a box"},
		{"no box", n, s.Bob, takes(), "boxes", "Scan or tick"},
		{"held for a test", held, s.Bob, takes(domain.BoxCode(held, 1)), "hold", "Nothing of it leaves the shop"},
		{"money owed", owes, s.Bob, takes(domain.BoxCode(owes, 1)), "balance", "$150.00 is still owed"},
		{"the counter lets it go unpaid", owes, s.Bob, unpaid, "balance", "ask the owner"},
		{"no such animal", dbtest.Tag(99), s.Bob, takes(), "", "There is no animal"},
	} {
		e := domain.As(s.HandOver(ctx, s.Act(tt.by, now), tt.number, tt.c))
		if e.At != tt.at || !strings.Contains(e.Error(), tt.says) || strings.Contains(e.Error(), "Orrin") {
			t.Errorf("%s: %q at %q", tt.name, e, e.At)
		}
	}
	for _, number := range []domain.ShopNumber{n, other, owes, held} {
		if p, err := s.Pickup(ctx, number); err != nil || p.Animal.Physical != animal.Stored || len(p.Handovers) != 0 {
			t.Errorf("%s was changed: %s, %v", number, p.Animal.Physical, err)
		}
	}
	must(t, s.HandOver(ctx, s.Act(s.Ann, now), owes, unpaid)) // the owner of the shop may
	p, err := s.Pickup(ctx, owes)
	if err != nil || p.Handovers[0].BalanceCents != 15000 || p.Handovers[0].BalanceWhy != unpaid.LetOwe {
		t.Errorf("%+v, %v", p.Handovers, err)
	}
}

func TestHandOverTwoCounters(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n := boxed(t, s, 1, 1, true)
	oneWins(t, func(by db.Staff) error {
		return s.HandOver(t.Context(), s.Act(by, dbtest.Noon), n, takes(domain.BoxCode(n, 1)))
	}, s.Ann, s.Bob)
}

// Found by tag, by its four digits, by box label, by phone and by name; bounded.
func TestFindForPickup(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	person := uuid.Must(uuid.NewV7())
	exec(t, s, `INSERT INTO people (id, name, phone, known_since) VALUES ($1, 'Dale Orrin', '(607) 555-0142', $2)`, person, dbtest.Noon)
	for i := range 5 {
		n := boxed(t, s, i+1, 1, i == 0)
		exec(t, s, `INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, $1, 'owner', $2 FROM animals WHERE number = $3`, person, dbtest.Noon, n)
	}
	first := dbtest.Tag(1)
	for typed, want := range map[string]int{string(first): 1, first.Digits(): 1, "0001": 1, domain.BoxCode(first, 1): 1, "0142": 3, "orr": 3, "dale o": 3, "Zed": 0, "%%": 0} {
		found, err := s.FindForPickup(ctx, typed, 3)
		if err != nil || len(found) != want {
			t.Errorf("%q finds %d, %v; want %d", typed, len(found), err, want)
		}
		if want > 0 && err == nil && (found[0].Owner != "Dale Orrin" || found[0].Boxes != 1) {
			t.Errorf("%q: %+v", typed, found[0])
		}
	}
	if _, err := s.FindForPickup(ctx, "x", 3); domain.As(err).At != "q" {
		t.Errorf("one letter: %v", err)
	}
	must(t, s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), first, "call", "busy", "tried the landline"))
	if e := domain.As(s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), first, "shout", "busy", "")); e.At != "way" {
		t.Errorf("shouted: %v", e)
	}
	if e := domain.As(s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), first, "call", "sang", "")); e.At != "outcome" {
		t.Errorf("sang: %v", e)
	}
	list, err := s.WaitingForPickup(ctx, 10)
	if err != nil || len(list) != 5 || list[0].Outcome != "busy" || list[0].OwedCents != 0 || list[1].OwedCents != 15000 {
		t.Errorf("%+v, %v", list, err)
	}
}
