package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
)

// Hard scenario 27 (trade.md Annex E): the brother is not listed and $188 is owed: no
// release. The owner's later yes by phone stands with its time; the stub works where
// the shop has it so, and not where it has not.
func TestBrotherComes(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 1, true)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	brother := takes(domain.BoxCode(n, 1))
	brother.Collector, brother.Authority = "Carl Orrin", animal.ByName
	refused := func(c db.Collection, says string) {
		t.Helper()
		if e := domain.As(s.HandOver(ctx, s.Act(s.Bob, now), n, c)); e.Kind != domain.Refused || !strings.Contains(e.Error(), says) || strings.Contains(e.Error(), "Orrin") {
			t.Errorf("%v, want %q", e, says)
		}
	}
	refused(brother, "The owner has not named them")
	as := brother
	as.Authority = animal.ByOwner
	refused(as, "not the owner's name")
	f, err := s.Fetching(ctx)
	must(t, err)
	f.StubCollects = false
	must(t, s.SetFetching(ctx, s.Act(s.Ann, now), f))
	stub := brother
	stub.Authority = animal.ByStub
	refused(stub, "for the stub alone")
	must(t, s.LogCall(ctx, s.Act(s.Bob, now), n, "call", "no answer", "rang twice"))

	for at, bad := range map[string][2]string{"named": {" ", "call"}, "named_how": {"Carl Orrin", "dreamt it"}} {
		if e := domain.As(s.MayCollect(ctx, s.Act(s.Bob, now), n, bad[0], bad[1])); e.At != at {
			t.Errorf("%v: %v", bad, e)
		}
	}
	later := now.Add(40 * time.Minute)
	act := s.Act(s.Bob, later)
	for range 2 {
		must(t, s.MayCollect(ctx, act, n, "Carl Orrin", "call"))
	}
	oneWins(t, func(by db.Staff) error { return s.MayCollect(ctx, s.Act(by, later), n, "June Orrin", "text") }, s.Ann, s.Bob)
	p, err := s.Pickup(ctx, n)
	if err != nil || len(p.Parties) != 3 || p.Parties[1].Role != "collector" || p.Parties[1].Note != "call" || !p.Parties[1].Since.Equal(later) || len(p.Contacts) != 3 {
		t.Fatalf("%+v %+v, %v", p.Parties, p.Contacts, err)
	}
	brother.Collector, brother.Strokes = "carl orrin", "M1 1 L9 9"
	must(t, s.HandOver(ctx, s.Act(s.Bob, later), n, brother))
	if p, err = s.Pickup(ctx, n); err != nil || p.Handovers[0].Strokes != "M1 1 L9 9" || p.Animal.Physical != animal.Released {
		t.Errorf("%+v, %v", p.Handovers, err)
	}
}

// Antlers and coolers go back with the last box, or somebody says that they stay.
func TestThingsGoBack(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 2, true)
	antlers, cooler := uuid.Must(uuid.NewV7()), uuid.Must(uuid.NewV7())
	exec(t, s, `INSERT INTO pieces (id, animal_id, mark, kind, made_at) SELECT $1, id, 'A', 'antlers', $2 FROM animals WHERE number = $3`, antlers, now, n)
	exec(t, s, `INSERT INTO left_things (id, animal_id, what, left_at, left_by) SELECT $1, id, 'blue cooler', $2, $3 FROM animals WHERE number = $4`, cooler, now, s.Bob.ID, n)
	part := takes(domain.BoxCode(n, 1))
	part.Things, part.TagReturned = []string{cooler.String()}, false
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, part))
	rest := takes(domain.BoxCode(n, 2))
	if e := domain.As(s.HandOver(ctx, s.Act(s.Bob, now), n, rest)); e.At != "things" || !strings.Contains(e.Error(), "antlers A") {
		t.Errorf("the antlers stay without a word: %v", e)
	}
	rest.Things = []string{cooler.String()}
	if e := domain.As(s.HandOver(ctx, s.Act(s.Bob, now), n, rest)); e.Kind != domain.Conflict {
		t.Errorf("the cooler a second time: %v", e)
	}
	rest.Things = []string{antlers.String()}
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, rest))
	p, err := s.Pickup(ctx, n)
	if err != nil || p.Animal.Physical != animal.Released || len(p.Things) != 2 || p.Things[0].GoneAt == nil || p.Things[1].GoneAt == nil {
		t.Errorf("%+v %s, %v", p.Things, p.Animal.Physical, err)
	}
}

// Of a shared animal each owner collects the boxes of their own portion, and no other.
func TestOwnShare(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 2, true)
	s.Own(t, n, "Vera Quill", "607-555-0177")
	for i, share := range []struct{ portion, whose string }{{"L", "Dale Orrin"}, {"R", "June Loomis"}} {
		s.Packed(t, n, "hind steaks", 9)
		_, err := dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE packs SET portion = $1, box_id = (SELECT id FROM boxes WHERE n = $2) WHERE box_id IS NULL`, share.portion, i+1)
		must(t, err)
	}
	for i, share := range []struct{ portion, whose string }{{"L", "Dale Orrin"}, {"R", "June Loomis"}} {
		exec(t, s, `INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete, portion, for_whom)
			SELECT $1, id, $2, 'counter', $3, $4, true, $5, $6 FROM animals WHERE number = $7`, uuid.Must(uuid.NewV7()), i+2, s.Bob.ID, now, share.portion, share.whose, n)
	}
	mine := takes(domain.BoxCode(n, 1))
	mine.TagReturned = false
	both := mine
	both.Boxes = []string{domain.BoxCode(n, 1), domain.BoxCode(n, 2)}
	if e := domain.As(s.HandOver(ctx, s.Act(s.Bob, now), n, both)); e.Kind != domain.Refused || e.At != "collector" {
		t.Errorf("the other owner's box too: %v", e)
	}
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, mine))
	p, err := s.Pickup(ctx, n)
	if err != nil || len(p.Shares) != 2 || p.Boxes[0].Portion != "L" || p.Boxes[0].ReleasedAt == nil || p.Boxes[1].ReleasedAt != nil {
		t.Errorf("%+v %+v, %v", p.Shares, p.Boxes, err)
	}
}
