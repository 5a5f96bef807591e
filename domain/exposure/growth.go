package exposure

import (
	"math"

	"coldrail/domain"
)

// Where the wet and dry growth rates stop and stop rising (readiness.md
// section 5).
const (
	freezing    = -1.5 // °C, meat freezes; no growth below
	warmestWet  = 25   // °C, where the fitted data of Gill & Jones end; warmer counts as this
	fastFrom    = 3    // °C, above it the faster of two models warns
	freshMeatPH = 5.7
	leastPH     = 5 // lower counts as this
	mostPH      = 7 // higher, or no number, counts as this
	highestLog  = 9 // log10/cm2, the level growth ends at (from memory of several papers)
)

// Doublings per hour and ln-rates per hour as log10 per day (science.md section 0).
const (
	doublings = 24 * 0.30103
	naturals  = 24 / 2.302585
)

var lnMu0 = math.Log(0.056) // 1/h at 0 °C and pH 5.7, Koutsoumanis et al. 2006

// KoutsoumanisRate returns the growth of pseudomonads on fresh chilled meat, in
// log10 per day:
//
//	ln mu = ln 0.056 - 0.451 (5.7 - pH) - (69.3/0.00831) (1/(T+273) - 1/273)      mu in 1/h
//
// Fitted for 0 to 20 °C and pH 5.34 to 6.13; the program uses it from -1.5 to
// 25 °C, where it bends away from no other model by more than a half. Outside -40
// to 60 °C and pH 5 to 7 the nearer end counts; what is no number counts as the
// warm end, here and in every rate below.
//
// Source: Koutsoumanis et al. (2006), Appl. Environ. Microbiol. 72:124-134.
func KoutsoumanisRate(t domain.Celsius, pH float64) float64 {
	t = Within(t)
	if !(pH <= mostPH) {
		pH = mostPH
	}
	pH = max(pH, leastPH)
	lnMu := lnMu0 - 0.451*(freshMeatPH-pH) - 69.3/0.00831*(1/(float64(t)+273)-1/273.0)
	return math.Exp(lnMu) * naturals
}

// GillJonesRate returns the same by another laboratory, in log10 per day:
//
//	generations per hour = (0.033 T + 0.27)^2        -2 to 25 °C, 0 below -8.2 °C
//
// Source: Gill & Jones (1992), Food Microbiol. 9:335-343.
func GillJonesRate(t domain.Celsius) float64 {
	return square(max(0, 0.033*float64(Within(t))+0.27)) * doublings
}

// NeumeyerRate returns the same by a third, with water activity aw, in log10 per
// day:
//
//	generations per hour = (0.03346 (T + 7.7))^2 (aw - 0.947)/(0.995 - 0.947)
//
// -0.4 to 28 °C; 0 below -7.7 °C and at or below aw 0.947.
//
// Source: Neumeyer, Ross & McMeekin (1997), Int. J. Food Microbiol. 38:45-54;
// the multiplier is normalised as science.md B.1 explains.
func NeumeyerRate(t domain.Celsius, aw float64) float64 {
	wet := 1.0
	if aw <= 0.995 {
		wet = max(0, (aw-0.947)/(0.995-0.947))
	}
	return square(max(0, 0.03346*(float64(Within(t))+7.7))) * doublings * wet
}

// WetRate returns the growth counted on a wet surface, in log10 per day:
// KoutsoumanisRate, above 3 °C the larger of it and GillJonesRate, because a
// warning must not come late. 0 below -1.5 °C; above 25 °C it counts as 25 °C.
func WetRate(t domain.Celsius) float64 {
	if t < freezing {
		return 0
	}
	t = upTo(t, warmestWet)
	rate := KoutsoumanisRate(t, freshMeatPH)
	if t > fastFrom {
		rate = max(rate, GillJonesRate(t))
	}
	return rate
}

// LeastRate and MostRate are the slowest and the fastest of the three models, in
// log10 per day, with the limits of WetRate: the range a person is shown.
func LeastRate(t domain.Celsius) float64 {
	if t < freezing {
		return 0
	}
	t = upTo(t, warmestWet)
	return min(KoutsoumanisRate(t, freshMeatPH), GillJonesRate(t), NeumeyerRate(t, 0.995))
}

// MostRate is the fastest of the three models; see LeastRate.
func MostRate(t domain.Celsius) float64 {
	if t < freezing {
		return 0
	}
	t = upTo(t, warmestWet)
	return max(KoutsoumanisRate(t, freshMeatPH), GillJonesRate(t), NeumeyerRate(t, 0.995))
}

// DryRate returns the growth on a dry, leathery surface, in log10 per day:
//
//	r = 0.0640 ((T + 7.6)/7.6)^2
//
// 0 below -1.5 °C; above 25 °C it counts as 25 °C. The constant reproduces the
// days EFSA allows at water activity 0.955.
//
// Source: EFSA BIOHAZ (2023), EFSA Journal 21(1):7745, Table F.1; fit in
// science.md B.3. A butcher would argue that no carcass is dry in every fold.
func DryRate(t domain.Celsius) float64 {
	if t < freezing {
		return 0
	}
	return 0.0640 * square((float64(upTo(t, warmestWet))+7.6)/7.6)
}

func square(x float64) float64 { return x * x }
