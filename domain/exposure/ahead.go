package exposure

import (
	"math"
	"time"

	"coldrail/domain"
)

// Ahead is a carcass from now on, in air that stays as it is.
type Ahead struct {
	Now  time.Time
	Air  domain.Celsius
	Deep domain.Celsius // now
	Tau  float64        // hours; 0: the meat is at Air
}

// Cold returns when the deep temperature is at or below ColdEnough: since is
// when that begins and until when it ends, either within the limit or not at
// all (ok false). A zero until means it stays so.
func (a Ahead) Cold(limit time.Duration) (since, until time.Time, ok bool) {
	air, deep, edge := float64(a.Air), float64(a.Deep), float64(ColdEnough)
	if a.Tau == 0 {
		switch {
		case deep <= edge && air > edge:
			return a.Now, a.Now, true
		case air <= edge:
			return a.Now, time.Time{}, true
		}
		return time.Time{}, time.Time{}, false
	}
	// Air + (Deep - Air) e^(-t/tau) = edge
	cross := a.Tau * math.Log((deep-air)/(edge-air))
	switch {
	case deep <= edge && air <= edge:
		return a.Now, time.Time{}, true
	case deep <= edge:
		return a.Now, a.Now.Add(duration(cross)), true
	case air >= edge || cross > limit.Hours():
		return time.Time{}, time.Time{}, false
	}
	return a.Now.Add(duration(cross)), time.Time{}, true
}

// When returns the moment from which on the part of the dose that of picks has
// reached need, counted from the later of now and start; ok is false when that
// is not within limit of now.
func (a Ahead) When(of func(Dose) float64, need float64, start time.Time, limit time.Duration) (at time.Time, ok bool) {
	if need <= 0 {
		return a.Now, true
	}
	c := carcass{deep: float64(a.Deep), tau: a.Tau, chilled: math.NaN()}
	if a.Tau == 0 {
		c.deep = float64(a.Air)
	}
	if wait := max(0, hours(start)-hours(a.Now)); wait > 0 {
		c.ride(float64(a.Air), float64(a.Air), wait)
		c.dose = Dose{}
	}
	for c.at < limit.Hours() {
		before := c
		r := newRamp(float64(a.Air), 0, c.deep, c.tau)
		c.ride(float64(a.Air), float64(a.Air), min(r.straight(r.rest, bend), limit.Hours()-c.at))
		if of(c.dose) >= need {
			return a.Now.Add(duration(before.at + within(before, c, of, need, float64(a.Air)))), true
		}
	}
	return time.Time{}, false
}

// within returns how far into the stretch from a to b need is reached, by the
// secant rule on the carcass itself.
func within(a, b carcass, of func(Dose) float64, need, air float64) float64 {
	low, high := 0.0, b.at-a.at
	have, reached := of(a.dose), of(b.dose)
	for range 4 {
		mid := low + (high-low)*(need-have)/(reached-have)
		try := a
		try.ride(air, air, mid)
		if got := of(try.dose); got >= need {
			high, reached = mid, got
		} else {
			low, have = mid, got
		}
		if reached-have < 1e-12 || high-low < 1e-7 {
			break
		}
	}
	return high
}
