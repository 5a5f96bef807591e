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

// Wet is the growth of a surface that stayed wet, in log10.
func (d Dose) Wet() float64 { return d.sum[wet] }

// Least is Wet by the slowest of the three models.
func (d Dose) Least() float64 { return d.sum[least] }

// Most is Wet by the fastest of the three models.
func (d Dose) Most() float64 { return d.sum[most] }

// Dry is the growth of a surface that stayed dry, in log10.
func (d Dose) Dry() float64 { return d.sum[dry] }

// EColi is the growth of E. coli O157:H7 without lag, in log10.
func (d Dose) EColi() float64 { return d.sum[eColi] }

// Salmonella is the growth of Salmonella without lag, in log10.
func (d Dose) Salmonella() float64 { return d.sum[salmonella] }

// MouldDays is the time in days of mould growth at 1.7 °C.
func (d Dose) MouldDays() float64 { return d.sum[mould] }

// TenderDays is the time in days of ageing at 1 °C, before any species' rate.
func (d Dose) TenderDays() float64 { return d.sum[tender] }

// DegreeDays is the integral of the deep temperature above 0 °C, in °C·d.
func (d Dose) DegreeDays() float64 { return d.sum[degrees] }

// Above is the time the surface was warmer than each of Edges.
func (d Dose) Above() [len(Edges)]time.Duration {
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
