package billing

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// Line is one line of a bill, as printed.
type Line struct {
	Code     string
	Label    string
	Quantity float64
	Unit     Unit
	Price    domain.Cents
	Total    domain.Cents
	Taxable  bool
	Minimum  bool   // the minimum was charged, not price times quantity
	Why      string // of a credit, and what a line of its own kind was reckoned from
}

// Done is one thing that was asked for and done: a price by its code and, where
// it is not by weight on the rail, how much of it.
type Done struct {
	Code     string
	Count    int             // for prices by the piece; 0 counts as 1
	Finished domain.Kilogram // for prices by the finished pound
}

// Lines makes the bill of one animal from what was done, in the order of the
// price list. Hanging is its hanging weight, nil if it never was on the scale; a
// price by the hanging pound then is refused rather than guessed. What the lines
// fall short of the least for an animal stands at the end, as a line of its own.
func Lines(list []Item, done []Done, hanging *domain.Kilogram) ([]Line, error) {
	lines, err := worked(list, done, hanging)
	if err != nil {
		return nil, err
	}
	return append(lines, upTo(list, done, Invoice{Lines: lines}.Total())...), nil
}

// worked are the lines of the work itself.
func worked(list []Item, done []Done, hanging *domain.Kilogram) (lines []Line, err error) {
	for _, d := range done {
		if !slices.ContainsFunc(list, func(i Item) bool { return i.Code == d.Code }) {
			return nil, domain.Wrong("code", "%s is not on the price list of this animal.", d.Code)
		}
	}
	for _, item := range list {
		for _, d := range done {
			if d.Code != item.Code || item.Basis == AtLeast {
				continue
			}
			quantity, err := quantityOf(item, d, hanging)
			if err != nil {
				return nil, err
			}
			line, err := item.Charge(quantity)
			if err != nil {
				return nil, err
			}
			lines = append(lines, line)
		}
	}
	return lines, nil
}

func quantityOf(item Item, d Done, hanging *domain.Kilogram) (float64, error) {
	switch item.Basis {
	case PerAnimal:
		return 1, nil
	case LbHanging:
		if hanging == nil {
			return 0, domain.Refuse("weight", "%s goes by the hanging pound. Weigh the animal before you bill it.", item.Label)
		}
		return hanging.Lb(), nil
	case LbFinished:
		if d.Finished == 0 {
			return 0, domain.Wrong("much-"+item.Code, "%s goes by the finished pound. Say how many pounds.", item.Label)
		}
		return d.Finished.Lb(), nil
	}
	return float64(max(d.Count, 1)), nil
}

// upTo are the lines that make up the least for an animal, when the work comes to
// less.
func upTo(list []Item, done []Done, work domain.Cents) (lines []Line) {
	for _, item := range list {
		if item.Basis != AtLeast || work >= item.Price || !slices.ContainsFunc(done, func(d Done) bool { return d.Code == item.Code }) {
			continue
		}
		missing := item.Price - work
		lines = append(lines, Line{Code: item.Code, Label: item.Label, Quantity: 1, Unit: AtLeast.Unit(), Price: missing, Total: missing,
			Taxable: item.Taxable, Minimum: true, Why: "up to " + item.Price.String()})
		work = item.Price
	}
	return lines
}

// Credit returns a line that takes an amount off the bill. It needs a reason
// (trade.md 7.2).
func Credit(amount domain.Cents, why string) (Line, error) {
	switch {
	case strings.TrimSpace(why) == "":
		return Line{}, domain.Wrong("why", "Say what the credit is for.")
	case amount <= 0 || amount > maxPrice:
		return Line{}, domain.Wrong("amount", "A credit has to be more than nothing, and at most %v.", maxPrice)
	}
	return Line{Code: "credit", Label: "Credit", Quantity: 1, Unit: UnitEach, Price: -amount, Total: -amount, Why: why}, nil
}

// Purpose says what a payment is.
type Purpose string

// The purposes. A refund is negative.
const (
	Deposit Purpose = "deposit"
	Paid    Purpose = "payment"
	Refund  Purpose = "refund"
)

// Payment is money that changed hands.
type Payment struct {
	Purpose Purpose
	Cents   domain.Cents
}

// Invoice is a bill with what was paid on it.
type Invoice struct {
	Lines    []Line
	Payments []Payment
}

// Total returns the sum of the lines as printed.
func (i Invoice) Total() domain.Cents {
	var sum domain.Cents
	for _, l := range i.Lines {
		sum += l.Total
	}
	return sum
}

// Taxable returns the sum of the lines marked taxable.
func (i Invoice) Taxable() domain.Cents {
	var sum domain.Cents
	for _, l := range i.Lines {
		if l.Taxable {
			sum += l.Total
		}
	}
	return sum
}

// Received returns all money taken less what was given back.
func (i Invoice) Received() domain.Cents { return i.paid(Deposit) + i.paid(Paid) + i.paid(Refund) }

func (i Invoice) paid(p Purpose) domain.Cents {
	var sum domain.Cents
	for _, payment := range i.Payments {
		if payment.Purpose == p {
			sum += payment.Cents
		}
	}
	return sum
}

// Balance returns what is still owed; below zero the shop owes the owner.
func (i Invoice) Balance() domain.Cents { return i.Total() - i.Received() }

// CheckPayment says whether the payment may be taken on this bill. More than is
// owed is a slip of the finger; a deposit may come before there is a bill.
func (i Invoice) CheckPayment(p Payment) error {
	switch {
	case p.Purpose != Deposit && p.Purpose != Paid && p.Purpose != Refund:
		return domain.Wrong("purpose", "Say what the money is: deposit, payment or refund.")
	case p.Purpose == Refund && p.Cents >= 0, p.Purpose != Refund && p.Cents <= 0:
		return domain.Wrong("amount", "Enter an amount of more than nothing.")
	case p.Cents > maxPrice || p.Cents < -maxPrice:
		return domain.Wrong("amount", "That amount cannot be right. Enter it again.")
	case p.Purpose == Paid && p.Cents > i.Balance():
		return domain.Wrong("amount", "That is more than the %v still owed.", i.Balance())
	case p.Purpose == Refund && -p.Cents > i.Received():
		return domain.Wrong("amount", "Only %v was taken for this animal.", i.Received())
	}
	return nil
}

// MayRelease says whether the boxes may leave: not with a balance, unless the
// owner of the shop says so (trade.md 7.2).
func (i Invoice) MayRelease(ownerSaysSo bool) error { return MayRelease(i.Balance(), ownerSaysSo) }

// MayRelease is the same rule for a balance that is not a whole bill's, such as one
// share's.
func MayRelease(balance domain.Cents, ownerSaysSo bool) error {
	if balance > 0 && !ownerSaysSo {
		return domain.Refuse("balance", "%v is still owed. Take the payment, or ask the owner of the shop.", balance)
	}
	return nil
}
