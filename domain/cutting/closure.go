package cutting

import (
	"math"

	"coldrail/domain"
)

// Weighed is what the scales showed for one animal. Nil was not weighed.
type Weighed struct {
	Hanging *domain.Kilogram
	Packed  domain.Kilogram
	BoneFat *domain.Kilogram // bone and fat
	Discard *domain.Kilogram // trimmed away: shot, mould, dirt, dried crust
	Tubs    domain.Kilogram  // trim in tubs, or in a batch and not back yet

	ShrinkLow, ShrinkHigh     domain.Kilogram // drying since the hanging weight
	ShrinkMiddle              domain.Kilogram // by the shop's own animals; 0: half-way between the two
	ExpectedLow, ExpectedHigh domain.Kilogram // what such an animal packs out to; 0, 0 is not known
}

// Closure says whether the weights add up.
type Closure struct {
	Shown  bool            // every part was weighed: Off means something
	Off    domain.Kilogram // hanging less everything found again; above 0 something is missing
	AddsUp bool
	Words  domain.Words
	Basis  domain.Words // where the expected range comes from; empty: nothing was expected
}

// closes is the tolerance of the closure as a share of the hanging weight.
// Source: readiness.md section 12, trade.md 6.9 (common practice).
const closes = 0.04

// Close compares what went on the table with what came off it.
//
//	off = hanging − packs − tubs − bone and fat − discard − shrink       (1)
//
// Shrink is the middle of its range, or what the shop's own animals usually lost; the weights add up while |off| is at most
// 4 % of hanging plus half the width of that range. It is shown only where
// every part was weighed; otherwise packs and tubs are held against the expected
// range. Source: readiness.md section 12. A good closure says that pounds were
// not lost; it cannot tell one deer's pounds from another's.
func Close(w Weighed) Closure {
	if w.Hanging == nil || w.BoneFat == nil || w.Discard == nil {
		return againstExpected(w)
	}
	shrink := (w.ShrinkLow + w.ShrinkHigh) / 2
	if w.ShrinkMiddle > 0 {
		shrink = w.ShrinkMiddle
	}
	off := *w.Hanging - w.Packed - w.Tubs - *w.BoneFat - *w.Discard - shrink
	tolerance := closes**w.Hanging + (w.ShrinkHigh-w.ShrinkLow)/2
	c := Closure{Shown: true, Off: off, AddsUp: domain.Kilogram(math.Abs(float64(off))) <= tolerance+tinyWeight}
	switch {
	case c.AddsUp:
		c.Words = domain.Say("The weights add up.")
	case off > 0:
		c.Words = domain.Say("%v is missing. Check the tub and the neighbors.", off)
	default:
		c.Words = domain.Say("%v is too much. Check the tub and the neighbors.", -off)
	}
	return c
}

// tinyWeight forgives what adding leaves in the last binary digits; far finer
// than any scale here.
const tinyWeight domain.Kilogram = 1e-6

// againstExpected holds what is meat, in packs and in tubs, against what such an animal
// gives: the shop's own numbers were counted the same way.
func againstExpected(w Weighed) Closure {
	meat := w.Packed + w.Tubs
	below := domain.Say("%v packed; such an animal gives %v to %v. Check the tub and the neighbors.", meat, w.ExpectedLow, w.ExpectedHigh)
	above := domain.Say("%v packed, more than the %v to %v such an animal gives. Check the tub and the neighbors.", meat, w.ExpectedLow, w.ExpectedHigh)
	within := domain.Say("%v packed; such an animal gives %v to %v.", meat, w.ExpectedLow, w.ExpectedHigh)
	if w.Tubs > 0 {
		below = domain.Say("%v packed and in tubs; such an animal gives %v to %v. Check the tub and the neighbors.", meat, w.ExpectedLow, w.ExpectedHigh)
		above = domain.Say("%v packed and in tubs, more than the %v to %v such an animal gives. Check the tub and the neighbors.", meat, w.ExpectedLow, w.ExpectedHigh)
		within = domain.Say("%v packed and in tubs; such an animal gives %v to %v.", meat, w.ExpectedLow, w.ExpectedHigh)
	}
	switch {
	case w.ExpectedHigh <= 0:
		return Closure{Words: domain.Say("Not every part was weighed, and nothing is known to compare with.")}
	case meat < w.ExpectedLow:
		return Closure{Words: below}
	case meat > w.ExpectedHigh:
		return Closure{Words: above}
	}
	return Closure{AddsUp: true, Words: within}
}

// Neighbour is an animal that was on a table within the hour of another, and how
// far its own weights are off.
type Neighbour struct {
	Number domain.ShopNumber
	Closure
}

// MixUp lists the neighbours that are off the other way: where one lacks meat and
// the next has too much, a tub has changed owners (trade.md 6.9). Nothing comes
// back while the weights add up or cannot be closed.
func MixUp(c Closure, around []Neighbour) []Neighbour {
	if !c.Shown || c.AddsUp {
		return nil
	}
	var found []Neighbour
	for _, n := range around {
		if n.Shown && !n.AddsUp && (n.Off > 0) != (c.Off > 0) {
			found = append(found, n)
		}
	}
	return found
}
