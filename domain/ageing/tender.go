package ageing

import (
	"math"

	"coldrail/domain"
)

// rigor is how long after the kill tenderness begins to count. Common practice, no
// source; Dransfield et al. 1992 start the clock at pH 6.1.
const rigorHours = 24

// TenderRate returns how fast an animal becomes tender at 1 °C, per day, and
// whether it does at all.
//
//	beef, bison, veal, bull elk, bull moose   0.17   Dransfield et al. 1981 (beef)
//	deer, caribou, cow elk, cow moose,
//	lamb, goat                                0.21   Dransfield et al. 1981 (lamb)
//	pronghorn                                 0.40   calibrated to UW B-513R's 3 days
//	hog, wild hog, bear                       none   UW B-513R (pork); bear, wild hog common practice
//
// Source: Dransfield, Jones & MacFie (1981), Meat Sci. 5:139-147. No constant for
// venison is published; the lamb value is ours, a butcher may well argue. An elk
// or moose whose sex is not told counts as a cow.
func TenderRate(species domain.Species, class domain.Class) (perDay float64, tenders bool) {
	switch species {
	case domain.Hog, domain.WildHog, domain.Bear:
		return 0, false
	case domain.Pronghorn:
		return 0.40, true
	case domain.Beef, domain.Bison, domain.Veal:
		return 0.17, true
	case domain.Elk, domain.Moose:
		if class == domain.Bull {
			return 0.17, true
		}
	}
	return 0.21, true
}

// TenderFraction returns how much of all tenderness to be had is there:
//
//	F = 1 - exp(-S),  S = k1 * (days at 1 °C)
//
// The days are exposure.Dose.TenderDays.
//
// Source: first-order decay of toughness, Dransfield et al. 1981.
//
// Less than nothing, and what is no number, counts as 0.
func TenderFraction(perDay, daysAt1C float64) float64 {
	if hung := perDay * daysAt1C; hung > 0 {
		return -math.Expm1(-hung)
	}
	return 0
}

// daysFor is its inverse: the days at 1 °C a fraction takes, +Inf for 1.
func daysFor(perDay, fraction float64) float64 { return -math.Log1p(-fraction) / perDay }
