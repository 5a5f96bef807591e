package statute

import "coldrail/domain"

// Custody is what a rule about the official tag wants of it.
type Custody string

// The ways of keeping a tag (Annex D, Tag custody). Empty: the rule is only read.
const (
	GoesBack Custody = "back"      // with the meat, to its owner
	StaysPut Custody = "here"      // on the premises as long as any part of the animal is
	UntilCut Custody = "until-cut" // on the carcass until it is cut or quartered
)

// TagKept is the first of the rules that wants an official tag kept in one way; nil: none
// does.
func TagKept(rules []Rule, how Custody, s domain.Species, f domain.Form) *Rule {
	for i, r := range rules {
		if r.Topic == Tag && r.Custody == how && r.For(s, f) {
			return &rules[i]
		}
	}
	return nil
}

// MayGoBack holds a tag that goes back, or stays, as meat leaves against the rules: all
// says that nothing of the animal is left here afterwards.
func MayGoBack(rules []Rule, s domain.Species, f domain.Form, back, all bool) error {
	if r := TagKept(rules, GoesBack, s, f); r != nil && all && !back {
		return domain.Wrong("tag", "By the rule of %s the tag goes with the meat: %s (%s). Give it along and tick that, or write down first that it is lost.", r.State, r.Says, r.Cites)
	}
	if r := TagKept(rules, StaysPut, s, f); r != nil && back && !all {
		return domain.Wrong("tag", "By the rule of %s the tag stays here as long as any part of the animal does: %s (%s). Keep it until the last of it leaves.", r.State, r.Says, r.Cites)
	}
	return nil
}

// MayComeOff holds a tag that is to come off the carcass against the rules; cut says that
// the animal was begun, or came in quarters or boned.
func MayComeOff(rules []Rule, s domain.Species, f domain.Form, cut bool) error {
	if r := TagKept(rules, UntilCut, s, f); r != nil && !cut {
		return domain.Wrong("to", "By the rule of %s the tag stays on until it is cut or quartered: %s (%s).", r.State, r.Says, r.Cites)
	}
	return nil
}
