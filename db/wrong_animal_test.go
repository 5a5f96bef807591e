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
)

// The tag is not the card: of neither animal is it certain whose it is, so both
// are held and neither is cut (trade.md section 9, 6; Annex B).
func TestWrongAnimalHoldsBoth(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	card, tag := readyDeer(t, s, 1, 1), readyDeer(t, s, 2, 2)
	act := s.Act(s.Bob, dbtest.Noon)
	for range 2 { // sent twice it is refused twice and held once
		e := domain.As(s.Start(ctx, act, card, db.Taking{TagRead: tag.Digits(), Version: 1}))
		if e.Kind != domain.Refused || e.At != "identity" || !strings.Contains(e.Error(), string(tag)) || !strings.Contains(e.Error(), string(card)) {
			t.Fatalf("%v at %q", e, e.At)
		}
	}
	for _, n := range []domain.ShopNumber{card, tag} {
		holds, err := s.Holds(ctx, n)
		if err != nil || len(holds) != 1 || holds[0].Kind != hold.Identity || !holds[0].Open() {
			t.Errorf("%s: %+v, %v", n, holds, err)
		}
		a, _ := s.Animal(ctx, n)
		line, err := s.TimeLine(ctx, a.ID)
		if err != nil || line[0].What != "hold" || line[0].Detail["tag read"] != string(tag) {
			t.Errorf("%s: %+v, %v", n, line, err)
		}
		if a.Physical != animal.Hanging {
			t.Errorf("%s is %v", n, a.Physical)
		}
		if e := domain.As(s.Start(ctx, s.Act(s.Ann, dbtest.Noon), n, db.Taking{TagRead: string(n), Version: 1, Why: "sure"})); e.At != "gate" {
			t.Errorf("%s is cut all the same: %v", n, e)
		}
	}
	nobody := dbtest.Tag(77)
	if e := domain.As(s.Start(ctx, s.Act(s.Bob, dbtest.Noon), card, db.Taking{TagRead: string(nobody), Version: 1})); e.Kind != domain.Invalid || e.At != "tag" {
		t.Errorf("a tag of no animal here: %v", e)
	}
}

// Two cutters on one carcass, both written down, and the lead's word for taking
// it before the first read back.
func TestSittings(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	first, second := readyDeer(t, s, 1, 1), readyDeer(t, s, 2, 2)
	if e := domain.As(s.Join(ctx, s.Act(s.Bob, dbtest.Noon), second)); e.Kind != domain.Refused {
		t.Errorf("joined at an empty table: %v", e)
	}
	if err := s.Start(ctx, s.Act(s.Ann, dbtest.Noon), second, db.Taking{TagRead: string(second), Card: cutting.SheetCode(second, 1), Version: 1, Why: "nearer"}); err != nil {
		t.Fatal(err)
	}
	join := s.Act(s.Bob, dbtest.Noon.Add(5*time.Minute))
	for range 2 {
		if err := s.Join(ctx, join, second); err != nil {
			t.Fatal(err)
		}
	}
	list, err := s.Sittings(ctx, second)
	if err != nil || len(list) != 1 || list[0].WhyNotNext != "nearer" || list[0].InsteadOf != first || strings.Join(list[0].Cutters, ", ") != "Ann Kessler, Bob Tarrant" ||
		list[0].Version != 1 || list[0].Minutes(dbtest.Noon.Add(42*time.Minute)) != 42 {
		t.Errorf("%+v, %v", list, err)
	}
	if now, err := s.AtTable(ctx); err != nil || now[0].Why != "nearer" || now[0].InsteadOf != first {
		t.Errorf("%+v, %v", now, err)
	}
}

