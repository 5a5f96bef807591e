package db_test

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
)

func TestOrderVersions(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	if _, found, err := s.NewestOrder(ctx, number); found || err != nil {
		t.Fatalf("an order before any: %v, %v", found, err)
	}
	w := wholeOrder()
	w.Lines = w.Lines[:2]
	act := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		if err := s.TakeOrder(ctx, act, number, w); err != nil {
			t.Fatal(err)
		}
	}
	if a, _ := s.Animal(ctx, number); a.OrderState != animal.Incomplete {
		t.Errorf("an order with gaps is %v", a.OrderState)
	}
	w = wholeOrder()
	w.Source = "phone"
	if e := domain.As(s.TakeOrder(ctx, s.Act(s.Ann, dbtest.Noon), number, w)); e.Kind != domain.Conflict {
		t.Errorf("written over a version nobody read: %v", e)
	}
	w.After = 1
	if err := s.TakeOrder(ctx, s.Act(s.Ann, dbtest.Noon), number, w); err != nil {
		t.Fatal(err)
	}
	o, _, err := s.NewestOrder(ctx, number)
	if err != nil || o.Version != 2 || !o.Complete || o.Source != "phone" || o.WrittenBy != "AK" || len(o.Lines) != 5 || o.VoidAt != nil ||
		o.Lines[2] != (cutting.Line{Part: cutting.Shoulder, Treatment: cutting.Stew, Amount: "all"}) || o.FallBack != "less stew" {
		t.Errorf("%+v, %v", o, err)
	}
	var void int
	if err := s.Pool().QueryRow(ctx, `SELECT count(*) FROM orders WHERE void_at IS NOT NULL`).Scan(&void); err != nil || void != 1 {
		t.Errorf("%d void, %v", void, err)
	}
	w.After = 2
	oneWins(t, func(by db.Staff) error { return s.TakeOrder(ctx, s.Act(by, dbtest.Noon), number, w) }, s.Ann, s.Bob)
}

func TestOrderRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	for _, tt := range []struct {
		at   string
		edit func(*db.Written)
		src  string
	}{
		{"amount", func(w *db.Written) {
			w.Lines = append(w.Lines, cutting.Line{Part: cutting.Backstrap, Treatment: cutting.WholePiece})
		}, "trade.md 6.2: loins not both"},
		{"treatment", func(w *db.Written) { w.Lines[2].Treatment = cutting.JerkySlices }, "trade.md 6.2: jerky needs hinds"},
		{"source", func(w *db.Written) { w.Source = "pigeon" }, "Annex A: source of an order"},
		{"added_meat", func(w *db.Written) { w.Added = "goat" }, "trade.md 6.2: pork or beef, asked"},
	} {
		w := wholeOrder()
		tt.edit(&w)
		if e := domain.As(s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, w)); tt.src == "" || e.Kind != domain.Invalid || e.At != tt.at {
			t.Errorf("%v at %q, want %q (%s)", e, e.At, tt.at, tt.src)
		}
	}
	if a, _ := s.Animal(ctx, number); a.OrderState != animal.NoOrder {
		t.Errorf("a refused order left its mark: %v", a.OrderState)
	}
}

// Livestock is written down freely; whoever writes says whether that is all.
func TestFreeOrder(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := s.HangDeer(t, 1, 1)
	if _, err := s.Pool().Exec(ctx, `UPDATE animals SET species = 'hog', class = 'mature'`); err != nil {
		t.Fatal(err)
	}
	w := db.Written{Source: "counter", Whole: true, Order: cutting.Order{OwnMeatOnly: true}}
	if e := domain.As(s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, w)); e.At != "lines" {
		t.Errorf("an empty order is whole: %v", e)
	}
	w.Lines = []cutting.Line{{Part: "belly", Treatment: "bacon, sliced", Thickness: "1/8"}, {Part: "ham", Treatment: ""}}
	if e := domain.As(s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, w)); e.At != "lines" {
		t.Errorf("a line without what to do: %v", e)
	}
	w.Lines[1].Treatment = "smoked, whole"
	if err := s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, w); err != nil {
		t.Fatal(err)
	}
	if a, _ := s.Animal(ctx, number); a.OrderState != animal.Complete {
		t.Errorf("got %v", a.OrderState)
	}
}
