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
	a = a.sound()
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

// soft is bend for what is only foreseen; settled is when the rest of a
// carcass's heat no longer counts. Together below 0.1 % of a day's growth.
const (
	soft    = 0.01 // °C
	settled = 0.01 // °C
)

// When returns the moment at which s, counted from the later of now and start,
// reaches need; ok is false when that is not within limit of now.
func (a Ahead) When(s Sum, need float64, start time.Time, limit time.Duration) (at time.Time, ok bool) {
	if need <= 0 {
		return a.Now, true
	}
	a = a.sound()
	need /= s.share
	last, t := limit.Hours(), max(0, hours(start)-hours(a.Now))
	rest := a.rest(t)
	for have := 0.0; t < last; {
		step, then := last-t, 0.0
		if size := math.Abs(rest); size > settled {
			step = min(step, a.Tau*math.Sqrt(8*soft/size))
			then = rest * math.Exp(-step/a.Tau)
		} else {
			rest = 0
		}
		got := a.takes(s.rate, rest, then, step)
		if have+got >= need {
			t += a.within(s.rate, rest, step, need-have, got)
			return a.Now.Add(duration(t)), true
		}
		have, t, rest = have+got, t+step, then
	}
	return time.Time{}, false
}

// rest returns how far the deep temperature is from the air after t hours.
func (a Ahead) rest(t float64) float64 {
	if a.Tau == 0 {
		return 0
	}
	return float64(a.Deep-a.Air) * math.Exp(-t/a.Tau)
}

// takes returns the integral of one rate over a step so short that the
// temperature is straight in it, from one rest to the next.
func (a Ahead) takes(rate int, from, to, step float64) float64 {
	keeps := SurfaceShare
	if rate >= surfaceRates {
		keeps = 1
	}
	var sum [rateCount]float64
	addMean(&sum, rate, rate+1, float64(a.Air)+keeps*from, float64(a.Air)+keeps*to, step/24)
	return sum[rate]
}

// within returns how far into a step, which takes got, need is reached, by the
// secant rule.
func (a Ahead) within(rate int, rest, step, need, got float64) float64 {
	low, high, had, has := 0.0, step, 0.0, got
	for range 4 {
		if rest == 0 || has-had < 1e-9 || high-low < 1e-6 {
			break // at a steady temperature the first guess is right
		}
		mid := low + (high-low)*(need-had)/(has-had)
		if took := a.takes(rate, rest, rest*math.Exp(-mid/a.Tau), mid); took >= need {
			high, has = mid, took
		} else {
			low, had = mid, took
		}
	}
	return low + (high-low)*(need-had)/(has-had)
}
