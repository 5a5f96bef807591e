package statute

import (
	"strings"
	"time"

	"coldrail/domain"
)

// checkDuties holds what a rule asks to be done against what it is about.
func (r Rule) checkDuties() error {
	for _, e := range r.Accepts {
		if !e.Known() {
			return domain.Wrong("accepts", "There is no such kind of proof: %s.", string(e))
		}
	}
	switch {
	case (len(r.Accepts) > 0 || r.Origin != "") && r.Topic != Proof:
		return domain.Wrong("accepts", "Only a rule about what is needed to take it in accepts proof.")
	case r.Origin != "" && r.Origin != Inside && r.Origin != Outside:
		return domain.Wrong("origin", "Say where the animal was killed: anywhere, in this state, or in another.")
	case r.Origin != "" && (r.State == AnyState || r.State == Federal):
		return domain.Wrong("origin", "Only a rule of one state tells where the animal was killed.")
	case strings.TrimSpace(r.Mark) != "" && r.Topic != Livestock && r.Topic != Donation:
		return domain.Wrong("mark", "Only a rule about livestock or about giving meat away has words for a mark.")
	case r.Custody != "" && r.Topic != Tag:
		return domain.Wrong("custody", "Only a rule about the official tag says where the tag stays.")
	case r.CleanBetween && r.Topic != SamePlant:
		return domain.Wrong("clean_between", "Only a rule about game and livestock in one plant asks for cleaning between them.")
	case r.Topic == Receipt && r.Trigger != ComesIn && r.Trigger != GoesOut:
		return domain.Wrong("trigger", "Say when the receipt is given: as an animal comes in, or as meat goes out.")
	case (r.Trigger == ComesIn || r.Trigger == GoesOut) && r.Topic != Receipt:
		return domain.Wrong("trigger", "Only a receipt is due as an animal comes in or as meat goes out.")
	}
	return nil
}

// ReceiptDue is the first of the rules that wants a receipt given, as an animal comes
// in or as meat of it goes out; nil: none does.
func ReceiptDue(rules []Rule, when Trigger, s domain.Species, f domain.Form) *Rule {
	for i, r := range rules {
		if r.Topic == Receipt && r.Trigger == when && r.For(s, f) {
			return &rules[i]
		}
	}
	return nil
}

// Marks are the rules that say what the meat of livestock of species s has to bear
// before it leaves.
func Marks(rules []Rule, s domain.Species) (list []Rule) {
	for _, r := range rules {
		if r.Topic == Livestock && strings.TrimSpace(r.Mark) != "" && !s.Game() && r.For(s, "") {
			list = append(list, r)
		}
	}
	return list
}

// Donating are the rules about giving away meat of species s in form f.
func Donating(rules []Rule, s domain.Species, f domain.Form) (list []Rule) {
	for _, r := range rules {
		if r.Topic == Donation && r.For(s, f) {
			list = append(list, r)
		}
	}
	return list
}

// HeldUntil is the moment after which the shop may no longer hold an animal received
// at a time, the earliest of the rules, and which one that is; nil: none speaks of it.
func HeldUntil(rules []Rule, s domain.Species, f domain.Form, received time.Time, loc *time.Location) (until time.Time, by *Rule) {
	for i, r := range rules {
		if r.Topic != Possession || r.Starts != FromReceipt || !r.For(s, f) {
			continue
		}
		if due, counts := r.Due(received, loc); counts && (by == nil || due.Before(until)) {
			until, by = due, &rules[i]
		}
	}
	return until, by
}

// WarnDays is how long before that moment the shop calls the owner. Common practice,
// no source.
const WarnDays = 14

// Apart is the rule that keeps work on one species from work on the other: not at one
// time, and over a clean table; nil: none does, or both are game or both livestock.
func Apart(rules []Rule, a, b domain.Species) *Rule {
	for i, r := range rules {
		if r.Topic == SamePlant && r.CleanBetween && a.Game() != b.Game() && (r.For(a, "") || r.For(b, "")) {
			return &rules[i]
		}
	}
	return nil
}
