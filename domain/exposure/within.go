package exposure

import (
	"math"

	"coldrail/domain"
)

// upTo returns t, or most where it is warmer or no number at all: a broken figure
// counts as the warm end, so that it never makes meat look better.
func upTo(t, most domain.Celsius) domain.Celsius {
	if t <= most {
		return t
	}
	return most
}

// Within holds a temperature to what a reading may be, MinCelsius to MaxCelsius;
// what is no number counts as MaxCelsius.
func Within(t domain.Celsius) domain.Celsius { return max(MinCelsius, upTo(t, MaxCelsius)) }

// The time constants a carcass may have, in hours: those of Tau lie well inside.
const (
	shortestTau = 0.1
	longestTau  = 200.0
)

// sound holds a carcass to what can be; what is no number counts as the slowest to
// cool and the warmest.
func (c Carcass) sound() Carcass {
	if !(c.Tau <= longestTau) {
		c.Tau = longestTau
	}
	return Carcass{max(c.Tau, shortestTau), Within(c.Deep)}
}

// sound is the same for a carcass from now on; its Tau may be 0.
func (a Ahead) sound() Ahead {
	if a.Tau != 0 {
		a.Tau = Carcass{Tau: a.Tau}.sound().Tau
	}
	a.Air, a.Deep = Within(a.Air), Within(a.Deep)
	return a
}

// finite returns v, or 0 where it is no number.
func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}
