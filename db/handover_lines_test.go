package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/register"
)

// right is the first hand-over of an animal as the counter would put it right: the form
// comes filled with what stands.
func right(t *testing.T, s *dbtest.Shop, n domain.ShopNumber, why string) db.HandoverRight {
	t.Helper()
	p, err := s.Pickup(t.Context(), n)
	if err != nil || len(p.Handovers) == 0 {
		t.Fatal(p.Handovers, err)
	}
	h := p.Handovers[0]
	return db.HandoverRight{Handover: h.ID, After: h.Lines, Collector: h.Collector, Authority: h.Authority, Seen: h.Seen, Why: why}
}

// The wrong name was written down: a line says who took it, once though it was sent
// twice. What was written stays, the register's line too, and nothing else moves.
func TestAnotherTookIt(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 1, true)
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, takes(domain.BoxCode(n, 1))))
	c, act := right(t, s, n, "it was his brother"), s.Act(s.Bob, now.Add(time.Hour))
	c.Collector, c.Authority = "Wes Orrin", animal.ByName
	must(t, s.CorrectHandover(ctx, act, n, c))
	must(t, s.CorrectHandover(ctx, act, n, c))
	p, err := s.Pickup(ctx, n)
	if err != nil || p.Animal.Physical != animal.Released || p.Animal.Legal != animal.TagReturned || p.Handovers[0].Collector != "Wes Orrin" ||
		p.Handovers[0].Authority != animal.ByName || p.Handovers[0].Undone || len(p.PutRight) != 1 || p.PutRight[0].Before != "Dale Orrin" || p.PutRight[0].By != "BT" {
		t.Errorf("%+v, %v", p, err)
	}
	lines, err := s.RegisterOf(ctx, n)
	if err != nil || len(lines) != 2 || lines[1].Kind != register.Correction || lines[1].Corrects != lines[0].Seq || lines[1].Reason() != "it was his brother" ||
		lines[1].Personal["collector"] != "Wes Orrin" || lines[0].Personal["collector"] != "Dale Orrin" || len(lines[1].Facts) != 0 {
		t.Errorf("register %+v, %v", lines, err)
	}
	must(t, s.VerifyRegister(ctx))
	line, err := s.TimeLine(ctx, p.Animal.ID)
	if err != nil || line[0].What != "correct-hand-over" || line[0].Detail["why"] != "it was his brother" || line[0].Detail["collector"] != string(animal.ByName) {
		t.Errorf("%+v, %v", line, err)
	}
}

// One of two boxes was still in the freezer, then the other too: boxes, tag, register and
// the day's count follow, and it can be handed over as if nothing had been written.
func TestItHadNotLeft(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 2, true)
	exec(t, s, `INSERT INTO left_things (id, animal_id, what, left_at, left_by) SELECT id, id, 'blue cooler', $1, $3 FROM animals WHERE number = $2`, now, n, s.Bob.ID)
	taken := takes(domain.BoxCode(n, 1), domain.BoxCode(n, 2))
	taken.Things = []string{animalOf(t, s, n).ID.String()}
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, taken))
	c := right(t, s, n, "box 2 was left in the freezer")
	c.Stayed = []string{domain.BoxCode(n, 2)}
	oneWins(t, func(by db.Staff) error { return s.CorrectHandover(ctx, s.Act(by, now.Add(time.Minute)), n, c) }, s.Ann, s.Bob)
	p, err := s.Pickup(ctx, n)
	if err != nil || p.Animal.Physical != animal.PartReleased || p.Animal.Legal != animal.TagReturned || p.Handovers[0].Boxes != 1 || p.Handovers[0].Undone ||
		p.Boxes[0].ReleasedAt == nil || p.Boxes[1].ReleasedAt != nil || p.Boxes[1].Place != "Freezer F1-1" {
		t.Fatalf("%+v, %v", p, err)
	}
	c = right(t, s, n, "wrong animal tapped")
	c.Stayed = []string{domain.BoxCode(n, 1)}
	must(t, s.CorrectHandover(ctx, s.Act(s.Bob, now.Add(2*time.Minute)), n, c))
	p, err = s.Pickup(ctx, n)
	if err != nil || p.Animal.Physical != animal.Stored || p.Animal.Legal != animal.TagHeld || !p.Handovers[0].Undone || p.Boxes[0].ReleasedAt != nil ||
		p.Things[0].GoneAt != nil || p.Account.Invoice().Balance() != 0 {
		t.Fatalf("%+v, %v", p, err)
	}
	lines, err := s.RegisterOf(ctx, n)
	if err != nil || len(lines) != 3 || lines[1].Facts["boxes"] != "1" || lines[1].Facts["disposition"] != "1 of 2 boxes" ||
		lines[2].Facts["boxes"] != "none" || lines[2].Facts["handed_over"] != "not handed over" || lines[2].Facts["tag_returned"] != "no" {
		t.Errorf("register %+v, %v", lines, err)
	}
	if tags, err := s.TagMoves(ctx, p.Animal.ID); err != nil || len(tags) > 0 && tags[0].Now != "with-boxes" {
		t.Errorf("%+v, %v", tags, err)
	}
	must(t, s.HandOver(ctx, s.Act(s.Bob, now.Add(3*time.Minute)), n, taken))
	if p, err = s.Pickup(ctx, n); err != nil || p.Animal.Physical != animal.Released || len(p.Handovers) != 2 {
		t.Errorf("%+v, %v", p, err)
	}
	must(t, s.VerifyRegister(ctx))
}

