package animal

import "coldrail/domain"

// Intake is one of the three doors that are closed one by one when the shop is
// full (trade.md 1.2): a full cooler may still take boned trim.
type Intake string

// The doors.
const (
	TakeWhole    Intake = "whole"
	TakeQuarters Intake = "quarters"
	TakeBoned    Intake = "boned"
)

// Intakes lists the doors in the order in which they are mostly closed.
var Intakes = []Intake{TakeWhole, TakeQuarters, TakeBoned}

// IntakeOf is the door by which a form comes in.
func IntakeOf(f domain.Form) Intake {
	switch f {
	case domain.Quarters:
		return TakeQuarters
	case domain.Boned:
		return TakeBoned
	}
	return TakeWhole
}

// Words names what comes in by the door.
func (i Intake) Words() domain.Words {
	switch i {
	case TakeQuarters:
		return domain.Say("quarters")
	case TakeBoned:
		return domain.Say("boned meat")
	}
	return domain.Say("whole animals")
}

// Closed is the sentence at a closed door; why is the shop's own.
func (i Intake) Closed(why string) error {
	return domain.Wrong("shape", "We take no %s just now: %s. Tell them politely, or have the lead open it again.", i.Words(), why)
}
