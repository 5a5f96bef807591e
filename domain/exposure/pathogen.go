package exposure

import (
	"math"

	"coldrail/domain"
)

// Below these the growth is taken as none, whatever the fitted line says.
const (
	coldestEColi      = 6.0 // °C, ground beef, ten O157 strains (2005 study, science.md C.1)
	coldestSalmonella = 5.2 // °C, FDA Fish and Fishery Products Hazards, Appendix 4 (41.4 °F)
	warmestSalmonella = 36  // °C, the polynomial turns down beyond it; warmer counts as this
)

// EColiRate returns the growth of E. coli O157:H7, in log10 per day, without lag:
//
//	mu = (0.0362 (T - 4.10))^2        mu in 1/h, 5 to 37 °C
//
// 0 below 6 °C. Above 37 °C it goes on rising, which errs on the side of asking
// for the probe.
//
// Source: Huang (2011), Food Microbiol. 28:770-776, raw ground beef.
func EColiRate(t domain.Celsius) float64 {
	if t < coldestEColi {
		return 0
	}
	return square(0.0362*(float64(upTo(t, MaxCelsius))-4.10)) * naturals
}

// SalmonellaRate returns the growth of Salmonella on meat at pH 6.0 and water
// activity 0.993, in log10 per day, without lag; with b = sqrt(1 - aw):
//
//	ln mu = -11.909 + 0.3649 T + 1.7832 pH + 7.00019 b - 0.00442 T pH
//	        - 0.00458 T^2 - 0.12539 pH^2 - 62.114 b^2        mu in 1/h, 7 to 40 °C
//
// 0 below 5.2 °C; above 36 °C it counts as 36 °C.
//
// Source: EFSA BIOHAZ (2014), EFSA Journal 12(3):3601.
func SalmonellaRate(t domain.Celsius) float64 {
	if t < coldestSalmonella {
		return 0
	}
	const pH, aw = 6.0, 0.993
	c, b := float64(upTo(t, warmestSalmonella)), math.Sqrt(1-aw)
	lnMu := -11.909 + 0.3649*c + 1.7832*pH + 7.00019*b - 0.00442*c*pH -
		0.00458*c*c - 0.12539*pH*pH - 62.114*b*b
	return math.Exp(lnMu) * naturals
}
