package learn

import (
	"math"
	"slices"
)

// Enough is how many finished animals of a class it takes until the shop's own
// number replaces the table's (readiness.md section 12; common practice, no source).
const Enough = 20

// Own is what the shop's own animals say of one number.
type Own struct {
	Count   int // animals behind it
	LeftOut int // animals whose number cannot be: a weight or a time mistyped

	Low, Median, High float64 // the 10, 50 and 90 % points of the animals
	From, To          float64 // where the median itself lies, with Sure or more
}

// Sure is how sure the interval of the median is, at least.
const Sure = 0.95

// Range is what a number can be at all; outside it is left out and counted.
type Range struct{ Least, Most float64 }

// Of sums up the numbers of the animals:
//
//	Low, Median, High  the 10, 50, 90 % points by linear interpolation between ranks,
//	                   x(1+(n-1)p): definition 7 of Hyndman & Fan
//	From, To           the j-th smallest and the j-th largest, j the largest for which
//	                   1 - 2 P(Bin(n, 1/2) < j) is at least 0.95; with fewer than 6
//	                   animals there is no such j, and they are the extremes
//
// Numbers outside possible, or not finite, are left out and counted. Of nothing is
// the zero Own. The interval assumes nothing about the shape of the spread, only
// that the animals do not depend on each other.
//
// Sources: Hyndman & Fan (1996), The American Statistician 50:361-365; the median's
// interval by order statistics: Conover, Practical Nonparametric Statistics, 3rd ed.,
// section 3.2 (from memory).
func Of(values []float64, possible Range) Own {
	var o Own
	kept := make([]float64, 0, len(values))
	for _, v := range values {
		if !(v >= possible.Least && v <= possible.Most) {
			o.LeftOut++
			continue
		}
		kept = append(kept, v)
	}
	if o.Count = len(kept); o.Count == 0 {
		return o
	}
	slices.Sort(kept)
	o.Low, o.Median, o.High = quantile(kept, 0.1), quantile(kept, 0.5), quantile(kept, 0.9)
	j := rank(o.Count)
	o.From, o.To = kept[j-1], kept[o.Count-j]
	return o
}

// InUse reports whether the shop's own number is used: enough animals, and the
// owner has not gone back to the table. Chosen is nil where the owner chose nothing.
func (o Own) InUse(chosen *bool) bool {
	return o.Count >= Enough && (chosen == nil || *chosen)
}

// quantile is definition 7 of Hyndman & Fan on sorted values.
func quantile(sorted []float64, p float64) float64 {
	h := float64(len(sorted)-1) * p
	i := int(math.Floor(h))
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (h-float64(i))*(sorted[i+1]-sorted[i])
}

// rank is the j of Of: 1 for few animals.
func rank(n int) int {
	below, term, j := 0.0, math.Exp2(-float64(n)), 0 // P(Bin(n, 1/2) = 0)
	for j < n/2 {
		below += term
		if 1-2*below < Sure {
			break
		}
		j++
		term *= float64(n-j+1) / float64(j)
	}
	return max(j, 1)
}

// Measure is a kind of number that is learned.
type Measure string

// The measures. Each has kinds of its own: a class of animals, a way of hanging, a
// kind of work.
const (
	Yield   Measure = "yield"   // boneless meat as a part of the weight
	Shrink  Measure = "shrink"  // loss while hanging, as a multiple of the table's
	Mould   Measure = "mould"   // when growth is first seen, and its pace
	Minutes Measure = "minutes" // of one person at the table
)

// Measures lists them.
var Measures = []Measure{Yield, Shrink, Mould, Minutes}

// Possible is what a number of each measure can be at all; outside it a weight or
// a time was mistyped, and the animal is left out and counted. Common practice, no
// source: no animal gives less than a tenth or more than nine tenths of its weight
// in boneless meat; a closure that finds no loss or five times the table's has
// lost a tub; nobody cuts a carcass in two minutes or for two days.
func Possible(m Measure, kind string) Range {
	switch {
	case m == Yield:
		return Range{0.10, 0.90}
	case m == Shrink:
		return Range{0, 5}
	case m == Mould && kind == MouldPace:
		return Range{0.05, 5} // mm a scaled day
	case m == Mould:
		return Range{1, 60} // scaled days
	case kind == PerKg:
		return Range{0.05, 10} // min/kg
	}
	return Range{2, 2880} // min
}

// The kinds of the mould measure, and of minutes that go by the weight.
const (
	MouldPace  = "pace"
	MouldFirst = "first-day"
	PerKg      = "heavy"
)
