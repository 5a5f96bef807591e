package db_test

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
)

// exec runs SQL under the program's own role.
func exec(t testing.TB, s *dbtest.Shop, sql string, args ...any) {
	t.Helper()
	if _, err := s.Pool().Exec(t.Context(), sql, args...); err != nil {
		t.Fatal(err)
	}
}

func money(t testing.TB, s *dbtest.Shop, number domain.ShopNumber) (animal.Money, billing.Invoice) {
	t.Helper()
	acc, err := s.Account(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	return acc.Animal.Money, acc.Invoice()
}

// Twenty counters take money at once: the receipts run 1 to 20, none missing,
// none twice.
func TestReceiptsWithoutGaps(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	const counters = 20
	receipts := make([]int64, counters)
	var wg sync.WaitGroup
	for i := range counters {
		number := s.CutDeer(t, i+1, animal.Hanging)
		wg.Go(func() {
			if i%3 == 0 { // a payment that fails leaves no gap
				_, _ = s.TakeDeposit(ctx, s.Act(s.Bob, dbtest.Noon), number, 5000, "shells")
				_, _ = s.Pay(ctx, s.Act(s.Bob, dbtest.Noon), number, 5000, "cash")
			}
			p, err := s.TakeDeposit(ctx, s.Act(s.Bob, dbtest.Noon), number, 5000, "cash")
			if err != nil {
				t.Error(err)
			}
			receipts[i] = p.Receipt
		})
	}
	wg.Wait()
	slices.Sort(receipts)
	for i, r := range receipts {
		if r != int64(i+1) {
			t.Fatalf("receipts %v, want 1 to %d", receipts, counters)
		}
	}
}

// Money given back whose row Postgres refuses once it has its number (a reason with a
// byte that no text holds) gives the number back: among eleven none is missing.
func TestReceiptNumberComesBack(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.CutDeer(t, 1, animal.Hanging)
	deposit := func() error {
		_, err := s.TakeDeposit(ctx, s.Act(s.Bob, dbtest.Noon), n, 1000, "cash")
		return err
	}
	must(t, deposit())
	var wg sync.WaitGroup
	for range 10 {
		wg.Go(func() {
			_, err := s.Refund(ctx, s.Act(s.Ann, dbtest.Noon), n, 100, "cash", "taken\x00away")
			if err == nil || !strings.Contains(err.Error(), "22021") { // as the row is written
				t.Errorf("it was to fail as it is written: %v", err)
			}
			if err := deposit(); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	acc, err := s.Account(ctx, n)
	must(t, err)
	for i, p := range acc.Payments {
		if p.Receipt != int64(i+1) {
			t.Fatalf("number %d at place %d", p.Receipt, i+1)
		}
	}
	if inv := acc.Invoice(); len(acc.Payments) != 11 || inv.Received() != 11000 {
		t.Errorf("received %v in %d payments", inv.Received(), len(acc.Payments))
	}
}

// The life of one bill, as the counter sees it.
func TestBillIsPaid(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.CutDeer(t, 1, animal.Stored)
	s.Packed(t, n, "Summer sausage", 10)
	if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), n, 5000, "cash"); err != nil {
		t.Fatal(err)
	}
	if err := s.Bill(ctx, s.Act(s.Bob, now), n, billing.Done{Code: "rush"}); err != nil {
		t.Fatal(err)
	}
	// Price list of dbtest: 125.00 the deer, 25.00 skinning for hide on, 5.50 a
	// pound of summer sausage, 40.00 rush. 10 kg are 22.0 lb (NIST SP 811), so
	// 121.00; by hand 311.00, less 50.00 deposit.
	m, inv := money(t, s, n)
	if m != animal.PartPaid || inv.Total() != 31100 || inv.Balance() != 26100 || len(inv.Lines) != 4 {
		t.Fatalf("%s, total %v, balance %v: %+v", m, inv.Total(), inv.Balance(), inv.Lines)
	}
	if e := domain.As(s.BillPart(ctx, s.Act(s.Bob, now), n)); e.Kind != domain.Refused {
		t.Errorf("billed twice: %v", e)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 26101, "cash"); domain.As(err).At != "amount" {
		t.Errorf("a cent too much: %v", err)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 20000, "check"); err != nil {
		t.Fatal(err)
	}
	if p, err := s.Pay(ctx, s.Act(s.Bob, now), n, 6100, "card"); err != nil || p.Receipt != 3 || p.By != "BT" {
		t.Fatalf("%+v, %v", p, err)
	}
	if m, inv = money(t, s, n); m != animal.Settled || inv.Balance() != 0 {
		t.Errorf("%s, balance %v", m, inv.Balance())
	}
}

// A credit and what goes back need a reason and the lead.
func TestRefund(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.CutDeer(t, 1, animal.Stored)
	must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
	_, err := s.Pay(ctx, s.Act(s.Bob, now), n, 15000, "cash")
	must(t, err)
	if e := domain.As(s.AddCharge(ctx, s.Act(s.Bob, now), n, "Shoulder lost", -3000, "our saw")); e.Kind != domain.Refused || e.At != "lead" {
		t.Errorf("the counter gives credit: %v", e)
	}
	if e := domain.As(s.AddCharge(ctx, s.Act(s.Ann, now), n, "Shoulder lost", -3000, " ")); e.At != "why" {
		t.Errorf("a credit without a reason: %v", e)
	}
	must(t, s.AddCharge(ctx, s.Act(s.Ann, now), n, "Shoulder lost", -3000, "our saw"))
	if m, inv := money(t, s, n); m != animal.InCredit || inv.Balance() != -3000 {
		t.Fatalf("%s, %v", m, inv.Balance())
	}
	for _, tt := range []struct {
		by    db.Staff
		cents domain.Cents
		why   string
		at    string
	}{{s.Bob, 3000, "credit", "lead"}, {s.Ann, 3000, "", "why"}, {s.Ann, 3001, "credit", "amount"}, {s.Ann, -1, "credit", "amount"}} {
		if _, err := s.Refund(ctx, s.Act(tt.by, now), n, tt.cents, "cash", tt.why); domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt, err)
		}
	}
	p, err := s.Refund(ctx, s.Act(s.Ann, now), n, 3000, "cash", "credit paid out")
	if m, inv := money(t, s, n); err != nil || p.Cents != -3000 || m != animal.Settled || inv.Balance() != 0 {
		t.Errorf("%+v, %v: %s", p, err, m)
	}
}

