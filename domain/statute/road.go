package statute

import (
	"slices"
	"strings"
	"time"

	"coldrail/domain"
)

// Road is what is said at the tailgate of a carcass on its way here.
type Road struct {
	Species domain.Species
	Form    domain.Form
	Home    string // the shop's state
	State   string // of the kill, with its county and unit or zone
	County  string
	Unit    string
	Killed  time.Time
	DayOnly bool       // the hour was not told: Killed is the first minute of that day
	Left    *time.Time // when it left the county of kill; nil: not told
}

// Clock is one rule that counts hours or days on the road, with the instant at which
// they are over. Where the start is not known to the hour, Until counts from the
// earliest one that fits what was told and Last from the latest.
type Clock struct {
	Rule
	Until, Last time.Time
}

// Standing is what a clock says at a moment.
type Standing int

// The standings.
const (
	InTime Standing = iota // by every start that fits
	Unsure                 // by some, not by others: the hour has to be asked
	Over                   // by none
)

// At says how the clock stands.
func (c Clock) At(now time.Time) Standing {
	switch {
	case !now.After(c.Until):
		return InTime
	case now.After(c.Last):
		return Over
	}
	return Unsure
}

// OnTheRoad sorts the rules about transport for a carcass: the clocks that run for
// it, the one over first at their head; what else has to be read; and whether the
// county has to be asked because a rule of the state of kill names places.
//
// A rule of the shop's own state that counts nothing is read for a kill anywhere: it
// may forbid what comes in from outside. A rule whose form is another one is read
// too, as it often says what may travel instead.
func OnTheRoad(rules []Rule, r Road, now time.Time, loc *time.Location) (clocks []Clock, read []Rule, askPlace bool) {
	told := strings.TrimSpace(r.County+r.Unit) != ""
	for _, rule := range rules {
		if rule.Topic != Transport || !rule.For(r.Species, "") {
			continue
		}
		here := rule.At(r.State, r.County, r.Unit)
		switch counts := rule.Starts == FromKill || rule.Starts == FromLeaving; {
		case counts && here && rule.For(r.Species, r.Form):
			clocks = append(clocks, r.clock(rule, now, loc))
		case here, !counts && rule.In(r.Home) && len(rule.Places) == 0:
			read = append(read, rule)
		case !told && rule.reaches(r.State):
			askPlace = true
		}
	}
	slices.SortStableFunc(clocks, func(a, b Clock) int { return a.Until.Compare(b.Until) })
	return clocks, read, askPlace
}

// clock counts a rule from the earliest and the latest start that fit.
func (r Road) clock(rule Rule, now time.Time, loc *time.Location) Clock {
	first, last := r.Killed, r.Killed
	if r.DayOnly {
		last = r.Killed.In(loc).AddDate(0, 0, 1)
	}
	if rule.Starts == FromLeaving {
		last = now
		if r.Left != nil {
			first, last = *r.Left, *r.Left
		}
	}
	if last.After(now) {
		last = now // it was not killed in the future
	}
	c := Clock{Rule: rule}
	c.Until, _ = rule.Due(first, loc)
	c.Last, _ = rule.Due(last, loc)
	return c
}
