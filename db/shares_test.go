package db_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// Who bought a share is among the people of a positive, by the newest line of the kill:
// a buyer of before it is not.
func TestOwnersOfSharesAreReached(t *testing.T) {
	t.Parallel()
	s, n := dbtest.OpenShop(t), dbtest.Tag(1)
	s.SharedBeef(t, 1)
	line := uuid.New()
	exec(t, s, `INSERT INTO shares (id, animal_id, portion, name, phone, sold_on, evidence, at, by_staff) SELECT gen_random_uuid(), id, 'L', 'Orrin Beck', '555-0143', received_at::date, 'bill of sale', received_at, received_by FROM animals`)
	people := func() (names []string) {
		touched, err := s.Touched(t.Context(), n)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range touched.People {
			names = append(names, p.Name)
		}
		return names
	}
	if got := people(); !slices.Equal(got, []string{"Orrin Beck"}) {
		t.Errorf("to tell: %v", got)
	}
	exec(t, s, `INSERT INTO kill_entries (animal_id, thirty_months, known_by, said_by, at, by_staff) SELECT id, 'no', 'teeth', 'Orrin Beck', received_at, received_by FROM animals`)
	exec(t, s, `INSERT INTO kill_corrections (id, animal_id, n, thirty_months, known_by, why, at, by_staff) SELECT $1, id, 2, 'no', 'teeth', 'another buyer', received_at, received_by FROM animals`, line)
	exec(t, s, `INSERT INTO shares (id, animal_id, portion, name, phone, sold_on, evidence, at, by_staff, correction_id) SELECT gen_random_uuid(), id, 'L', 'Lena Ochoa', '555-0144', received_at::date, 'bill of sale', received_at, received_by, $1 FROM animals`, line)
	if got := people(); !slices.Equal(got, []string{"Lena Ochoa"}) {
		t.Errorf("to tell after the kill was put right: %v", got)
	}
}

// sharesOf reads the shares' accounts and holds them against the animal's: the lines
// and the money of all shares together are the animal's to the cent.
func sharesOf(t testing.TB, s *dbtest.Shop, number domain.ShopNumber) map[cutting.Portion]db.ShareAccount {
	t.Helper()
	acc, err := s.Account(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.ShareAccounts(t.Context(), acc.Animal)
	if err != nil {
		t.Fatal(err)
	}
	by, billed, received := map[cutting.Portion]db.ShareAccount{}, domain.Cents(0), domain.Cents(0)
	for _, a := range list {
		by[a.Portion], billed, received = a, billed+a.Billed(), received+a.Received()
	}
	if inv := acc.Invoice(); len(list) > 0 && (billed != inv.Total() || received != inv.Received()) {
		t.Errorf("the shares' bills make %v of %v, their payments %v of %v", billed, inv.Total(), received, inv.Received())
	}
	return by
}

func billShared(t testing.TB, s *dbtest.Shop, running int) domain.ShopNumber {
	t.Helper()
	n := s.SharedBeef(t, running)
	if err := s.Bill(t.Context(), s.Act(s.Bob, dbtest.Noon), n); err != nil {
		t.Fatal(err)
	}
	return n
}

// The bill of a shared beef: cutting goes by the size of the share, sausage by the
// pounds each has of it.
func TestBillIsPartedAmongShares(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n := billShared(t, s, 1)
	by := sharesOf(t, s, n)
	if len(by) != 3 || by[cutting.Left].Whose != "Lena Ochoa" {
		t.Fatalf("%+v", by)
	}
	// By hand: cutting 300 kg = 661.4 lb as printed, at 1.10 = 727.54; half 363.77, the
	// quarters 181.885 each, the odd cent to the first. Sausage 30 kg = 66.1 lb at 5.50
	// = 363.55, one third and two thirds: 121.18 and 242.37.
	for portion, want := range map[cutting.Portion]domain.Cents{cutting.Left: 36377, cutting.RightOne: 18189 + 12118, cutting.RightTwo: 18188 + 24237} {
		if got := by[portion].Billed(); got != want {
			t.Errorf("%s owes %v, want %v: %+v", portion, got, want, by[portion].Lines)
		}
	}
}

// Money is for one share: not without naming it, not more than it owes, twice sent
// once taken; one share's payment leaves the others' balances.
func TestPayForAShare(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := billShared(t, s, 1)
	before := sharesOf(t, s, n)
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 100, "cash"); domain.As(err).At != "portion" {
		t.Errorf("for nobody's share: %v", err)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 100, "cash", db.Paying{Portion: cutting.Right}); domain.As(err).At != "portion" {
		t.Errorf("the right half is two quarters here: %v", err)
	}
	owed := before[cutting.RightOne].Balance()
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, owed+1, "cash", db.Paying{Portion: cutting.RightOne}); domain.As(err).At != "amount" {
		t.Errorf("a cent too much: %v", err)
	}
	act, receipt := s.Act(s.Bob, now), int64(0)
	for range 2 {
		p, err := s.Pay(ctx, act, n, owed, "check", db.Paying{Portion: cutting.RightOne, Payer: " Aunt  Fay "})
		if err != nil || p.Portion != cutting.RightOne || p.Payer != "Aunt Fay" || receipt != 0 && p.Receipt != receipt {
			t.Fatalf("%+v, %v", p, err)
		}
		receipt = p.Receipt
	}
	after := sharesOf(t, s, n)
	if after[cutting.RightOne].Balance() != 0 || after[cutting.Left].Balance() != before[cutting.Left].Balance() || after[cutting.RightTwo].Balance() != before[cutting.RightTwo].Balance() {
		t.Errorf("%+v", after)
	}
	if m, _ := money(t, s, n); m != animal.PartPaid {
		t.Errorf("the animal is %s", m)
	}
}