// Every split gets its letters, each once, and every tub is accounted for.
func TestPiecesAndTubs(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	off := func(kind cutting.PieceKind, kg domain.Kilogram) string {
		t.Helper()
		act := s.Act(s.Bob, dbtest.Noon)
		mark, err := s.CutOff(ctx, act, number, db.NewPiece{Kind: kind, Kg: kg, Instruction: "keep"})
		again, err2 := s.CutOff(ctx, act, number, db.NewPiece{Kind: kind, Kg: kg})
		if err != nil || err2 != nil || again != mark {
			t.Fatalf("%s %s, %v %v", mark, again, err, err2)
		}
		return mark
	}
	if off(cutting.HeadPiece, 0) != "H" || off(cutting.TubPiece, 4) != "T" || off(cutting.TubPiece, 3) != "TA" || off(cutting.QuarterPiece, 0) != "LF" {
		t.Error("the letters are not those of the domain")
	}
	if _, err := s.CutOff(ctx, s.Act(s.Bob, dbtest.Noon), number, db.NewPiece{Kind: cutting.HeadPiece}); domain.As(err).Kind != domain.Refused {
		t.Errorf("a second head: %v", err)
	}
	oneWins(t, func(by db.Staff) error {
		_, err := s.CutOff(ctx, s.Act(by, dbtest.Noon), number, db.NewPiece{Kind: cutting.CapePiece})
		return err
	}, s.Ann, s.Bob)
	tubs, err := s.OpenTubs(ctx)
	if err != nil || len(tubs) != 2 || *tubs[1].Kg != 3 {
		t.Fatalf("%+v, %v", tubs, err)
	}
	count := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		if e := domain.As(s.CountTubs(ctx, count, 3)); e.Kind != domain.Invalid || !strings.Contains(e.Error(), "A tub without a number stands there") {
			t.Errorf("one tub too many: %v", e)
		}
	}
	if e := domain.As(s.SendOff(ctx, s.Act(s.Bob, dbtest.Noon), number, "T", "taxidermist", db.Signature{})); e.At != "gone" {
		t.Errorf("a tub to the taxidermist: %v", e)
	}
	oneWins(t, func(by db.Staff) error {
		return s.SendOff(ctx, s.Act(by, dbtest.Noon), number, "T", cutting.GoneBatch, db.Signature{})
	}, s.Ann, s.Bob)
	if err := s.CountTubs(ctx, s.Act(s.Bob, dbtest.Noon), 1); err != nil {
		t.Errorf("the count agrees: %v", err)
	}
	if counts, err := s.LastTubCounts(ctx); err != nil || len(counts) != 2 || counts[1].Counted != 3 {
		t.Errorf("%+v, %v", counts, err)
	}
	if e := domain.As(s.SendOff(ctx, s.Act(s.Bob, dbtest.Noon), number, "ZZ", "packed", db.Signature{})); e.Kind != domain.NotFound {
		t.Errorf("a piece that never was: %v", e)
	}
}

// A hold keeps every piece here, whatever it is called; a quarter goes home in boxes, and
// whoever takes the heart signs for it.
func TestNoPieceLeavesPastAHold(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.CutDeer(t, 1, animal.OnTable)
	for _, k := range []cutting.PieceKind{cutting.QuarterPiece, cutting.HeartPiece} {
		if _, err := s.CutOff(ctx, s.Act(s.Bob, dbtest.Noon), n, db.NewPiece{Kind: k}); err != nil {
			t.Fatal(err)
		}
	}
	dale := db.Signature{Signer: "Dale Orrin"}
	off := func(mark, to string, s2 db.Signature) *domain.Error {
		return domain.As(s.SendOff(ctx, s.Act(s.Bob, dbtest.Noon), n, mark, to, s2))
	}
	if e := off("LF", cutting.GoneOwner, dale); e.Kind != domain.Refused || e.At != "gone" {
		t.Errorf("a quarter straight to its owner: %v", e)
	}
	if e := off("E", cutting.GoneOwner, db.Signature{}); e.At != "signer" {
		t.Errorf("nobody signed for the heart: %v", e)
	}
	must(t, s.OpenHold(ctx, s.Act(s.Bob, dbtest.Noon), n, hold.Dispute, "two say it is theirs", time.Time{}))
	for mark, to := range map[string]string{"LF": cutting.GoneDiscarded, "E": cutting.GoneOwner} {
		if e := off(mark, to, dale); e.At != "hold" {
			t.Errorf("%s, %s, while it is held: %v", mark, to, e)
		}
	}
}
