package cooler

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Band is what the air of a room calls for.
type Band string

// The four bands.
const (
	Fine     Band = "fine"
	Watch    Band = "watch"
	Freezing Band = "act" // meat freezes
	Incident Band = "incident"
)

// Limits are the edges of the bands. All are common practice around the published
// 40 °F of cold holding (USDA; science.md D.1). A shop may tighten them, and
// loosens them only with a reason kept.
type Limits struct {
	Freezes  domain.Celsius // below: meat freezes
	Chilly   domain.Celsius // below: watch
	Warm     domain.Celsius // above, for longer than WarmFor: watch
	WarmFor  time.Duration
	TooWarm  domain.Celsius // above, for longer than TooWarmFor: incident
	TooLong  time.Duration
	FarToo   domain.Celsius // above at all: incident
	Excused  time.Duration  // longest defrost or loading that excuses
	DefrostC domain.Celsius // a defrost stays at or below this
}

// Usual are the limits of readiness.md section 7. Common practice, no source, but
// for the 40 °F and its 2 h (USDA, science.md D.1).
var Usual = Limits{
	Freezes: domain.Fahrenheit(29), Chilly: domain.Fahrenheit(32),
	Warm: domain.Fahrenheit(38), WarmFor: time.Hour,
	TooWarm: domain.Fahrenheit(40), TooLong: 2 * time.Hour,
	FarToo: domain.Fahrenheit(45), Excused: time.Hour, DefrostC: domain.Fahrenheit(46),
}

// Window is a time in which warm air is expected: a defrost or a loading.
type Window struct {
	From, To time.Time
	Defrost  bool
}

// Finding is a band and what to do about it.
type Finding struct {
	Band  Band
	Since time.Time // when the air came into the state that calls for it
	Air   domain.Celsius
	Say   domain.Words
}

// tiny keeps 40 °F read in °F and turned to °C from counting as above 40 °F.
const tiny = 0.005

// At returns the band of a room at now from its readings up to then, with the
// limits l. Windows of at most l.Excused are left out of account, a defrost only
// while it stays at or below l.DefrostC.
func (l Limits) At(h *exposure.History, windows []Window, now time.Time) Finding {
	f := Finding{Air: h.At(now), Since: now}
	excused := l.excuses(windows, now, f.Air)
	warm, since := l.above(h, windows, l.Warm, now)
	tooWarm, sinceToo := l.above(h, windows, l.TooWarm, now)
	switch {
	case f.Air < l.Freezes-tiny:
		f.Band, f.Say = Freezing, domain.Say("The air is below %v: meat freezes. Turn the cooling down and move the coldest animals.", l.Freezes)
	case !excused && f.Air > l.FarToo+tiny:
		f.Band, f.Since = Incident, sinceToo
		f.Say = domain.Say("The air is above %v. Measure five animals: old, new, by the door, in the middle, at the far end.", l.FarToo)
	case !excused && tooWarm > l.TooLong:
		f.Band, f.Since = Incident, sinceToo
		f.Say = domain.Say("The air has been above %v for %.1f hours. Measure five animals: old, new, by the door, in the middle, at the far end.", l.TooWarm, tooWarm.Hours())
	case !excused && warm > l.WarmFor:
		f.Band, f.Since = Watch, since
		f.Say = domain.Say("The air has been above %v for %.1f hours. Check the door, the fans and the coil, and look again within the hour.", l.Warm, warm.Hours())
	case f.Air < l.Chilly-tiny:
		f.Band, f.Say = Watch, domain.Say("The air is below %v. Look again within the hour: meat freezes at %v.", l.Chilly, l.Freezes)
	default:
		f.Band, f.Say = Fine, domain.Say("The air is where it should be.")
	}
	return f
}

// Watched returns what must be said of a room without a sensor, or of one whose
// sensor has been silent for longer than silent.
func Watched(h *exposure.History, sensor bool, silent time.Duration, now time.Time) (say domain.Words, watched bool) {
	switch stale := h.Stale(now); {
	case !sensor:
		return domain.Say("Between rounds nobody is watching."), false
	case stale > silent:
		return domain.Say("The sensor has been silent for %.1f hours: nobody is watching.", stale.Hours()), false
	}
	return domain.Words{}, true
}

// excuses reports whether a window covers the instant with the air at c.
func (l Limits) excuses(windows []Window, at time.Time, c domain.Celsius) bool {
	for _, w := range windows {
		if !at.Before(w.From) && !at.After(w.To) && w.To.Sub(w.From) <= l.Excused &&
			(!w.Defrost || c <= l.DefrostC+tiny) {
			return true
		}
	}
	return false
}

// above returns how long before now the air has been above a limit without a
// break, excused readings left out of account, and since when.
func (l Limits) above(h *exposure.History, windows []Window, limit domain.Celsius, now time.Time) (time.Duration, time.Time) {
	limit += tiny
	if h.At(now) <= limit {
		return 0, now
	}
	since, warmer := now, h.At(now)
	readings := h.Readings()
	for i := len(readings) - 1; i >= 0; i-- {
		r := readings[i]
		if r.At.After(now) || l.excuses(windows, r.At, r.C) {
			continue
		}
		if r.C <= limit {
			// The straight line up from here passes the limit on its way.
			share := float64(limit-r.C) / float64(warmer-r.C)
			since = r.At.Add(time.Duration(share * float64(since.Sub(r.At))))
			break
		}
		since, warmer = r.At, r.C
	}
	return now.Sub(since), since
}
