package animal

import (
	"testing"

	"coldrail/domain"
)

// Where money leads, as the counter would say it. Rules: trade.md 7.2 and the
// money line of Annex B (quoted, deposit, billed, part-paid, settled, credit).
func TestReckon(t *testing.T) {
	for _, tt := range []struct {
		name         string
		from         Money
		step         Step
		billed, paid domain.Cents
		want         Money
		at           string // "" goes through
	}{
		{"first deposit", Quoted, TakeDeposit, 0, 5000, DepositTaken, ""},
		{"second deposit", DepositTaken, TakeDeposit, 0, 9000, DepositTaken, ""},
		{"deposit after the bill", Billed, TakeDeposit, 12500, 5000, Billed, "money"},
		{"all of the deposit back", DepositTaken, RefundDeposit, 0, 0, Quoted, ""},
		{"part of the deposit back", DepositTaken, RefundDeposit, 0, 2000, DepositTaken, ""},
		{"more than the deposit back", DepositTaken, RefundDeposit, 0, -1, DepositTaken, "amount"},
		{"bill, nothing taken yet", Quoted, Bill, 12500, 0, Billed, ""},
		{"bill beyond the deposit", DepositTaken, Bill, 12500, 5000, PartPaid, ""},
		{"bill the deposit covers", DepositTaken, Bill, 5000, 5000, Settled, ""},
		{"bill below the deposit", DepositTaken, Bill, 4000, 5000, InCredit, ""},
		{"billed twice", Billed, Bill, 12500, 0, Billed, "money"},
		{"paid in full", Billed, Pay, 12500, 12500, Settled, ""},
		{"paid in part", Billed, Pay, 12500, 100, PartPaid, ""},
		{"the rest", PartPaid, Pay, 12500, 12500, Settled, ""},
		{"too much", PartPaid, Pay, 12500, 12501, PartPaid, "amount"},
		{"payment before the bill", Quoted, Pay, 0, 5000, Quoted, "money"},
		{"payment of a paid bill", Settled, Pay, 12500, 13000, Settled, "money"},
		{"written off, yet paid", WrittenOff, Pay, 12500, 12500, Settled, ""},
		{"fee before the bill", DepositTaken, BillMore, 2500, 5000, DepositTaken, ""},
		{"sausage comes back later", Settled, BillMore, 15000, 12500, PartPaid, ""},
		{"a credit on a paid bill", Settled, BillMore, 10000, 12500, InCredit, ""},
		{"a line of nothing", Settled, BillMore, 12500, 12500, Settled, ""},
		{"a credit that ends the bill", PartPaid, BillMore, 5000, 5000, Settled, ""},
		{"a credit beyond it", PartPaid, BillMore, 4000, 5000, InCredit, ""},
		{"a further line", Billed, BillMore, 15000, 0, Billed, ""},
		{"a line within the credit", InCredit, BillMore, 12000, 12500, InCredit, ""},
		{"a line that uses the credit up", InCredit, BillMore, 12500, 12500, Settled, ""},
		{"a line beyond the credit", InCredit, BillMore, 13000, 12500, PartPaid, ""},
		{"credit paid out", InCredit, Refund, 10000, 10000, Settled, ""},
		{"part of the credit paid out", InCredit, Refund, 10000, 11000, InCredit, ""},
		{"more than the credit", InCredit, Refund, 10000, 9000, InCredit, "amount"},
		{"refund of a paid bill without a credit", Settled, Refund, 12500, 12000, Settled, "money"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.from.Reckon(tt.step, tt.billed, tt.paid)
			if got != tt.want || (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
				t.Errorf("got %s, %v; want %s, refused at %q", got, err, tt.want, tt.at)
			}
		})
	}
}

// Whatever the account says, a track that went through agrees with it.
func TestReckonAgreesWithTheAccount(t *testing.T) {
	steps := []Step{Bill, BillMore, Pay, Refund}
	for _, from := range AllMoney {
		for _, step := range steps {
			for billed := domain.Cents(0); billed <= 300; billed += 100 {
				for paid := domain.Cents(0); paid <= 300; paid += 100 {
					to, err := from.Reckon(step, billed, paid)
					if err != nil {
						continue
					}
					owed := billed - paid
					if to == Settled && owed != 0 || to == InCredit && owed >= 0 || (to == Billed || to == PartPaid) && owed <= 0 {
						t.Errorf("%s, %s with %v billed and %v paid: %s", from, step, billed, paid, to)
					}
				}
			}
		}
	}
}

// One owner's credit goes back whatever the others owe (trade.md 7.2: nothing is given
// back beyond what is held; whose it is stands on the share's own account).
func TestRefundShare(t *testing.T) {
	for _, tt := range []struct {
		name         string
		from         Money
		billed, paid domain.Cents // once it is given back
		want         Money
		at           string
	}{
		{"the others still owe", PartPaid, 10000, 4000, PartPaid, ""},
		{"one's credit covered another's debt", Settled, 10000, 9000, PartPaid, ""},
		{"a settled bill without a credit", Settled, 10000, 10000, Settled, "money"},
		{"some is still owed back", InCredit, 10000, 11000, InCredit, ""},
		{"all of it goes back", InCredit, 10000, 10000, Settled, ""},
		{"two in credit, a third owes", InCredit, 10000, 9000, PartPaid, ""},
		{"nothing was taken", Billed, 10000, -100, Billed, "money"},
	} {
		got, err := tt.from.RefundShare(tt.billed, tt.paid)
		if got != tt.want || (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: got %s, %v; want %s, refused at %q", tt.name, got, err, tt.want, tt.at)
		}
	}
}
