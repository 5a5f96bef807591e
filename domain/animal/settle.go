package animal

import "coldrail/domain"

// Reckon takes a step of the money track and then the steps that follow from it,
// given what the account says once the step is done: billed is the sum of all
// lines of the bill, paid all that was taken less what was given back. So a bill
// that the deposit covers is settled at once, and a credit that goes beyond what
// was still owed leaves money to give back.
//
// TakeDeposit, RefundDeposit, Bill, BillMore, Pay and Refund may be asked for.
// The rules are those of trade.md 7.2: a deposit comes before the bill, nothing
// is taken beyond what is owed, nothing is given back beyond what is held.
func (m Money) Reckon(step Step, billed, paid domain.Cents) (Money, error) {
	owed := billed - paid
	switch step {
	case RefundDeposit:
		if m == DepositTaken && paid > 0 {
			return m, nil // some of it stays with the shop
		}
		if paid < 0 {
			return m, domain.Wrong("amount", "That is more than the deposit. Nothing was given back.")
		}
		return m.Do(RefundDeposit)
	case Pay:
		if m == Quoted || m == DepositTaken {
			return m, domain.Refuse("money", "It is not billed yet. Take it as a deposit, or make the bill first.")
		}
		if owed < 0 && m != Settled {
			return m, domain.Wrong("amount", "That is %s more than is owed. Give change, or type less.", (-owed).String())
		}
		if owed > 0 {
			return m.Do(PayPart)
		}
		return m.Do(Pay)
	case Refund:
		if m == InCredit && owed < 0 {
			return m, nil // some is still owed back
		}
		if m == InCredit && owed > 0 {
			return m, domain.Wrong("amount", "That is %s more than is owed back. Nothing was given back.", owed.String())
		}
		return m.Do(Refund)
	case BillMore:
		return m.more(owed, paid)
	case Bill:
		to, err := m.Do(Bill)
		if err != nil {
			return m, err
		}
		return to.even(owed, paid)
	}
	return m.Do(step)
}

// RefundShare gives back what one owner of a shared animal is in credit by, whatever
// the others still owe; that it is no more than their credit is checked on their own
// account. The track follows what is then owed for the whole animal.
func (m Money) RefundShare(billed, paid domain.Cents) (Money, error) {
	owed := billed - paid
	switch m {
	case PartPaid:
		return m, nil // what goes back to one is no part of what the others owe
	case Settled:
		if owed > 0 {
			return m.Do(BillMore) // one's credit had covered what another owes
		}
	case InCredit:
		if owed < 0 {
			return m, nil
		}
		to, err := m.Do(Refund)
		if err != nil || owed == 0 {
			return to, err
		}
		return to.Do(BillMore)
	}
	return m.Do(Refund)
}

// more is where a further line of the bill, or a credit, leads.
func (m Money) more(owed, paid domain.Cents) (Money, error) {
	switch m {
	case Quoted, DepositTaken:
		return m, nil // it waits for the bill
	case Settled:
		if owed > 0 {
			return m.Do(BillMore)
		}
		return m.even(owed, paid)
	case InCredit:
		if owed < 0 {
			return m, nil
		}
		to, err := m.Do(Refund) // the credit is used up
		if err != nil || owed == 0 {
			return to, err
		}
		return to.Do(BillMore)
	}
	to, err := m.Do(BillMore)
	if err != nil {
		return m, err
	}
	return to.even(owed, paid)
}

// even takes the step, if there is one, that the account asks for.
func (m Money) even(owed, paid domain.Cents) (Money, error) {
	switch {
	case owed < 0:
		return m.Do(GiveCredit)
	case owed == 0 && m != Settled:
		return m.Do(Pay)
	case owed > 0 && paid > 0 && m == Billed:
		return m.Do(PayPart)
	}
	return m, nil
}
