package statute

import "coldrail/domain"

// Open is what is still open about an animal: while anything is, nothing of its
// record is taken away, however long it was kept (trade.md 2.2).
type Open struct {
	InHouse  bool // the shop still has something of it
	Holds    int  // disputes among them
	Notices  int  // a rule wants something told
	Visits   int  // an inspector or a warden has not ended theirs
	Unpaid   bool // something of its bill is owed
	Question bool // of the bay: whose it is was never settled
	Unending bool // a rule counts from something that has not come about
}

// Keeps says what keeps the record; no format: nothing does.
func (o Open) Keeps() domain.Words {
	switch {
	case o.InHouse:
		return domain.Say("something of it is still here")
	case o.Holds > 0:
		return domain.Say("a hold is open")
	case o.Visits > 0:
		return domain.Say("a visit has not ended")
	case o.Notices > 0:
		return domain.Say("a notice has not been sent")
	case o.Unpaid:
		return domain.Say("its bill is not paid")
	case o.Question:
		return domain.Say("whose it is was not settled")
	case o.Unending:
		return domain.Say("a rule counts from something that has not happened")
	}
	return domain.Words{}
}
