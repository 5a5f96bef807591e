package db_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
)

// taxed sets taxes from the day before, one after the other.
func taxed(t testing.TB, s *dbtest.Shop, rates ...billing.Rate) {
	t.Helper()
	for i, r := range rates {
		must(t, s.SetTax(t.Context(), s.Act(s.Ann, dbtest.Noon), i, r, dbtest.Noon.AddDate(0, 0, -1), "the invented state's letter"))
	}
}

// Rates have their days: the one of the day a bill is made counts, a rate of nothing
// ends the tax, and a bill made before stays as it was.
func TestTaxByTheDay(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	day := func(n int) time.Time { return now.AddDate(0, 0, n) }
	set := func(seen, perMillion, from int) {
		t.Helper()
		must(t, s.SetTax(ctx, s.Act(s.Ann, now), seen, billing.Rate{Name: " Sales  tax ", PerMillion: perMillion}, day(from), "letter"))
	}
	set(0, 60_000, 0)
	set(1, 88_750, 2)
	set(2, 0, 4)
	// Of the list of dbtest only the 125.00 for the deer is taxed, not the 25.00 skinning.
	for at, want := range map[int]domain.Cents{
		-1: 15000,
		0:  15750, // by hand: 125.00 x 0.06 = 7.50
		2:  16109, // by hand: 125.00 x 0.08875 = 11.09375
		4:  15000,
	} {
		n := s.CutDeer(t, 10+at, animal.Stored)
		must(t, s.BillPart(ctx, s.Act(s.Bob, day(at)), n))
		if _, inv := money(t, s, n); inv.Total() != want {
			t.Errorf("day %d: %v, want %v: %+v", at, inv.Total(), want, inv.Lines)
		}
	}
	set(3, 70_000, 0) // a later rate for the same day takes its place
	if rates, err := s.TaxesOn(ctx, now); err != nil || len(rates) != 1 || rates[0] != (billing.Rate{Name: "Sales tax", PerMillion: 70_000}) {
		t.Errorf("%+v, %v", rates, err)
	}
	if _, inv := money(t, s, dbtest.Tag(10)); inv.Total() != 15750 {
		t.Errorf("a bill that was made changed to %v", inv.Total())
	}
	if all, err := s.TaxRates(ctx); err != nil || len(all) != 4 || all[0].PerMillion != 70_000 || all[0].By != s.Ann.Initials {
		t.Errorf("%+v, %v", all, err)
	}
}

// Only an owner sets a tax, with a reason; sent twice it stands once; of two at once
// the second is told.
func TestSetTax(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	r := billing.Rate{Name: "Sales tax", PerMillion: 60_000}
	if e := domain.As(s.SetTax(ctx, s.Act(s.Bob, now), 0, r, now, "letter")); e.Kind != domain.Refused {
		t.Errorf("the counter sets a tax: %v", e)
	}
	if e := domain.As(s.SetTax(ctx, s.Act(s.Ann, now), 0, r, now, " ")); e.At != "why" {
		t.Errorf("without a reason: %v", e)
	}
	act := s.Act(s.Ann, now)
	must(t, s.SetTax(ctx, act, 0, r, now, "letter"))
	must(t, s.SetTax(ctx, act, 0, r, now, "letter"))
	oneWins(t, func(by db.Staff) error { return s.SetTax(ctx, s.Act(by, now), 1, r, now, "letter") }, s.Ann, s.Ann)
	if all, err := s.TaxRates(ctx); err != nil || len(all) != 2 {
		t.Errorf("%+v, %v", all, err)
	}
}

// A line that is added bears its own tax once the bill is made; before, it waits and
// is taxed with the bill; a credit gives its tax back.
func TestTaxOnWhatIsAdded(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	taxed(t, s, billing.Rate{Name: "Sales tax", PerMillion: 60_000})
	n := s.CutDeer(t, 1, animal.Stored)
	add := func(cents domain.Cents) {
		t.Helper()
		must(t, s.AddExtra(ctx, s.Act(s.Ann, now), n, db.Extra{Label: "Jar of rub", Cents: cents, Taxable: true, Why: "asked for"}))
	}
	total := func(want domain.Cents, lines int) {
		t.Helper()
		if _, inv := money(t, s, n); inv.Total() != want || len(inv.Lines) != lines {
			t.Fatalf("%v in %d lines, want %v in %d: %+v", inv.Total(), len(inv.Lines), want, lines, inv.Lines)
		}
	}
	add(1000)
	total(1000, 1)
	must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
	total(16810, 4) // by hand: 10.00 + 125.00 + 25.00, and 6 % of 135.00 = 8.10
	add(500)
	total(17340, 6) // and 5.00, 0.30
	add(-500)
	total(16810, 8)
}

