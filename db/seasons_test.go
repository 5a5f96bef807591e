package db_test

import (
	"math"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/closing"
)

// A season is told by the day an animal came in: this year's deer with its packs and
// its money stands in one season, last year's in another.
func TestSeason(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	boxed, old := s.BoxDeer(t, 1, 2), s.CutDeer(t, 2, animal.Hanging)
	exec(t, s, `UPDATE animals SET received_at = received_at - interval '1 year', killed_at = killed_at - interval '1 year' WHERE number = $1`, old)
	exec(t, s, `UPDATE animals SET form = 'whole' WHERE number = $1`, boxed)
	s.Packed(t, boxed, "Steaks", 10)
	s.Packed(t, boxed, "Ground", 12)
	if err := s.BillPart(ctx, s.Act(s.Bob, now), boxed); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), boxed, 2500, "card"); err != nil {
		t.Fatal(err)
	}
	years, err := s.Seasons(ctx)
	if err != nil || len(years) != 2 || years[0] != 2026 || years[1] != 2025 {
		t.Fatalf("%v, %v", years, err)
	}
	this, err := s.Season(ctx, 2026)
	if err != nil || len(this.Animals) != 1 || this.Boxes != 2 {
		t.Fatalf("%+v, %v", this, err)
	}
	a := this.Animals[0]
	// By hand: 10 + 12 kg packed of 40 hanging; cut by Bob; boxed two days before noon.
	if a.Kind != "whitetail mature" || math.Abs(float64(a.Packed)-22) > 1e-9 || a.Hanging == nil || *a.Hanging != 40 || !a.YieldTold ||
		len(a.Cutters) != 1 || a.Cutters[0] != "BT" || a.Boxed == nil || !a.Boxed.Equal(now.AddDate(0, 0, -2)) || a.Home != nil {
		t.Errorf("%+v", a)
	}
	acc, err := s.Account(ctx, boxed)
	if err != nil || this.Money.Billed != acc.Invoice().Total() || this.Money.CardCents != 2500 || this.Money.OwedCents != acc.Invoice().Balance() || this.Money.Owing != 1 {
		t.Errorf("%+v; the bill says %v, %v", this.Money, acc.Invoice().Total(), err)
	}
	var lines domain.Cents
	for _, l := range this.Money.Lines {
		lines += l.Cents
	}
	if lines != this.Money.Billed {
		t.Errorf("the lines make %v, the sum says %v", lines, this.Money.Billed)
	}
	before, err := s.Season(ctx, 2025)
	if err != nil || len(before.Animals) != 1 || before.Money.Billed != 0 {
		t.Errorf("%+v, %v", before, err)
	}
}

// July 1 in the shop's own zone parts the seasons.
func TestSeasonOf(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	for when, want := range map[string]int{"2026-11-19T17:00:00Z": 2026, "2027-01-02T17:00:00Z": 2026, "2026-07-01T03:59:00Z": 2025, "2026-07-01T04:01:00Z": 2026} {
		at, err := time.Parse(time.RFC3339, when)
		if err != nil {
			t.Fatal(err)
		}
		if got := db.SeasonOf(at, zone); got != want {
			t.Errorf("%s: season of %d, want %d", when, got, want)
		}
	}
}

// A deposit of one owner pays no other's bill: what is owed is the balances of the bills,
// of as many animals as the close of a day counts, and deposits stand apart.
func TestSeasonOwedAndHeld(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	bill := func(running int, paid domain.Cents) domain.ShopNumber {
		t.Helper()
		n := s.BoxDeer(t, running, 1)
		must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
		if paid > 0 {
			_, err := s.Pay(ctx, s.Act(s.Bob, now), n, paid, "cash")
			must(t, err)
		}
		return n
	}
	var want domain.Cents
	for _, n := range []domain.ShopNumber{bill(1, 0), bill(2, 4000), bill(3, 15000)} {
		_, inv := money(t, s, n)
		want += inv.Balance()
	}
	_, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), s.CutDeer(t, 4, animal.Hanging), 40000, "cash")
	must(t, err)
	back := bill(5, 15000)
	must(t, s.AddExtra(ctx, s.Act(s.Ann, now), back, db.Extra{Label: "Credit", Cents: -1000, Why: "our thanks"}))
	season, err := s.Season(ctx, 2026)
	must(t, err)
	c, err := s.DayToClose(ctx, day(19), now)
	must(t, err)
	owing := 0
	for _, o := range c.Standing {
		if o.Kind == closing.MoneyOpen {
			owing = o.Count
		}
	}
	got := season.Money.Standing
	if got != (db.Standing{Owing: 2, OwedCents: want, BackCents: 1000, Holding: 1, HeldCents: 40000}) || want != 26000 || owing != got.Owing {
		t.Errorf("%+v; the bills say %v, the close of the day %d animals", got, want, owing)
	}
}
