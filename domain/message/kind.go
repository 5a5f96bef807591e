// Package message is what an owner is told without a call: which kinds there are,
// by which way, in whose words, at which hours, and what must be said by mouth.
package message

import (
	"slices"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
)

// Kind is what a message is about.
type Kind string

// The kinds there are.
const (
	Ready     Kind = "ready"      // all of it is boxed and frozen
	PartReady Kind = "part-ready" // boxes are ready, sausage or loose packs follow
	Moved     Kind = "moved"      // the promised day is another
	Result    Kind = "result"     // the laboratory wrote
	Storage   Kind = "storage"    // meat nobody fetches: a letter goes out, or storage begins
)

// Kinds lists them in the order of a season.
func Kinds() []Kind { return []Kind{Ready, PartReady, Moved, Result, Storage} }

// Known reports whether there is such a kind.
func (k Kind) Known() bool { return slices.Contains(Kinds(), k) }

// Words names the kind.
func (k Kind) Words() domain.Words {
	switch k {
	case Ready:
		return domain.Say("ready to fetch")
	case PartReady:
		return domain.Say("part of it ready to fetch")
	case Moved:
		return domain.Say("the day has moved")
	case Result:
		return domain.Say("test result")
	case Storage:
		return domain.Say("nobody has fetched it")
	}
	return domain.Say("%s", string(k))
}

// CallUs is all that a message says while bad news waits that the lead tells by
// mouth (design.md: what must always hold).
const CallUs = "Please call us about %s."

// Standing is how the animal stands as a message about it is about to go out.
type Standing struct {
	CallFirst bool // the lead has not yet spoken to the owner
	Stop      bool // the rail says stop
	Physical  animal.Physical
	Holds     []hold.Kind // open ones
}

// ByMouth reports whether there is news that only a person may tell.
func (s Standing) ByMouth() bool {
	return s.CallFirst || s.Stop || s.Physical != animal.Unclaimed && s.Physical.TellByMouth() || slices.ContainsFunc(s.Holds, hold.Kind.TellByMouth)
}

// Overtaken says why a message of this kind is no longer true, where it is not: the
// meat was fetched, a hold keeps it, it is cut. An empty sentence lets it go.
func (k Kind) Overtaken(s Standing) (why domain.Words) {
	waits := s.Physical.InHouse() && s.Physical.Cut() && s.Physical != animal.InPieces
	switch k {
	case Ready, PartReady, Storage:
		if !waits {
			return domain.Say("It is %s.", s.Physical.Words())
		}
		for _, h := range s.Holds {
			if h.Blocks(hold.Release) {
				return domain.Say("It is held: %s. The owner is told when it is free.", h.Words())
			}
		}
	case Moved:
		if !s.Physical.InHouse() || s.Physical.Cut() {
			return domain.Say("It is %s.", s.Physical.Words())
		}
	}
	return domain.Words{}
}
