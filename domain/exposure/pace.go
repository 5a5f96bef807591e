package exposure

import (
	"math"

	"coldrail/domain"
)

// TenderPace returns how many days at 1 °C one day of ageing at t is worth:
//
//	pace = 10^((T - 1)/29)
//
// the straight line through "thirty degrees is ten times one degree". 0 below
// -1.5 °C (ageing stops when frozen); above 30 °C it counts as 30 °C.
//
// Source: Dransfield, Wakefield & Parkman (1992), Meat Sci. 31:57-73; the stop at
// freezing is common practice, no source.
func TenderPace(t domain.Celsius) float64 {
	if !(t >= freezing) { // what is no number makes nothing tender
		return 0
	}
	return math.Pow(10, float64(min(t, 30)-1)/29)
}

// warmth is the part of t above 0 °C, whose integral is shown as degree-days.
func warmth(t domain.Celsius) float64 { return float64(max(t, 0)) }
