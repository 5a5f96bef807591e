package exposure

import (
	"time"

	"coldrail/domain"
)

// Edges are the temperatures above which a surface's hours are counted: 40 °F,
// the Food Code's 41 °F, the 7 °C of EU game rules, 50 °F and 70 °F.
var Edges = [5]domain.Celsius{4.4, 5, 7, 10, 21.1}

// The rates whose integrals are kept. The first seven follow the surface, the
// last two the deep temperature.
const (
	wet = iota
	least
	most
	dry
	eColi
	salmonella
	mould
	tender
	degrees
	rateCount
	surfaceRates = tender // rates[:surfaceRates] follow the surface
)

var rates = [rateCount]func(domain.Celsius) float64{
	WetRate, LeastRate, MostRate, DryRate, EColiRate, SalmonellaRate, MouldPace, TenderPace, warmth,
}

// Dose is what a stretch of time did to a carcass: the integrals of every rate.
// Doses of stretches that follow each other add up to the dose of the whole.
type Dose struct {
	sum   [rateCount]float64  // per day, so log10, scaled days or °C·d
	above [len(Edges)]float64 // hours
}

// Sum names one integral of a Dose, or a share of one.
type Sum struct {
	rate  int
	share float64
}

// The integrals.
var (
	Wet        = Sum{wet, 1}        // growth of a surface that stays wet, log10
	Least      = Sum{least, 1}      // the same by the slowest of the three models
	Most       = Sum{most, 1}       // the same by the fastest
	Dry        = Sum{dry, 1}        // growth of a surface that stays dry, log10
	EColi      = Sum{eColi, 1}      // E. coli O157:H7 without lag, log10
	Salmonella = Sum{salmonella, 1} // Salmonella without lag, log10
	MouldDays  = Sum{mould, 1}      // days of mould growth at 1.7 °C
	TenderDays = Sum{tender, 1}     // days of ageing at 1 °C, before any species' rate
	DegreeDays = Sum{degrees, 1}    // deep temperature above 0 °C, °C·d
)

// Times returns a share of s: half the growth of a wet surface is Wet.Times(0.5).
// A share is from 0 to 1; less counts as 0, more, and what is no number, as 1.
func (s Sum) Times(share float64) Sum {
	if !(share <= 1) {
		share = 1
	}
	return Sum{s.rate, s.share * max(share, 0)}
}

// Of returns the integral s of the dose.
func (d *Dose) Of(s Sum) float64 { return s.share * d.sum[s.rate] }

// Above is the time the surface was warmer than each of Edges.
func (d *Dose) Above() [len(Edges)]time.Duration {
	var spans [len(Edges)]time.Duration
	for i, h := range d.above {
		spans[i] = duration(h)
	}
	return spans
}

// Plus returns the dose of two stretches together.
func (d Dose) Plus(e Dose) Dose {
	for i := range d.sum {
		d.sum[i] += e.sum[i]
	}
	for i := range d.above {
		d.above[i] += e.above[i]
	}
	return d
}

// Minus returns what remains of d after its earlier part e.
func (d Dose) Minus(e Dose) Dose {
	for i := range d.sum {
		d.sum[i] -= e.sum[i]
	}
	for i := range d.above {
		d.above[i] -= e.above[i]
	}
	return d
}

// blend moves d by share of the way towards e.
func (d *Dose) blend(e *Dose, share float64) {
	for i := range d.sum {
		d.sum[i] += share * (e.sum[i] - d.sum[i])
	}
	for i := range d.above {
		d.above[i] += share * (e.above[i] - d.above[i])
	}
}