// A hand-over that was taken back a day after it was counted comes back into the house's
// count as its own line, so that the heads still add up.
func TestTheDayCountsWhatHadNotLeft(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := boxed(t, s, 1, 1, true)
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, takes(domain.BoxCode(n, 1))))
	must(t, s.CloseDay(ctx, s.Act(s.Ann, now), dayEnd(t, s, noonDay, now, 0)))
	c := right(t, s, n, "wrong animal tapped")
	c.Stayed = []string{domain.BoxCode(n, 1)}
	must(t, s.CorrectHandover(ctx, s.Act(s.Bob, now.Add(2*time.Hour)), n, c))
	day, err := s.DayToClose(ctx, noonDay.AddDate(0, 0, 1), now.Add(20*time.Hour))
	if w := day.Work; err != nil || w.Stayed != 1 || w.InHouse != 1 || w.WentHome != 0 || w.Heads().Astray() != 0 {
		t.Errorf("%+v, %d astray, %v", w, w.Heads().Astray(), err)
	}
}

func TestCorrectHandoverRefuses(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n, other := boxed(t, s, 1, 2, true), boxed(t, s, 2, 1, true)
	must(t, s.HandOver(ctx, s.Act(s.Bob, now), n, takes(domain.BoxCode(n, 1))))
	for _, tt := range []struct {
		name, at string
		change   func(*db.HandoverRight)
	}{
		{"nothing changed", "collector", func(*db.HandoverRight) {}},
		{"no name", "collector", func(c *db.HandoverRight) { c.Collector = " " }},
		{"no right", "authority", func(c *db.HandoverRight) { c.Authority = "cousin" }},
		{"no reason", "why", func(c *db.HandoverRight) { c.Collector, c.Why = "Wes Orrin", " " }},
		{"a box that never left", "stayed", func(c *db.HandoverRight) { c.Stayed = []string{domain.BoxCode(n, 2)} }},
		{"another animal's box", "stayed", func(c *db.HandoverRight) { c.Stayed = []string{domain.BoxCode(other, 1)} }},
		{"no such hand-over", "", func(c *db.HandoverRight) { c.Handover = s.Bob.ID }},
		{"somebody was first", "", func(c *db.HandoverRight) { c.After, c.Collector = 1, "Wes Orrin" }},
	} {
		c := right(t, s, n, "a slip")
		tt.change(&c)
		if e := domain.As(s.CorrectHandover(ctx, s.Act(s.Bob, now), n, c)); e.Kind == domain.Internal || e.At != tt.at || strings.Contains(e.Error(), "Orrin") {
			t.Errorf("%s: %v at %q", tt.name, e, e.At)
		}
	}
	if lines, err := s.RegisterOf(ctx, n); err != nil || len(lines) != 1 {
		t.Errorf("%+v, %v", lines, err)
	}
}
