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
	w.Source, w.Caller = "phone", "Dell Marrow"
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
		{"caller", func(w *db.Written) { w.Source = "phone" }, "trade.md 6.2: record the caller"},
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

// steer turns the one animal of the shop into a steer.
func steer(t *testing.T, s *dbtest.Shop) domain.ShopNumber {
	t.Helper()
	number := s.HangDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET species = 'beef', class = 'mature', hanging_kg = 300`); err != nil {
		t.Fatal(err)
	}
	must(t, s.EnterKill(t.Context(), s.Act(s.Bob, dbtest.Noon), number, cutting.Kill{ThirtyMonths: "no", KnownBy: "papers", SaidBy: "Hollis Rudd", Household: true,
		Shares: []cutting.Buyer{{Name: "Hollis Rudd", SoldOn: dbtest.Noon.AddDate(0, -1, 0), Evidence: "bill of sale"}}}))
	return number
}

// beefOrder is all one owner of a steer, or of a portion, is asked.
func beefOrder(p cutting.Portion, loin cutting.Treatment) db.Written {
	w := db.Written{Source: "counter", Order: cutting.Order{Portion: p, OwnMeatOnly: true, Added: cutting.NoneAdded, Lines: []cutting.Line{
		{Part: cutting.Chuck, Treatment: cutting.Roasts, Size: "3 lb"}, {Part: cutting.Rib, Treatment: cutting.Steaks, Thickness: "1"},
		{Part: cutting.ShortLoin, Treatment: loin, Thickness: "1"}, {Part: cutting.Sirloin, Treatment: cutting.Steaks, Thickness: "3/4"},
		{Part: cutting.Round, Treatment: cutting.Cubed}, {Part: cutting.Brisket, Treatment: cutting.WholePiece}, {Part: cutting.Trim, Treatment: cutting.Grind, Amount: "rest"}}}}
	if p != cutting.WholeAnimal {
		w.ForWhom = "the buyer of " + string(p)
	}
	return w
}

// A steer in a half and two mixed quarters (trade.md 3.2): three owners, three
// orders, one count of versions, and none is cut before all are in.
func TestSharedBeef(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := steer(t, s)
	take := func(w db.Written, after int) error {
		w.After = after
		return s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), number, w)
	}
	state := func(want animal.OrderTrack) {
		t.Helper()
		if a, _ := s.Animal(ctx, number); a.OrderState != want {
			t.Fatalf("the order is %v, want %v", a.OrderState, want)
		}
	}
	for i, w := range []db.Written{beefOrder(cutting.WholeAnimal, cutting.TBones), beefOrder(cutting.Right, cutting.StripFillet), beefOrder(cutting.LeftOne, cutting.TBones)} {
		if err := take(w, i); err != nil {
			t.Fatal(err)
		}
	}
	state(animal.Incomplete)
	if _, barred, err := s.CuttingQueue(ctx, dbtest.Noon); err != nil || len(barred) != 1 || !said(barred[0].Why, "The other owner's order is not in.") {
		t.Errorf("what waits for its mates is not barred so: %+v, %v", barred, err)
	}
	if err := take(beefOrder(cutting.LeftTwo, cutting.StripFillet), 3); err != nil {
		t.Fatal(err)
	}
	state(animal.Incomplete) // one short loin, two ways: both stand, and it is not cut
	if err := take(beefOrder(cutting.LeftTwo, cutting.TBones), 4); err != nil {
		t.Fatal(err)
	}
	state(animal.Complete)
	standing, err := s.StandingOrders(ctx, number)
	if err != nil || len(standing) != 3 || standing[0].Portion != cutting.LeftOne || standing[2].Version != 2 {
		t.Fatalf("%+v, %v", standing, err)
	}
	if versions, err := s.OrderVersions(ctx, number); err != nil || len(versions) != 5 || versions[4].VoidAt == nil {
		t.Errorf("the order for the whole steer still counts: %+v, %v", versions, err)
	}
	if err := take(beefOrder(cutting.Left, cutting.StripFillet), 5); err != nil { // one buys both quarters
		t.Fatal(err)
	}
	if standing, _ = s.StandingOrders(ctx, number); len(standing) != 2 {
		t.Errorf("the quarters still count beside their half: %+v", standing)
	}
}

func said(why []domain.Words, sentence string) bool {
	for _, w := range why {
		if w.String() == sentence {
			return true
		}
	}
	return false
}

// "The same as last year" is the owner's own, for the same kind.
func TestLastOrder(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	last, now, others := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2), s.HangDeer(t, 3, 3)
	owner := s.Own(t, last, "Wade Tolliver", "555-0147")
	s.Own(t, others, "Marla Finch", "555-0148")
	if _, err := s.Pool().Exec(ctx, `INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, $2, 'owner', $3 FROM animals WHERE number = $1`, now, owner, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	if _, found, err := s.LastOrder(ctx, now); found || err != nil {
		t.Errorf("an order nobody gave: %v, %v", found, err)
	}
	for _, n := range []domain.ShopNumber{last, others} {
		w := wholeOrder()
		w.FallBack = "of " + string(n)
		if err := s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon), n, w); err != nil {
			t.Fatal(err)
		}
	}
	got, found, err := s.LastOrder(ctx, now)
	if err != nil || !found || got.Number != last || got.FallBack != "of "+string(last) || len(got.Lines) != 5 {
		t.Errorf("%v %+v, %v", found, got, err)
	}
	if _, err := s.Pool().Exec(ctx, `UPDATE animals SET species = 'elk' WHERE number = $1`, now); err != nil {
		t.Fatal(err)
	}
	if _, found, _ := s.LastOrder(ctx, now); found {
		t.Error("last year's deer is offered for an elk")
	}
}
