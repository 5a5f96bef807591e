package animal

import "coldrail/domain"

// The five tables are the whole state machine. A pair that is absent is
// forbidden. Rows and guards: trade.md Annex B; the guards themselves (who, on
// what evidence) belong to the act that takes the step.

var physicalMoves = map[Physical]map[Step]Physical{
	Expected: {Arrive: Arrived, Receive: Received, Refuse: Refused},
	Arrived:  {Receive: Received, Refuse: Refused, Seize: Seized, Lose: Lost, Condemn: Condemned},
	Received: {Chill: Chilling, Hang: Hanging, Refuse: Refused, Return: Returned, Condemn: Condemned, Seize: Seized, Lose: Lost},
	Chilling: {Hang: Hanging, Return: Returned, Condemn: Condemned, Seize: Seized, Lose: Lost},
	Hanging:  {Start: OnTable, Return: Returned, Condemn: Condemned, Seize: Seized, Lose: Lost},
	OnTable:  {Stop: Hanging, Split: InPieces, Condemn: Condemned, Seize: Seized, Lose: Lost},
	InPieces: {Box: Stored, Condemn: Condemned, Seize: Seized, Lose: Lost},
	Stored: {HandOverPart: PartReleased, HandOver: Released, GiveUpWaiting: Unclaimed,
		Condemn: Condemned, Seize: Seized, Lose: Lost},
	PartReleased: {HandOverPart: PartReleased, HandOver: Released, GiveUpWaiting: Unclaimed, StayPart: PartReleased, Stay: Stored,
		Condemn: Condemned, Seize: Seized, Lose: Lost},
	Released: {StayPart: PartReleased, Stay: Stored},
	Unclaimed: {HandOverPart: PartReleased, HandOver: Released, Transfer: Transferred, Destroy: Destroyed,
		Condemn: Condemned, Seize: Seized, Lose: Lost},
	Condemned: {Destroy: Destroyed},
	// What was lost or seized goes back to where it is found to belong, by name.
	Lost:   {BackChilling: Chilling, BackHanging: Hanging, BackStored: Stored, Condemn: Condemned, Seize: Seized},
	Seized: {BackChilling: Chilling, BackHanging: Hanging, BackStored: Stored, Destroy: Destroyed},
}

var legalMoves = map[Legal]map[Step]Legal{
	Unchecked: {Verify: Verified, Ask: Query, WardenStop: WardenHold},
	Verified:  {TakeTag: TagHeld, ReturnTag: TagReturned, Ask: Query, WardenStop: WardenHold},
	Query:     {Verify: Verified, WardenStop: WardenHold},
	// Freed by the warden, the tag is looked at again: unchecked, never straight to checked.
	WardenHold: {WardenFree: Unchecked},
	TagHeld:    {ReturnTag: TagReturned, Ask: Query, WardenStop: WardenHold},
	// Only with a hand-over that did not happen.
	TagReturned: {KeepTag: TagHeld},
}

var diseaseMoves = map[Disease]map[Step]Disease{
	NotNeeded: {Want: Wanted, SampledElsewhere: Pending, ReportDetected: Detected},
	Wanted:    {Waive: NotNeeded, Draw: Drawn, SampledElsewhere: Pending, ReportDetected: Detected},
	Drawn:     {Send: Pending, ReportUnsuitable: Resample, ReportDetected: Detected},
	Pending:   {ReportNotDetected: NotDetected, ReportDetected: Detected, ReportUnsuitable: Resample},
	Resample:  {Draw: Drawn, Waive: NotNeeded, SampledElsewhere: Pending, ReportDetected: Detected},
	// A second test may come back worse than the first. A detected result stays.
	NotDetected: {Want: Wanted, ReportDetected: Detected},
}

var orderMoves = map[OrderTrack]map[Step]OrderTrack{
	NoOrder:    {NoteOrder: Incomplete, TakeOrder: Complete, CancelOrder: Cancelled},
	Incomplete: {NoteOrder: Incomplete, TakeOrder: Complete, CancelOrder: Cancelled},
	Complete:   {NoteOrder: Incomplete, TakeOrder: Complete, LockOrder: Locked, CancelOrder: Cancelled},
	Locked:     {UnlockOrder: Complete, FinishOrder: Done},
	Cancelled:  {ReviveOrder: Incomplete},
}

var moneyMoves = map[Money]map[Step]Money{
	Quoted:       {TakeDeposit: DepositTaken, Bill: Billed},
	DepositTaken: {TakeDeposit: DepositTaken, RefundDeposit: Quoted, Bill: Billed},
	Billed:       {BillMore: Billed, PayPart: PartPaid, Pay: Settled, GiveCredit: InCredit, WriteOff: WrittenOff},
	PartPaid:     {BillMore: PartPaid, PayPart: PartPaid, Pay: Settled, GiveCredit: InCredit, WriteOff: WrittenOff},
	Settled:      {BillMore: PartPaid, GiveCredit: InCredit},
	InCredit:     {Refund: Settled},
	WrittenOff:   {PayPart: PartPaid, Pay: Settled},
}

// Do takes the step and returns the next state, or Refused with the reason.
func (p Physical) Do(s Step) (Physical, error) {
	return do("physical", physicalMoves, p, s, AllPhysical)
}

// Do takes the step and returns the next state, or Refused with the reason.
func (l Legal) Do(s Step) (Legal, error) { return do("legal", legalMoves, l, s, AllLegal) }

// Out reports whether a sample was drawn and no result of it has been read.
func (d Disease) Out() bool { return d == Drawn || d == Pending || d == Resample }

// Do takes the step and returns the next state, or Refused with the reason.
func (d Disease) Do(s Step) (Disease, error) { return do("disease", diseaseMoves, d, s, AllDisease) }

// Do takes the step and returns the next state, or Refused with the reason.
func (o OrderTrack) Do(s Step) (OrderTrack, error) { return do("order", orderMoves, o, s, AllOrder) }

// Do takes the step and returns the next state, or Refused with the reason.
func (m Money) Do(s Step) (Money, error) { return do("money", moneyMoves, m, s, AllMoney) }

type state interface {
	~string
	Words() domain.Words
}

// do looks the move up. A forbidden one comes back with the state unchanged and
// a sentence that says what it is now and, where that is short, what it has to
// be first.
func do[S state](track string, moves map[S]map[Step]S, from S, step Step, all []S) (S, error) {
	if to, ok := moves[from][step]; ok {
		return to, nil
	}
	var first []any
	for _, s := range all {
		if _, ok := moves[s][step]; ok {
			first = append(first, s.Words())
		}
	}
	said := []any{step.Words(), from.Words()}
	switch len(first) {
	case 1:
		return from, domain.Refuse(track, "Cannot %s: it is %s. It has to be %s first.", append(said, first...)...)
	case 2:
		return from, domain.Refuse(track, "Cannot %s: it is %s. It has to be %s or %s first.", append(said, first...)...)
	}
	return from, domain.Refuse(track, "Cannot %s: it is %s. Look at its record and ask the lead.", said...)
}