// What is packed after the bill is billed by itself, once, with its tax; nothing
// leaves before it is on the bill.
func TestBillRest(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.BoxDeer(t, 1, 1)
	taxed(t, s, billing.Rate{Name: "Sales tax", PerMillion: 60_000})
	must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
	if e := domain.As(s.BillRest(ctx, s.Act(s.Bob, now), n)); e.Kind != domain.Conflict {
		t.Errorf("nothing to add: %v", e)
	}
	s.Packed(t, n, "Summer sausage", 10)
	a, err := s.Animal(ctx, n)
	must(t, err)
	if rest, err := s.Unbilled(ctx, a, now); err != nil || len(rest) != 1 || rest[0].Total != 12100 {
		t.Fatalf("%+v, %v", rest, err) // 22.0 lb at 5.50, by hand; sausage is not taxed on this list
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 15750, "cash"); err != nil {
		t.Fatal(err)
	}
	take := db.Collection{Collector: "Wade", Authority: animal.ByOwner, Seen: "known by face", Boxes: []string{domain.BoxCode(n, 1)}, TagReturned: true}
	if e := domain.As(s.HandOver(ctx, s.Act(s.Ann, now), n, take)); e.At != "bill" {
		t.Errorf("it left without its sausage billed: %v", e)
	}
	oneWins(t, func(by db.Staff) error { return s.BillRest(ctx, s.Act(by, now), n) }, s.Ann, s.Bob)
	if m, inv := money(t, s, n); m != animal.PartPaid || inv.Total() != 15750+12100 || inv.Balance() != 12100 {
		t.Errorf("%s, %v: %+v", m, inv.Balance(), inv.Lines)
	}
	if rest, err := s.Unbilled(ctx, a, now); err != nil || len(rest) != 0 {
		t.Errorf("%+v, %v", rest, err)
	}
}

// A deposit is kept by the lead with a reason, whole or in part; what is over goes
// back, and no receipt number is used for keeping.
func TestKeepDeposit(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.CutDeer(t, 1, animal.Hanging)
	if e := domain.As(s.KeepDeposit(ctx, s.Act(s.Ann, now), n, 1000, "took it away")); e.At != "money" {
		t.Errorf("no deposit: %v", e)
	}
	_, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), n, 5000, "cash")
	must(t, err)
	for _, tt := range []struct {
		by    db.Staff
		cents domain.Cents
		why   string
		at    string
	}{{s.Bob, 3000, "took it away", "lead"}, {s.Ann, 3000, " ", "why"}, {s.Ann, 0, "took it away", "amount"}, {s.Ann, 5001, "took it away", "amount"}} {
		if err := s.KeepDeposit(ctx, s.Act(tt.by, now), n, tt.cents, tt.why); domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt, err)
		}
	}
	act := s.Act(s.Ann, now)
	must(t, s.KeepDeposit(ctx, act, n, 3000, "took it away"))
	must(t, s.KeepDeposit(ctx, act, n, 3000, "took it away"))
	if m, inv := money(t, s, n); m != animal.InCredit || inv.Total() != 3000 || inv.Balance() != -2000 || inv.Lines[0].Why != "took it away" {
		t.Fatalf("%s, %+v", m, inv)
	}
	p, err := s.Refund(ctx, s.Act(s.Ann, now), n, 2000, "cash", "the rest of the deposit")
	if m, inv := money(t, s, n); err != nil || p.Receipt != 2 || m != animal.Settled || inv.Balance() != 0 {
		t.Errorf("%+v, %v: %s", p, err, m)
	}
}

