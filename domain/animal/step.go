package animal

import "coldrail/domain"

// Step is one thing a person does to an animal, by the verb the shop uses. It
// is also the word on the time line.
type Step string

// Steps of the physical track.
const (
	Arrive        Step = "arrive"
	Receive       Step = "receive"
	Refuse        Step = "refuse"
	Return        Step = "return"
	Chill         Step = "chill"
	Hang          Step = "hang"
	Start         Step = "start"
	Stop          Step = "stop"
	Split         Step = "split"
	Box           Step = "box"
	HandOverPart  Step = "hand-over-part"
	HandOver      Step = "hand-over"
	GiveUpWaiting Step = "give-up-waiting"
	Transfer      Step = "transfer"
	Destroy       Step = "destroy"
	Condemn       Step = "condemn"
	Seize         Step = "seize"
	Lose          Step = "lose"
	BackChilling  Step = "back-chilling" // found again, or given back by an officer
	BackHanging   Step = "back-hanging"
	BackStored    Step = "back-stored"
	StayPart      Step = "stay-part" // a hand-over put right: some of it had not left
	Stay          Step = "stay"      // nothing of it had
)

// Steps of the legal track.
const (
	Verify     Step = "verify"
	Ask        Step = "ask"
	WardenStop Step = "warden-stop"
	WardenFree Step = "warden-free"
	TakeTag    Step = "take-tag"
	ReturnTag  Step = "return-tag"
	KeepTag    Step = "keep-tag" // it had not been given back after all
)

// Steps of the disease track.
const (
	Want              Step = "want-sample"
	Waive             Step = "waive-sample"
	Draw              Step = "draw-sample"
	Send              Step = "send-sample"
	SampledElsewhere  Step = "sampled-elsewhere"
	ReportNotDetected Step = "report-not-detected"
	ReportDetected    Step = "report-detected"
	ReportUnsuitable  Step = "report-unsuitable"
)

// Steps of the order track.
const (
	NoteOrder   Step = "note-order" // some of it is known, the rest is owed
	TakeOrder   Step = "take-order" // complete; again for a new version
	LockOrder   Step = "lock-order"
	UnlockOrder Step = "unlock-order"
	FinishOrder Step = "finish-order"
	CancelOrder Step = "cancel-order"
	ReviveOrder Step = "revive-order"
)

// Steps of the money track.
const (
	TakeDeposit   Step = "take-deposit"
	RefundDeposit Step = "refund-deposit"
	Bill          Step = "bill"
	BillMore      Step = "bill-more" // something comes back later: sausage, storage
	PayPart       Step = "pay-part"
	Pay           Step = "pay"
	GiveCredit    Step = "give-credit"
	Refund        Step = "refund"
	WriteOff      Step = "write-off"
)

// AllSteps lists the steps of all five tracks.
var AllSteps = []Step{
	Arrive, Receive, Refuse, Return, Chill, Hang, Start, Stop, Split, Box, HandOverPart, HandOver,
	GiveUpWaiting, Transfer, Destroy, Condemn, Seize, Lose, BackChilling, BackHanging, BackStored, StayPart, Stay,
	Verify, Ask, WardenStop, WardenFree, TakeTag, ReturnTag, KeepTag,
	Want, Waive, Draw, Send, SampledElsewhere, ReportNotDetected, ReportDetected, ReportUnsuitable,
	NoteOrder, TakeOrder, LockOrder, UnlockOrder, FinishOrder, CancelOrder, ReviveOrder,
	TakeDeposit, RefundDeposit, Bill, BillMore, PayPart, Pay, GiveCredit, Refund, WriteOff,
}

// Words says the step as it completes "Cannot ...".
func (s Step) Words() domain.Words { return named(stepWords, s) }
