package cutting

import (
	"cmp"
	"math"
	"slices"

	"coldrail/domain"
)

// Packs is one line from the wrapping table: some packs of one cut, weighed
// together, in one box.
type Packs struct {
	Cut   string
	Count int
	Net   domain.Kilogram // of all of them
	Box   int             // 0: not boxed yet
}

// Check says whether the line can be taken.
func (p Packs) Check() error {
	switch {
	case p.Cut == "":
		return domain.Wrong("cut", "Say what is in the packs.")
	case p.Count < 1 || p.Count > 500:
		return domain.Wrong("count", "Count the packs again.")
	case !(p.Net > 0 && p.Net <= maxLine):
		return domain.Wrong("weight", "That weight cannot be right. Weigh the packs again.")
	case p.Box < 0:
		return domain.Wrong("box", "Boxes are numbered from 1.")
	}
	return nil
}

// Total is packs and weight of a box, or of everything.
type Total struct {
	Box   int
	Packs int
	Net   domain.Kilogram
}

// Totals returns the total of each box in order of its number, the packs not
// yet boxed (box 0) first, and the total of all.
func Totals(lines []Packs) (boxes []Total, all Total) {
	for _, p := range lines {
		i := slices.IndexFunc(boxes, func(t Total) bool { return t.Box == p.Box })
		if i < 0 {
			boxes = append(boxes, Total{Box: p.Box})
			i = len(boxes) - 1
		}
		boxes[i].Packs += p.Count
		boxes[i].Net += p.Net
		all.Packs += p.Count
		all.Net += p.Net
	}
	slices.SortFunc(boxes, func(a, b Total) int { return cmp.Compare(a.Box, b.Box) })
	return boxes, all
}

// Weighed is what the scales showed for one animal. Nil was not weighed.
type Weighed struct {
	Hanging *domain.Kilogram
	Packed  domain.Kilogram
	BoneFat *domain.Kilogram // bone and fat
	Discard *domain.Kilogram // trimmed away: shot, mould, dirt, dried crust

	ShrinkLow, ShrinkHigh     domain.Kilogram // drying since the hanging weight
	ExpectedLow, ExpectedHigh domain.Kilogram // what such an animal packs out to; 0, 0 is not known
}

// Closure says whether the weights add up.
type Closure struct {
	Shown  bool            // every part was weighed: Off means something
	Off    domain.Kilogram // hanging less everything found again; above 0 something is missing
	AddsUp bool
	Words  domain.Words
}

// closes is the tolerance of the closure as a share of the hanging weight.
// Source: readiness.md section 12, trade.md 6.9 (common practice).
const closes = 0.04

// Close compares what went on the table with what came off it.
//
//	off = hanging − packs − bone and fat − discard − shrink       (1)
//
// Shrink is the middle of its range; the weights add up while |off| is at most
// 4 % of hanging plus half the width of that range. It is shown only where
// every part was weighed; otherwise packed weight is held against the expected
// range. Source: readiness.md section 12. A good closure says that pounds were
// not lost; it cannot tell one deer's pounds from another's.
func Close(w Weighed) Closure {
	if w.Hanging == nil || w.BoneFat == nil || w.Discard == nil {
		return againstExpected(w)
	}
	shrink := (w.ShrinkLow + w.ShrinkHigh) / 2
	off := *w.Hanging - w.Packed - *w.BoneFat - *w.Discard - shrink
	tolerance := closes**w.Hanging + (w.ShrinkHigh-w.ShrinkLow)/2
	c := Closure{Shown: true, Off: off, AddsUp: domain.Kilogram(math.Abs(float64(off))) <= tolerance+tinyWeight}
	switch {
	case c.AddsUp:
		c.Words = domain.Say("The weights add up.")
	case off > 0:
		c.Words = domain.Say("%v is missing. Check the tub and the neighbours.", off)
	default:
		c.Words = domain.Say("%v is too much. Check the tub and the neighbours.", -off)
	}
	return c
}

// tinyWeight forgives what adding leaves in the last binary digits; far finer
// than any scale here.
const tinyWeight domain.Kilogram = 1e-6

func againstExpected(w Weighed) Closure {
	switch {
	case w.ExpectedHigh <= 0:
		return Closure{Words: domain.Say("Not every part was weighed, and nothing is known to compare with.")}
	case w.Packed < w.ExpectedLow:
		return Closure{Words: domain.Say("%v packed; such an animal gives %v to %v. Check the tub and the neighbours.", w.Packed, w.ExpectedLow, w.ExpectedHigh)}
	case w.Packed > w.ExpectedHigh:
		return Closure{Words: domain.Say("%v packed, more than the %v to %v such an animal gives. Check the tub and the neighbours.", w.Packed, w.ExpectedLow, w.ExpectedHigh)}
	}
	return Closure{AddsUp: true, Words: domain.Say("%v packed; such an animal gives %v to %v.", w.Packed, w.ExpectedLow, w.ExpectedHigh)}
}