// A taxed extra and a gift on a shared bill, by hand with the largest remainder over
// shares of 2, 1 and 1 quarters: 10.01 is 5.01, 2.50 and 2.50; its tax of 6 %, 0.60, goes
// as they do: 0.30, 0.15 and 0.15. The gift takes the same off again.
func TestExtraAndGiftAmongShares(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	taxed(t, s, billing.Rate{Name: "State", PerMillion: 60_000})
	n := billShared(t, s, 1)
	shares := []cutting.Portion{cutting.Left, cutting.RightOne, cutting.RightTwo}
	before := sharesOf(t, s, n)
	differ := func(want ...domain.Cents) {
		t.Helper()
		by := sharesOf(t, s, n)
		for i, p := range shares {
			if got := by[p].Billed() - before[p].Billed(); got != want[i] {
				t.Errorf("%s: %v more, want %v", p, got, want[i])
			}
		}
	}
	must(t, s.AddExtra(ctx, s.Act(s.Ann, now), n, db.Extra{Label: "Jar of rub", Cents: 1001, Taxable: true, Why: "asked for"}))
	differ(531, 265, 265)
	must(t, s.AddExtra(ctx, s.Act(s.Ann, now), n, db.Extra{Label: "Gift", Cents: -1001, Taxable: true, Why: "our thanks"}))
	differ(0, 0, 0)
}

// With taxes and shares, in any mixture, the animal's total is the sum of its
// printed lines, and the shares' bills add up to it to the cent (sharesOf looks).
func TestTaxAmongShares(t *testing.T) {
	t.Parallel()
	s, ctx, now, r := dbtest.OpenShop(t), t.Context(), dbtest.Noon, rand.New(rand.NewPCG(5, 4))
	taxed(t, s, billing.Rate{Name: "State", PerMillion: 60_000}, billing.Rate{Name: "County", PerMillion: 12_345})
	for running := range 6 {
		n := s.SharedBeef(t, running+1)
		for range r.IntN(4) {
			must(t, s.AddExtra(ctx, s.Act(s.Ann, now), n, db.Extra{Label: "Extra", Cents: domain.Cents(1 + r.Int64N(90_000)), Taxable: r.IntN(2) == 0, Why: "asked for"}))
		}
		must(t, s.Bill(ctx, s.Act(s.Bob, now), n))
		for range r.IntN(4) {
			must(t, s.AddExtra(ctx, s.Act(s.Ann, now), n, db.Extra{Label: "Later", Cents: domain.Cents(1 + r.Int64N(9_000)), Taxable: r.IntN(2) == 0, Why: "asked for"}))
		}
		_, inv := money(t, s, n)
		var printed domain.Cents
		for _, l := range inv.Lines {
			printed += l.Total
		}
		if by := sharesOf(t, s, n); printed != inv.Total() || len(by) < 3 || by[cutting.Left].Billed() == 0 {
			t.Errorf("%s: %v printed, %v in all, %+v", n, printed, inv.Total(), by)
		}
	}
}

// What an owner is told the bill will be is the bill, tax in it, when the packs weigh
// what was expected: the low end without the sausage, the high end with all of the meat
// in it. A rate set meanwhile is in the sum told, too.
func TestToldCostIsTheBill(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	told := func(n domain.ShopNumber) db.Quote {
		t.Helper()
		q, err := s.QuoteFor(ctx, animalOf(t, s, n).ID, now)
		must(t, err)
		return q
	}
	part, whole := s.CutDeer(t, 1, animal.Hanging), s.CutDeer(t, 2, animal.Hanging)
	for _, n := range []domain.ShopNumber{part, whole} {
		must(t, s.AddExtra(ctx, s.Act(s.Ann, now), n, db.Extra{Label: "Jar of rub", Cents: 1010, Taxable: true, Why: "asked for"}))
	}
	if q := told(part); q.Taxed || q.Low != 16010 { // by hand: 125.00 + 25.00 + 10.10
		t.Errorf("without a tax: %+v", q)
	}
	taxed(t, s, billing.Rate{Name: "State", PerMillion: 40_000}, billing.Rate{Name: "County", PerMillion: 12_345})
	q := told(part)
	if !q.Known || !q.Taxed || q.Low != 16010+540+167 { // by hand: 4 % of 135.10 is 5.404, 1.2345 % is 1.6678
		t.Errorf("with taxes: %+v", q)
	}
	numbers, err := s.Numbers(ctx)
	must(t, err)
	s.Packed(t, whole, "Summer sausage", numbers.Expected(animalOf(t, s, whole)).Clean)
	for n, want := range map[domain.ShopNumber]domain.Cents{part: q.Low, whole: q.High} {
		_, err := s.Pool().Exec(ctx, `UPDATE animals SET physical = 'stored', revision = revision + 1 WHERE number = $1`, n)
		must(t, err)
		must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
		if _, inv := money(t, s, n); inv.Total() != want {
			t.Errorf("%s: told %v, billed %v: %+v", n, want, inv.Total(), inv.Lines)
		}
	}
}
