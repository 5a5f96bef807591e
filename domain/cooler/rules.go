package cooler

import (
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Rules are a room's own limits and defrosts, from a moment on.
type Rules struct {
	Limits
	Defrosts []int     // minutes after midnight by the shop's clock, rising
	From     time.Time // zero: always
	Reason   string
	By       string // initials
}

// The range of a shop's own limits. Common practice, no source: beyond 50 °F or
// four hours a rule would call nothing that matters.
const (
	longestRule   = 4 * time.Hour
	mostDefrosts  = 8
	defrostsApart = 120 // minutes
)

// Check refuses rules nobody can keep, with the field named, and such as are
// looser than Usual without a reason. Tighter ones need none.
func (r Rules) Check() error {
	most := domain.Fahrenheit(50) + tiny
	switch {
	case !(r.Warm >= r.Chilly && r.Warm <= most): // a NaN fails too
		return domain.Wrong("warm", "The first limit lies between %s and %s.", r.Chilly, domain.Fahrenheit(50))
	case !(r.TooWarm >= r.Warm && r.TooWarm <= most):
		return domain.Wrong("too_warm", "The second limit lies between the first and %s.", domain.Fahrenheit(50))
	case !(r.FarToo >= r.TooWarm && r.FarToo <= most):
		return domain.Wrong("far_too", "The last limit lies between the second and %s.", domain.Fahrenheit(50))
	case r.WarmFor < 0 || r.WarmFor > longestRule:
		return domain.Wrong("warm_for", "From 0 to 240 minutes.")
	case r.TooLong < 0 || r.TooLong > longestRule:
		return domain.Wrong("too_long", "From 0 to 240 minutes.")
	case r.looser() && strings.TrimSpace(r.Reason) == "":
		return domain.Wrong("reason", "This is looser than usual. Say why, for whoever asks later.")
	}
	return r.checkDefrosts()
}

func (r Rules) checkDefrosts() error {
	if len(r.Defrosts) > mostDefrosts {
		return domain.Wrong("defrosts", "At most %d defrosts a day.", mostDefrosts)
	}
	for i, at := range r.Defrosts {
		next := r.Defrosts[(i+1)%len(r.Defrosts)]
		if i == len(r.Defrosts)-1 {
			next += 24 * 60
		}
		switch {
		case at < 0 || at >= 24*60:
			return domain.Wrong("defrosts", "A defrost begins between 00:00 and 23:59.")
		case len(r.Defrosts) > 1 && next-at < defrostsApart:
			return domain.Wrong("defrosts", "Two defrosts lie two hours apart at least.")
		}
	}
	return nil
}

// looser reports whether any limit calls later than the usual one.
func (r Rules) looser() bool {
	return r.Warm > Usual.Warm+tiny || r.WarmFor > Usual.WarmFor || r.TooWarm > Usual.TooWarm+tiny || r.TooLong > Usual.TooLong || r.FarToo > Usual.FarToo+tiny
}

// Windows lists the scheduled defrosts that touch the time between two moments,
// each as long as a defrost may excuse.
func (r Rules) Windows(from, to time.Time, zone *time.Location) []Window {
	var list []Window
	y, m, d := from.In(zone).Date()
	for day := d - 1; ; day++ {
		if time.Date(y, m, day, 0, 0, 0, 0, zone).After(to) {
			return list
		}
		for _, at := range r.Defrosts {
			begins := time.Date(y, m, day, 0, at, 0, 0, zone)
			if ends := begins.Add(r.Excused); ends.After(from) && !begins.After(to) {
				list = append(list, Window{begins, ends, true})
			}
		}
	}
}

// Book is all that is known of how a room is judged: its rules from the first to
// the one in force, its loadings, and the shop's clock.
type Book struct {
	Rules    []Rules // by From; none: Usual
	Loadings []Window
	Zone     *time.Location
}

// At returns the rules in force at a moment.
func (b Book) At(now time.Time) Rules {
	in := Rules{Limits: Usual}
	for _, r := range b.Rules {
		if !r.From.After(now) {
			in = r
		}
	}
	return in
}

// windows are the defrosts by r and the loadings between two moments.
func (b Book) windows(r Rules, from, to time.Time) []Window {
	zone := b.Zone
	if zone == nil {
		zone = time.UTC
	}
	return append(r.Windows(from, to, zone), b.Loadings...)
}

// Windows lists the defrosts by the rules in force and the loadings that touch the
// time between two moments.
func (b Book) Windows(from, to time.Time) []Window {
	return slices.DeleteFunc(b.windows(b.At(to), from, to), func(w Window) bool { return !w.To.After(from) || w.From.After(to) })
}

// farBack is how far back a finding looks for the moment the air passed a limit.
const farBack = 14 * 24 * time.Hour

// Finding is the band of the room at now by its own rules.
func (b Book) Finding(h *exposure.History, now time.Time) Finding {
	r := b.At(now)
	return r.Limits.At(h, b.windows(r, now.Add(-farBack), now), now)
}

// Spans lists the incidents between two moments, each stretch judged by the rules
// of its own time: a change makes nothing of what lies before it.
func (b Book) Spans(h *exposure.History, from, now time.Time) []Span {
	changes := []time.Time{from}
	for _, r := range b.Rules {
		if r.From.After(from) && r.From.Before(now) {
			changes = append(changes, r.From)
		}
	}
	changes = append(changes, now)
	var list []Span
	for i, begins := range changes[:len(changes)-1] {
		ends, r := changes[i+1], b.At(begins)
		spans := r.Limits.Spans(h, b.windows(r, begins, ends), begins, ends)
		if n := len(spans); n > 0 && spans[n-1].Until.IsZero() && ends.Before(now) {
			spans[n-1].Until = ends // what goes on is the next rules' business
		}
		list = append(list, spans...)
	}
	return list
}

// MayLoad says whether a loading may begin at now: none is open, and the last was
// over for as long as it may last, so that one after the other hides nothing.
// Common practice, no source.
func (b Book) MayLoad(now time.Time) error {
	if len(b.Loadings) == 0 {
		return nil
	}
	last := slices.MaxFunc(b.Loadings, func(a, c Window) int { return a.To.Compare(c.To) })
	switch {
	case now.Before(last.To):
		return domain.Refuse("loading", "Loading is on already, until %v.", last.To)
	case now.Before(last.To.Add(Usual.Excused)):
		return domain.Refuse("loading", "The last loading ended at %v. Let the room get cold for an hour first.", last.To)
	}
	return nil
}
