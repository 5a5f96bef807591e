package db_test

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
)

// What was read out is kept word for word with name and strokes, once; two people at
// once keep it once.
func TestSign(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n, words := s.HangDeer(t, 1, 1), []string{"I fetch it within 7 days of the call."}
	act := s.Act(s.Bob, now)
	for range 2 {
		must(t, s.Sign(ctx, act, n, words, db.Signature{Signer: " Dell  Hargrove ", Strokes: "M10 20 L30 40 M5 5"}))
	}
	got, err := s.SignedFor(ctx, animalOf(t, s, n).ID)
	if err != nil || len(got) != 1 || got[0].Signer != "Dell Hargrove" || got[0].Words[0] != words[0] || got[0].Strokes != "M10 20 L30 40 M5 5" {
		t.Fatalf("%+v, %v", got, err)
	}
	oneWins(t, func(by db.Staff) error {
		return s.Sign(ctx, s.Act(by, now), n, []string{"anew"}, db.Signature{Signer: "Dell Hargrove"})
	}, s.Ann, s.Bob)
	for _, bad := range []db.Signature{{}, {Signer: "x", Strokes: `M1 1"/><script>`}, {Signer: "x", Strokes: "L1 1"}} {
		if e := domain.As(s.Sign(ctx, s.Act(s.Bob, now), n, words, bad)); e.At != "signer" {
			t.Errorf("%+v: %v", bad, e)
		}
	}
	if e := domain.As(s.Sign(ctx, s.Act(s.Bob, now), s.BoxDeer(t, 2, 1), words, db.Signature{Signer: "x"})); e.Kind != domain.Refused {
		t.Errorf("signed after it was cut: %v", e)
	}
}

// "As last time": the order of the same person for the same kind, taken once.
func TestRepeatOrder(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	in := func(running int) domain.ShopNumber {
		t.Helper()
		must(t, s.Receive(ctx, s.Act(s.Bob, now), db.Drop{Drop: animal.Drop{Number: dbtest.Tag(running), Species: domain.Whitetail, Form: domain.Boned, KilledAt: now, Door: map[animal.DoorLine]animal.Grade{animal.DoorShot: animal.SmallFault}},
			Owner: db.Person{Name: "Dell Hargrove", Phone: "607-555-0142"}, NotHung: true}))
		return dbtest.Tag(running)
	}
	first, second := in(1), in(2)
	if e := domain.As(s.RepeatOrder(ctx, s.Act(s.Bob, now), second, 0)); e.Kind != domain.NotFound {
		t.Errorf("repeated before there was anything: %v", e)
	}
	order := cutting.Order{Added: cutting.NoneAdded, Lines: []cutting.Line{{Part: cutting.Trim, Treatment: cutting.Burger}}}
	must(t, s.TakeOrder(ctx, s.Act(s.Bob, now), first, db.Written{Order: order, Source: "counter"}))
	act := s.Act(s.Bob, now)
	for range 2 {
		must(t, s.RepeatOrder(ctx, act, second, 0))
	}
	o, found, err := s.NewestOrder(ctx, second)
	if err != nil || !found || o.Version != 1 || o.Source != "repeat" || len(o.Lines) != 1 {
		t.Errorf("%+v %v %v", o, found, err)
	}
	if e := domain.As(s.RepeatOrder(ctx, s.Act(s.Ann, now), second, 0)); e.Kind != domain.Conflict {
		t.Errorf("a second counter: %v", e)
	}
	if g, err := s.DoorGrades(ctx, animalOf(t, s, second).ID); err != nil || g[animal.DoorShot] != animal.SmallFault {
		t.Errorf("door grades %v, %v", g, err)
	}
	if q, err := s.QuoteFor(ctx, animalOf(t, s, second).ID, now); err != nil || !q.Known || q.High < 12500 {
		t.Errorf("quote %+v, %v", q, err)
	}
}