// Two counters take the whole of one share's balance at once: one is told.
func TestPayForAShareTwoCounters(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := billShared(t, s, 1)
	owed, errs := sharesOf(t, s, n)[cutting.RightTwo].Balance(), make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() {
			_, errs[i] = s.Pay(ctx, s.Act(s.Bob, now), n, owed, "cash", db.Paying{Portion: cutting.RightTwo})
		})
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("want one winner: %v, %v", errs[0], errs[1])
	}
	if got := sharesOf(t, s, n)[cutting.RightTwo].Balance(); got != 0 {
		t.Errorf("%v is open", got)
	}
}

// A deposit that named no share is parted by size; the kill, put on whoever brought
// the animal, is paid out of it first.
func TestDepositAndTheBringersLine(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.SharedBeef(t, 1)
	if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), n, 10001, "cash"); err != nil {
		t.Fatal(err)
	}
	if err := s.AddCharge(ctx, s.Act(s.Bob, now), n, "Kill", 8000, "on the farm"); err != nil {
		t.Fatal(err)
	}
	if err := s.Bill(ctx, s.Act(s.Bob, now), n); err != nil {
		t.Fatal(err)
	}
	by := sharesOf(t, s, n)
	// By hand: 100.01 by 2, 1, 1: 50.01 (50.005, the largest remainder), 25.00, 25.00.
	if by[cutting.Left].Received() != 5001 || by[cutting.RightOne].Received() != 2500 {
		t.Errorf("%v and %v", by[cutting.Left].Received(), by[cutting.RightOne].Received())
	}
	var kill uuid.UUID
	for _, l := range by[cutting.Left].Lines {
		if l.Label == "Kill" {
			kill = l.Charge
		}
	}
	act := s.Act(s.Bob, now)
	for range 2 {
		if err := s.GiveLine(ctx, act, n, kill, cutting.WholeAnimal); err != nil {
			t.Fatal(err)
		}
	}
	by = sharesOf(t, s, n)
	// By hand: the bringer owes 80.00 and has paid it; 20.01 is left: 10.01, 5.00, 5.00.
	if w := by[cutting.WholeAnimal]; w.Billed() != 8000 || w.Balance() != 0 || by[cutting.Left].Received() != 1001 || by[cutting.RightTwo].Received() != 500 {
		t.Errorf("%+v", by)
	}
	if err := s.GiveLine(ctx, s.Act(s.Bob, now), n, kill, cutting.WholeAnimal); domain.As(err).Kind != domain.Conflict {
		t.Errorf("it is the bringer's already: %v", err)
	}
	if err := s.GiveLine(ctx, s.Act(s.Bob, now), n, kill, cutting.Right); domain.As(err).At != "to" {
		t.Errorf("nobody has the right half: %v", err)
	}
}

// Bills, credits, deposits, payments and lines given away at random: after each, the
// shares' bills and payments are the animal's to the cent.
func TestSharesAreTheWholeBill(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	random := rand.New(rand.NewPCG(7, 11))
	portions := []cutting.Portion{cutting.WholeAnimal, cutting.Left, cutting.RightOne, cutting.RightTwo}
	n := s.SharedBeef(t, 1)
	if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), n, 3333, "cash"); err != nil {
		t.Fatal(err)
	}
	if err := s.Bill(ctx, s.Act(s.Bob, now), n, billing.Done{Code: "rush"}); err != nil {
		t.Fatal(err)
	}
	did := 0
	for range 40 {
		var err error
		portion := portions[random.IntN(len(portions))]
		switch random.IntN(4) {
		case 0:
			err = s.AddCharge(ctx, s.Act(s.Ann, now), n, "Extra", domain.Cents(1+random.IntN(999)), "asked for")
		case 1:
			err = s.AddCharge(ctx, s.Act(s.Ann, now), n, "Sorry", -domain.Cents(1+random.IntN(99)), "our fault")
		case 2:
			_, err = s.Pay(ctx, s.Act(s.Bob, now), n, domain.Cents(1+random.IntN(3000)), "card", db.Paying{Portion: portion})
		case 3:
			if lines := sharesOf(t, s, n)[portions[1+random.IntN(3)]].Lines; len(lines) > 0 {
				err = s.GiveLine(ctx, s.Act(s.Bob, now), n, lines[random.IntN(len(lines))].Charge, portion)
			}
		}
		if domain.As(err).Kind == domain.Internal && err != nil {
			t.Fatal(err)
		}
		if err == nil {
			did++
		}
		sharesOf(t, s, n)
	}
	if did < 15 {
		t.Errorf("only %d of 40 acts went through: the test saw little", did)
	}
}

