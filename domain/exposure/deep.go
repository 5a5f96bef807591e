package exposure

import (
	"math"
	"time"

	"coldrail/domain"
)

// SurfaceShare is the part of the difference between bone and air that the
// surface keeps: Tsurface = Tair + 0.3 (Tdeep - Tair). Common practice, no
// source (readiness.md section 3).
const SurfaceShare = 0.3

// The heat of a carcass in a walk-in.
const (
	leanSide7    = 19.0  // h for a lean 100 kg side to 7 °C in 0 °C air at 0.75 m/s: Kerens & Visser 1978, in James & James 2002 p. 105
	sideExponent = 0.66  // its growth with the weight of the side, from the same table (100 and 125 kg)
	lagNumber    = 2.005 // ln(1.35 * 38.5/7): turns the time to 7 °C into a time constant, lag factor 1.35
	slowAir      = 1.7   // a walk-in's air is slower than 0.75 m/s. Common practice, no source
	hideSlows    = 2.0   // hide on. Common practice, no source
	bonedTau     = 20.0  // h, tub or bag of boned meat. Common practice, no source
)

// Tau returns the time constant with which the deep temperature follows the air,
// in hours:
//
//	tau = 1.7 * 19.0 (m/100)^0.66 / 2.005
//
// m is half the hanging weight in kg, a quarter of it for quarters. Hide on
// doubles it; boned meat has 20 h whatever its weight. Valid for 1 to 1500 kg;
// less counts as 1 kg; more, and what is no number, as 1500 kg, which cools slowest.
// Whoever takes a weight from a person refuses it first, as ageing.Judge does.
//
// Source: Kerens & Visser 1978 in James & James, Meat Refrigeration (2002)
// p. 105, scaled as in science.md F.2. A butcher would argue with one constant
// for the whole carcass: the neck is sooner cold, the hip later.
func Tau(kg domain.Kilogram, form domain.Form) float64 {
	if !(kg <= 1500) {
		kg = 1500
	}
	kg = max(kg, 1)
	side := float64(kg) / 2
	switch form {
	case domain.Boned:
		return bonedTau
	case domain.Quarters:
		side = float64(kg) / 4
	}
	tau := slowAir * leanSide7 * math.Pow(side/100, sideExponent) / lagNumber
	if form == domain.WholeHideOn {
		tau *= hideSlows
	}
	return tau
}

// DeepAtDoor returns the deep temperature assumed where none was taken: 35 °C if
// killed less than 24 h before, else the warmer of 10 °C and the air. Common
// practice, no source (readiness.md section 3).
func DeepAtDoor(killed, received time.Time, air domain.Celsius) domain.Celsius {
	if received.Sub(killed) < 24*time.Hour {
		return 35
	}
	return max(10, Within(air))
}

// Surface returns the temperature of the meat's surface.
func Surface(air, deep domain.Celsius) domain.Celsius {
	air, deep = Within(air), Within(deep)
	return air + SurfaceShare*(deep-air)
}

// ramp is one straight stretch of air and the carcass in it: the exact solution
// of dTdeep/dt = (Tair - Tdeep)/tau for Tair = air + slope t is
//
//	Tdeep(t) = air + slope (t - tau) + rest e^(-t/tau),  rest = Tdeep(0) - air + slope tau
type ramp struct {
	air, slope, tau, rest float64
}

// newRamp takes °C, °C/h and h. A tau of 0 means the meat is at the reading.
func newRamp(air, slope, deep, tau float64) ramp {
	return ramp{air, slope, tau, deep - air + slope*tau}
}

// deep returns the deep temperature after t hours.
func (r ramp) deep(t float64) float64 {
	air := r.air + r.slope*t
	if r.tau == 0 {
		return air
	}
	return air - r.slope*r.tau + r.rest*math.Exp(-t/r.tau)
}

// surface returns the surface temperature after t hours.
func (r ramp) surface(t float64) float64 {
	air := r.air + r.slope*t
	return air + SurfaceShare*(r.deep(t)-air)
}

// straight returns for how long both temperatures leave their chord by no more
// than bend, left being what remains of rest: left (h/tau)^2 / 8 <= bend.
func (r ramp) straight(left, bend float64) float64 {
	left = math.Abs(left)
	if r.tau == 0 || left < 8*bend*1e-6 {
		return math.Inf(1)
	}
	return r.tau * math.Sqrt(8*bend/left)
}

// reaches returns when f passes level between the hours a and b, on whose two
// sides it lies, by halving.
func reaches(f func(float64) float64, level, a, b float64) float64 {
	rising := f(b) > level
	for range 32 {
		mid := (a + b) / 2
		if (f(mid) > level) == rising {
			b = mid
		} else {
			a = mid
		}
	}
	return b
}
