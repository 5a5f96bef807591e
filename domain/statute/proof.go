package statute

import (
	"slices"
	"strings"

	"coldrail/domain"
	"coldrail/domain/register"
)

// Evidence is a kind of paper or mark that shows that an animal was taken lawfully.
type Evidence string

// The kinds of evidence (Annex D, Proof needed to accept). The first five are the
// kinds of official tag, too.
const (
	CarcassTag    Evidence = "carcass-tag"
	Permit        Evidence = "permit"
	Seal          Evidence = "seal"
	Confirmation  Evidence = "confirmation"
	EarTag        Evidence = "ear-tag"
	Licence       Evidence = "licence"
	Certificate   Evidence = "donation-certificate"
	Certification Evidence = "certification"
)

// Evidences lists every kind, in the order of the forms.
var Evidences = []Evidence{CarcassTag, Permit, Seal, Confirmation, EarTag, Licence, Certificate, Certification}

var evidenceWords = map[Evidence]domain.Words{
	CarcassTag: domain.Say("carcass tag"), Permit: domain.Say("permit"), Seal: domain.Say("seal"), Confirmation: domain.Say("confirmation number"),
	EarTag: domain.Say("ear tag"), Licence: domain.Say("license of whoever brings it"), Certificate: domain.Say("donation certificate"),
	Certification: domain.Say("written certification"),
}

// Words names the kind of evidence.
func (e Evidence) Words() domain.Words { return evidenceWords[e] }

// Known reports whether e is one of Evidences.
func (e Evidence) Known() bool { return evidenceWords[e].Format != "" }

// Origin is from where an animal has to come for a rule about proof to ask.
type Origin string

// The origins; empty is anywhere.
const (
	Inside  Origin = "home"    // killed in the rule's own state
	Outside Origin = "outside" // killed in another
)

// asksOf reports whether the rule asks of an animal killed in a state. Where nobody
// knows the state of the kill, it asks.
func (r Rule) asksOf(state string) bool {
	switch {
	case r.Origin == "" || strings.TrimSpace(state) == "":
		return true
	case r.Origin == Inside:
		return r.In(state)
	}
	return !r.In(state)
}

// AskProof are the rules that ask which evidence was shown of an animal of species s
// in form f, killed in a state.
func AskProof(rules []Rule, s domain.Species, f domain.Form, killed string) (asking []Rule) {
	for _, r := range rules {
		if r.Topic == Proof && len(r.Accepts) > 0 && r.For(s, f) && r.asksOf(killed) {
			asking = append(asking, r)
		}
	}
	return asking
}

// Accepted are the kinds of evidence that any of the rules accepts.
func Accepted(rules []Rule) (kinds []Evidence) {
	for _, e := range Evidences {
		if slices.ContainsFunc(rules, func(r Rule) bool { return slices.Contains(r.Accepts, e) }) {
			kinds = append(kinds, e)
		}
	}
	return kinds
}

// WriteProof is the kinds that were shown as the register has them, each once, and
// "" where none was.
func WriteProof(shown []Evidence) string {
	var list []string
	for _, e := range Evidences {
		if slices.Contains(shown, e) {
			list = append(list, string(e))
		}
	}
	return strings.Join(list, ", ")
}

// ReadProof is the kinds that the register has.
func ReadProof(written string) (shown []Evidence) {
	for _, e := range strings.Split(written, ",") {
		if e := Evidence(strings.TrimSpace(e)); e.Known() {
			shown = append(shown, e)
		}
	}
	return shown
}

// Satisfies reports whether one of the kinds that were shown is one the rule accepts.
func (r Rule) Satisfies(shown []Evidence) bool {
	return slices.ContainsFunc(shown, func(e Evidence) bool { return slices.Contains(r.Accepts, e) })
}

// Owed lists what the register still lacks of an animal by the rules, in the order it
// is printed: fields that are asked and not told; proof, as long as one of the rules
// that ask for it has seen nothing it accepts; the receipt of the drop-off.
func Owed(rules []Rule, s domain.Species, f domain.Form, given map[string]string) []register.Field {
	asked, known := map[string]bool{}, map[string]string{}
	for _, r := range rules {
		switch {
		case r.Topic == Register && r.For(s, f):
			for _, name := range r.Fields {
				asked[name] = true
			}
		case r.Topic == Receipt && r.Trigger == ComesIn && r.For(s, f):
			asked["receipt"] = true
		}
	}
	for name, value := range given {
		known[name] = value
	}
	shown := ReadProof(known["proof"])
	for _, r := range AskProof(rules, s, f, known["kill_state"]) {
		if asked["proof"] = true; !r.Satisfies(shown) {
			delete(known, "proof")
		}
	}
	return register.Owed(asked, known)
}
