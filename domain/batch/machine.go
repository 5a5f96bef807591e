package batch

import (
	"cmp"
	"slices"
	"time"

	"coldrail/domain"
)

// Level is how thoroughly a machine was cleaned out.
type Level string

// The levels. Prion is the soak named by the agency (trade.md 2.4).
const (
	Rinse Level = "rinse"
	Full  Level = "full"
	Prion Level = "prion"
)

// Levels lists every level, the lightest first.
var Levels = []Level{Rinse, Full, Prion}

// Known reports whether l is one of Levels.
func (l Level) Known() bool { return slices.Contains(Levels, l) }

// Thing is something that ran through a machine: a batch, or the meat of one
// animal by itself.
type Thing struct {
	Batch  int               // its number; 0 for an animal
	Number domain.ShopNumber // of the animal; empty for a batch
}

// Run is one thing through one machine, or, where Clean is set, a clean-out.
type Run struct {
	Machine string
	At      time.Time
	Thing   Thing
	Clean   Level
}

// Joined says that meat of an animal went into a batch.
type Joined struct {
	Number domain.ShopNumber
	Batch  int
	At     time.Time
}

// Passage is a thing on a machine, with what decides what may follow it.
type Passage struct {
	Thing Thing
	Own   bool // own meat only
	Pork  bool
	Beef  bool
	Game  bool
}

// CleanFirst says why the machine needs a full clean-out before the next thing,
// given what passed since the last one; empty words: none is needed. Between two
// pools alike a rinse is enough and is not asked for here.
//
// Source: trade.md 6.7 and Annex C 14, common practice.
func CleanFirst(since []Passage, next Passage) domain.Words {
	for _, p := range slices.Backward(since) {
		switch {
		case p.Thing == next.Thing:
		case next.Own:
			return domain.Say("This is one owner's own meat, and other meat went through since the last full clean-out.")
		case p.Own:
			return domain.Say("One owner's own meat went through last: the first pounds that follow would be theirs.")
		case p.Pork && !next.Pork:
			return domain.Say("Pork went through since the last full clean-out, and this has none in it.")
		case p.Beef && !next.Beef:
			return domain.Say("Beef went through since the last full clean-out, and this has none in it.")
		case p.Game != next.Game:
			return domain.Say("Game and livestock follow each other only over a full clean-out.")
		}
	}
	return domain.Words{}
}

// Touch is something that a positive animal's meat, or what it left in a machine,
// may have reached.
type Touch struct {
	Thing   Thing
	At      time.Time
	Machine string // empty where the meat itself went in
	After   Thing  // what brought it there
}

// Trace follows a positive animal: into every batch its meat went into, and from
// there through each machine to all that followed until a full clean-out or a prion
// soak; a rinse ends nothing. What is reached carries it on, into the next machine
// and the next batch. What went through before is not reached. At one instant a
// clean-out counts as after everything else.
//
// It says what has to be looked at, in order of time; the agency says what becomes
// of it (trade.md 2.5).
func Trace(positive domain.ShopNumber, runs []Run, joined []Joined) []Touch {
	touched := map[Thing]bool{{Number: positive}: true}
	var found []Touch
	reach := func(t Touch) {
		if !touched[t.Thing] {
			touched[t.Thing] = true
			found = append(found, t)
		}
	}
	for _, j := range joined { // its own meat: the whole batch, whatever the clock said
		if j.Number == positive {
			reach(Touch{Thing{Batch: j.Batch}, j.At, "", Thing{Number: positive}})
		}
	}
	left := map[string]*Thing{} // what a machine still holds
	for _, e := range inTime(runs, joined) {
		switch {
		case e.joined.Batch != 0:
			if from := (Thing{Number: e.joined.Number}); touched[from] {
				reach(Touch{Thing{Batch: e.joined.Batch}, e.joined.At, "", from})
			}
		case e.run.Clean == Full || e.run.Clean == Prion:
			delete(left, e.run.Machine)
		case e.run.Clean == Rinse:
		default:
			if by := left[e.run.Machine]; by != nil {
				reach(Touch{e.run.Thing, e.run.At, e.run.Machine, *by})
			}
			if touched[e.run.Thing] {
				left[e.run.Machine] = &e.run.Thing
			}
		}
	}
	slices.SortStableFunc(found, func(a, b Touch) int { return a.At.Compare(b.At) })
	return found
}

type event struct {
	at     time.Time
	rank   int // at one instant: into the batch, through the machine, clean-out
	run    Run
	joined Joined
}

func inTime(runs []Run, joined []Joined) []event {
	var list []event
	for _, j := range joined {
		list = append(list, event{at: j.At, joined: j})
	}
	for _, r := range runs {
		e := event{at: r.At, rank: 1, run: r}
		if r.Clean != "" {
			e.rank = 2
		}
		list = append(list, e)
	}
	slices.SortStableFunc(list, func(a, b event) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.rank, b.rank)) })
	return list
}

// Words names the level as the shop says it.
func (l Level) Words() domain.Words {
	switch l {
	case Rinse:
		return domain.Say("rinse")
	case Full:
		return domain.Say("full clean-out")
	}
	return domain.Say("prion soak")
}