// Every total is the sum of its printed lines, whatever was put on the bill.
func TestTotalIsTheSumOfItsLines(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	for i := range 8 {
		n := s.CutDeer(t, i+1, animal.Stored)
		s.Packed(t, n, "summer-sausage", domain.Pounds(1.05+float64(i)*3.17))
		must(t, s.AddCharge(ctx, s.Act(s.Bob, now), n, "Hair and dirt", domain.Cents(1999+i), "came in dirty"))
		must(t, s.Bill(ctx, s.Act(s.Bob, now), n))
		_, inv := money(t, s, n)
		var sum domain.Cents
		for _, l := range inv.Lines {
			cents := domain.Cents(0)
			if cents = domain.Cents(int64(l.Quantity*10+0.5)) * l.Price; (cents+5)/10 != l.Total {
				t.Errorf("%v x %v is not %v", l.Quantity, l.Price, l.Total)
			}
			sum += l.Total
		}
		var stored domain.Cents
		if err := s.Pool().QueryRow(ctx, `SELECT sum(total_cents)::bigint FROM charges c JOIN animals a ON a.id = c.animal_id WHERE number = $1`, n).Scan(&stored); err != nil {
			t.Fatal(err)
		}
		if sum != inv.Total() || stored != sum || len(inv.Lines) != 4 {
			t.Errorf("%s: lines %v, total %v, stored %v", n, sum, inv.Total(), stored)
		}
	}
}

// The same payment sent twice is taken once, and the receipt comes back.
func TestPaymentTwice(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n, act := s.CutDeer(t, 1, animal.Hanging), s.Act(s.Bob, dbtest.Noon)
	first, err := s.TakeDeposit(ctx, act, n, 4000, "cash")
	must(t, err)
	again, err := s.TakeDeposit(ctx, act, n, 4000, "cash")
	if _, inv := money(t, s, n); err != nil || again.Receipt != first.Receipt || inv.Received() != 4000 {
		t.Errorf("%+v, %v; received %v", again, err, inv.Received())
	}
	if e := domain.As(s.Bill(ctx, s.Act(s.Bob, dbtest.Noon), n)); e.Kind != domain.Refused || e.At != "bill" {
		t.Errorf("billed while it hangs: %v", e)
	}
	// The price in force at drop-off binds: a new list changes nothing.
	_, err = s.AddPriceList(ctx, "dearer", []db.PriceItem{{Code: "deer-whole", Label: "Deer", Basis: "animal", PriceCents: 99900,
		Species: []domain.Species{domain.Whitetail}}}, s.Ann.ID, dbtest.Noon)
	must(t, err)
	exec(t, s, `UPDATE animals SET physical = 'stored' WHERE number = $1`, n)
	must(t, s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), n))
	if _, inv := money(t, s, n); inv.Total() != 15000 {
		t.Errorf("total %v, want the old list's 150.00", inv.Total())
	}
	if _, err := s.Payment(ctx, n, first.Receipt); err != nil {
		t.Error(err)
	}
	if _, err := s.Payment(ctx, dbtest.Tag(2), first.Receipt); domain.As(err).Kind != domain.NotFound {
		t.Errorf("a receipt under another animal's number: %v", err)
	}
}

// Two counters take the whole balance at once: one does, the other is told.
func TestPayTwoCounters(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n := s.CutDeer(t, 1, animal.Stored)
	must(t, s.BillPart(t.Context(), s.Act(s.Bob, dbtest.Noon), n))
	oneWins(t, func(by db.Staff) error {
		_, err := s.Pay(t.Context(), s.Act(by, dbtest.Noon), n, 15000, "cash")
		return err
	}, s.Ann, s.Bob)
}

// Two counters make the bill at once: there is one bill.
func TestBillTwoCounters(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n := s.CutDeer(t, 1, animal.Stored)
	oneWins(t, func(by db.Staff) error { return s.BillPart(t.Context(), s.Act(by, dbtest.Noon), n) }, s.Ann, s.Bob)
	if _, inv := money(t, s, n); inv.Total() != 15000 || len(inv.Lines) != 2 {
		t.Errorf("%d lines, %v", len(inv.Lines), inv.Total())
	}
}

// Whatever arrives twice is done once.
func TestCounterActsTwice(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.CutDeer(t, 1, animal.Stored)
	acts := [4]db.Act{}
	for i := range acts {
		acts[i] = s.Act(s.Bob, dbtest.Noon)
	}
	for range 2 {
		must(t, s.AddCharge(ctx, acts[0], n, "Hair and dirt", 1500, "came in dirty"))
		must(t, s.BillPart(ctx, acts[1], n))
		must(t, s.LogCall(ctx, acts[2], n, "call", "spoke", ""))
		must(t, s.NewLink(ctx, acts[3], n))
	}
	p, err := s.Pickup(ctx, n)
	if err != nil || len(p.Account.Charges) != 3 || len(p.Contacts) != 1 || p.Animal.LinkRevision != 2 || p.Account.Invoice().Total() != 16500 {
		t.Errorf("%+v, %v", p, err)
	}
}
