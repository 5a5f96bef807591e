package round

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// Decision is what the lead decides about an animal that stands at "stop"
// (readiness.md section 10, 1). The program proposes none of them.
type Decision string

// The decisions.
const (
	CarryOn      Decision = "carry-on"
	TrimCutFirst Decision = "trim-and-cut-first"
	CondemnPart  Decision = "condemn-part"
	CondemnAll   Decision = "condemn-all"
)

// Decisions lists every decision, the mildest first.
var Decisions = []Decision{CarryOn, TrimCutFirst, CondemnPart, CondemnAll}

// Condemns reports a decision that throws meat away. The owner of the animal
// hears of it before anything else is said to them.
func (d Decision) Condemns() bool { return d == CondemnPart || d == CondemnAll }

// Check says whether the decision can be taken with this reason.
func (d Decision) Check(reason string) error {
	switch {
	case !slices.Contains(Decisions, d):
		return domain.Wrong("verdict", "Say what you decide: carry on, trim and cut first, condemn a part, or condemn all.")
	case strings.TrimSpace(reason) == "":
		return domain.Wrong("reason", "Give the reason in a few words: what you saw, smelled and did.")
	}
	return nil
}

// Words names the decision.
func (d Decision) Words() domain.Words {
	switch d {
	case CarryOn:
		return domain.Say("carry on")
	case TrimCutFirst:
		return domain.Say("trim and cut first")
	case CondemnPart:
		return domain.Say("condemn a part")
	case CondemnAll:
		return domain.Say("condemn all of it")
	}
	return domain.Say("%s", string(d))
}
