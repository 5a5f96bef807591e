package exposure

import "coldrail/domain"

// Cardinal temperatures of one mould: growth per day at the best temperature,
// and the coldest, best and warmest temperature it grows at.
type Cardinal struct {
	Best                  float64 // growth at Opt, in the unit of the result
	Coldest, Opt, Warmest domain.Celsius
}

// Expansum is Penicillium expansum on agar, mm per day: a stand-in for the moulds
// of a cold room, for which no growth curve on meat is published.
//
// Source: Judet-Correia et al. (2010), Int. J. Food Microbiol. 142:106-113.
var Expansum = Cardinal{2.4, -4.4, 23.9, 32.5}

// Rate returns the growth at t by the cardinal temperature model:
//
//	r = Best (T-Tmax)(T-Tmin)^2 / ((Topt-Tmin)((Topt-Tmin)(T-Topt) - (Topt-Tmax)(Topt+Tmin-2T)))
//
// 0 at and outside the coldest and the warmest temperature.
//
// Source: Rosso et al. (1993), J. Theor. Biol. 162:447-463.
func (m Cardinal) Rate(t domain.Celsius) float64 {
	if !(t > m.Coldest && t < m.Warmest) {
		return 0
	}
	x, low, opt, high := float64(t), float64(m.Coldest), float64(m.Opt), float64(m.Warmest)
	return finite(m.Best * (x - high) * square(x-low) /
		((opt - low) * ((opt-low)*(x-opt) - (opt-high)*(opt+low-2*x))))
}

// mouldReference is the usual room the shop's mould prior is stated for: 35 °F.
// Common practice, no source (readiness.md section 9).
const mouldReference domain.Celsius = 1.7

var mouldAtReference = Expansum.Rate(mouldReference)

// MouldPace returns how many days of mould growth at 1.7 °C one day at t is worth.
func MouldPace(t domain.Celsius) float64 { return Expansum.Rate(t) / mouldAtReference }