// The owner of a share is held by that share's bill, and by nobody else's.
func TestPickUpIsHeldByItsOwnShare(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := billShared(t, s, 1)
	fetch := func(who, box string) error {
		return s.HandOver(ctx, s.Act(s.Bob, now), n, db.Collection{Collector: who, Authority: animal.ByOwner, Seen: "driving licence", Boxes: []string{string(n) + "-" + box}, TagReturned: false})
	}
	owed := sharesOf(t, s, n)[cutting.RightTwo].Balance()
	err := fetch("Dot Quill", "3")
	if e := domain.As(err); e.At != "balance" || !strings.Contains(e.Error(), owed.String()) {
		t.Fatalf("Dot owes %v: %v", owed, err)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, owed, "cash", db.Paying{Portion: cutting.RightTwo}); err != nil {
		t.Fatal(err)
	}
	if err := fetch("Dot Quill", "3"); err != nil {
		t.Errorf("Dot has paid; what Lena owes is not Dot's: %v", err)
	}
	if err := fetch("Lena Ochoa", "1"); domain.As(err).At != "balance" {
		t.Errorf("Lena has not paid: %v", err)
	}
}

// An animal that is not shared has no shares and takes money as ever.
func TestNotShared(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.BoxDeer(t, 1, 1)
	if err := s.BillPart(ctx, s.Act(s.Bob, now), n); err != nil {
		t.Fatal(err)
	}
	if by := sharesOf(t, s, n); len(by) != 0 {
		t.Errorf("%+v", by)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 100, "cash", db.Paying{Portion: cutting.Left}); domain.As(err).At != "portion" {
		t.Errorf("it has no left half's owner: %v", err)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 100, "cash", db.Paying{Payer: "A neighbour"}); err != nil {
		t.Error(err)
	}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, 100, "cash", db.Paying{Payer: strings.Repeat("e", 101)}); domain.As(err).At != "payer" {
		t.Errorf("a payer of 101 letters: %v", err)
	}
}

// A share that is in credit gets it back while the others still owe theirs: no more
// than its credit, once of two at once, and the others' balances stay.
func TestRefundOfOneShare(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := billShared(t, s, 1)
	dot := db.Paying{Portion: cutting.RightTwo}
	if _, err := s.Pay(ctx, s.Act(s.Bob, now), n, sharesOf(t, s, n)[cutting.RightTwo].Balance(), "cash", dot); err != nil {
		t.Fatal(err)
	}
	must(t, s.AddCharge(ctx, s.Act(s.Ann, now), n, "A roast lost", -3000, "our fault"))
	for _, l := range sharesOf(t, s, n)[cutting.RightTwo].Lines {
		if l.Label == "A roast lost" {
			must(t, s.GiveLine(ctx, s.Act(s.Bob, now), n, l.Charge, cutting.RightTwo))
		}
	}
	before := sharesOf(t, s, n)
	if before[cutting.RightTwo].Balance() != -3000 {
		t.Fatalf("%+v", before[cutting.RightTwo])
	}
	back := func(by db.Staff, cents domain.Cents, p cutting.Portion) error {
		_, err := s.Refund(ctx, s.Act(by, now), n, cents, "cash", "a roast lost", db.Paying{Portion: p})
		return err
	}
	if e := domain.As(back(s.Ann, 3001, cutting.RightTwo)); e.At != "amount" || !strings.Contains(e.Error(), "$30.00") {
		t.Errorf("a cent too much: %v", e)
	}
	if e := domain.As(back(s.Ann, 100, cutting.Left)); e.At != "amount" {
		t.Errorf("to a share that owes: %v", e)
	}
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { errs[i] = back(s.Ann, 3000, cutting.RightTwo) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("want one winner: %v, %v", errs[0], errs[1])
	}
	after := sharesOf(t, s, n)
	if after[cutting.RightTwo].Balance() != 0 || after[cutting.Left].Balance() != before[cutting.Left].Balance() {
		t.Errorf("%+v", after)
	}
	if m, _ := money(t, s, n); m != animal.PartPaid {
		t.Errorf("the animal is %s", m)
	}
}
