package rail

import (
	"math"
	"slices"

	"coldrail/domain"
)

// Kind says what a rail is for.
type Kind string

// The kinds of rail.
const (
	Bare      Kind = "bare" // skinned game
	HideOn    Kind = "hide-on"
	Livestock Kind = "livestock"
	Hold      Kind = "hold"
	Shelf     Kind = "shelf" // tubs and bags
)

// Kinds lists every kind.
var Kinds = []Kind{Bare, HideOn, Livestock, Hold, Shelf}

// Hung is what hangs on one place: a carcass, or a side or quarter of one.
type Hung struct {
	Number   domain.ShopNumber
	Species  domain.Species
	Form     domain.Form
	Held     bool
	Position int // from the door, 1 first; 0 while it waits for a place
}

// Rail is one rail with its places and what hangs there. Rails come in order
// from the door.
type Rail struct {
	Name   string
	Kind   Kind
	Length domain.Metre
	Places []int // positions in service
	Hung   []Hung
}

// PlaceWeight returns how many deer places a carcass takes.
//
//	deer 1, hide-on deer 1.4, beef side 2, hog half 1, lamb 0.7
//
// Trade.md 5.1, common practice, no source. Elk, moose and bison hang as sides
// like beef; a quarter of those takes 1, a quarter of anything smaller 0.5, a
// tub 1 of its shelf; other hide-on animals take 1.4 times their own [C].
func PlaceWeight(s domain.Species, f domain.Form) float64 {
	whole := 1.0
	switch s {
	case domain.Beef, domain.Bison, domain.Elk, domain.Moose:
		whole = 2
	case domain.Lamb, domain.Goat:
		whole = 0.7
	}
	switch f {
	case domain.WholeHideOn:
		return whole * 1.4
	case domain.Quarters:
		return math.Max(0.5, whole/2)
	case domain.Boned:
		return 1
	}
	return whole
}

// Weight returns the deer places taken: a held animal counts the empty place
// kept beside it as well.
func (h Hung) Weight() float64 {
	w := PlaceWeight(h.Species, h.Form)
	if h.Held {
		w++
	}
	return w
}

// Taken returns the deer places taken on the rail.
func (r Rail) Taken() float64 {
	sum := 0.0
	for _, h := range r.Hung {
		sum += h.Weight()
	}
	return sum
}

// PercentFull returns how full the rails are together, in percent of their
// places. Above 100 they hang closer than they should. Without places it is 0.
func PercentFull(rails []Rail) float64 {
	taken, places := totals(rails)
	if places == 0 {
		return 0
	}
	return 100 * taken / places
}

// DaysUntilFull returns how many days the free places last when in deer places
// come and out go each day. The second result is false where the rails do not
// fill: as much goes as comes.
func DaysUntilFull(rails []Rail, in, out float64) (days float64, fills bool) {
	taken, places := totals(rails)
	switch {
	case taken >= places:
		return 0, true
	case !(in > out): // a NaN fills nothing
		return 0, false
	}
	return (places - taken) / (in - out), true
}

func totals(rails []Rail) (taken, places float64) {
	for _, r := range rails {
		taken += r.Taken()
		places += float64(len(r.Places))
	}
	return taken, places
}

// Spot is where a tag is drawn along its rail.
type Spot struct {
	Hung
	Centre float64 // share of the rail's length from the door, 0 to 1
	Width  float64 // share of the rail's length
}

// Drawn returns what hangs on the rail in order from the door, to scale: hook n
// of the highest N stands at (n - 1/2)/N of the length, as wide as its weight,
// narrowed so that neighbours do not lie on each other. Several on one hook
// share its width.
func (r Rail) Drawn() []Spot {
	hung := slices.Clone(r.Hung)
	slices.SortStableFunc(hung, func(a, b Hung) int { return a.Position - b.Position })
	last := 1
	for _, p := range r.Places {
		last = max(last, p)
	}
	for _, h := range hung {
		last = max(last, h.Position)
	}
	spots := make([]Spot, len(hung))
	for i, h := range hung {
		spots[i] = Spot{h, (float64(h.Position) - 0.5) / float64(last), PlaceWeight(h.Species, h.Form) / float64(last)}
	}
	spread(spots, last)
	for i := 1; i < len(spots); i++ {
		a, b := &spots[i-1], &spots[i]
		if over := (a.Width+b.Width)/2 - (b.Centre - a.Centre); over > 0 {
			fit := (b.Centre - a.Centre) / ((a.Width + b.Width) / 2)
			a.Width, b.Width = a.Width*fit, b.Width*fit
		}
	}
	return spots
}

// spread sets the tags that share one hook side by side within it.
func spread(spots []Spot, last int) {
	for i := 0; i < len(spots); {
		j := i
		for j < len(spots) && spots[j].Position == spots[i].Position {
			j++
		}
		if n := j - i; n > 1 {
			step := 1 / float64(last*n)
			from := spots[i].Centre - step*float64(n-1)/2
			for k := range n {
				spots[i+k].Centre, spots[i+k].Width = from+step*float64(k), step
			}
		}
		i = j
	}
}
