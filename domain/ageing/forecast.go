package ageing

import (
	"math"
	"time"

	"coldrail/domain/exposure"
)

const (
	lookBack = 48 * time.Hour      // the air to come is the mean of so long
	lookOut  = 60 * 24 * time.Hour // nothing is foreseen beyond
)

// forecast fills what is expected: the air to come is the mean of the last 48 h.
func (j *judging) forecast() {
	room := j.stays[len(j.stays)-1].In.History()
	j.ahead = exposure.Ahead{Now: j.now, Air: room.Mean(j.now.Add(-lookBack), j.now), Deep: j.v.Deep, Tau: j.meat.Tau}
	if j.AirAhead != nil {
		j.ahead.Air = *j.AirAhead
	}
	if room.OfMeatItself() {
		j.ahead.Tau = 0
	}
	perDay, tenders := TenderRate(j.Species, j.Class)
	j.v.Tender, j.v.Tenders = TenderFraction(perDay, j.tenderDays), tenders
	j.v.Mould = sign(j.looks, j.signPossible(), j.moment.Dose.Of(exposure.MouldDays), j.prior().days(), j.ahead)
	if at, ok := j.readyFrom(perDay); ok {
		j.v.ReadyFrom = &at
	}
	j.cutBy()
}

// readyFrom returns the first moment, now or later, at which the animal is cold
// and hung long enough; ok is false when that is not within 60 days.
func (j *judging) readyFrom(perDay float64) (time.Time, bool) {
	from := j.now
	if j.aged() && !j.tenderEnough() {
		if !j.v.Tenders {
			return time.Time{}, false
		}
		at, ok := j.ahead.When(exposure.TenderDays, daysFor(perDay, j.Protocol.Target)-j.tenderDays, j.begins, lookOut)
		if !ok {
			return time.Time{}, false
		}
		from = at
	}
	if j.signAsked() && !j.v.Mould.Reached {
		if j.v.Mould.Forecast == nil {
			return time.Time{}, false
		}
		from = later(from, *j.v.Mould.Forecast)
	}
	since, until, ok := j.ahead.Cold(lookOut)
	from = later(from, since)
	if !ok || !until.IsZero() && from.After(until) || from.Sub(j.now) > lookOut {
		return time.Time{}, false
	}
	return from, true
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// cutBy fills the last day: the ceiling, or when the surface is expected to smell
// with the surface as it is now, whichever is first. Where a good look overrules
// the count, the ceiling alone.
func (j *judging) cutBy() {
	ceiling := daysAfter(j.Killed, j.v.Ceiling)
	plain, low, high := growthBy(j.surface)
	ruled := j.v.LogCount >= odourLog && j.overruled()
	by := func(of exposure.Sum, growth float64) time.Time {
		if ruled || !ceiling.After(j.now) {
			return ceiling
		}
		at, ok := j.ahead.When(of, odourLog-j.startLog()-growth, j.now, ceiling.Sub(j.now))
		if !ok {
			return ceiling
		}
		return at
	}
	j.v.CutBy = by(plain, j.v.Growth)
	j.v.CutByLow, j.v.CutByHigh = by(high, j.v.GrowthHigh), j.v.CutBy
	if low != plain || j.v.GrowthLow != j.v.Growth {
		j.v.CutByHigh = by(low, j.v.GrowthLow)
	}
}

// sums adds the reasons that stand under every condition: the figures, and
// what the screens of section 6 ask for.
func (j *judging) sums() {
	v := &j.v
	if j.aged() && v.Tenders {
		j.say("Tender %d %% of what hanging can give; %.0f %% is asked.", Percent(v.Tender), 100*j.Protocol.Target)
	}
	if j.signAsked() {
		j.say("Growth at ribs or fat %.1f mm; 1.5 mm is asked.", float64(v.Mould.Length))
		j.warnMould()
	}
	j.say("Day %.0f of %.0f.", math.Ceil(v.DaysSinceKill), v.Ceiling)
	switch {
	case v.Condition == Stop || v.Condition == LookAtIt: // a person decides or looks first
	case v.TooLate():
		j.say("It will not be ready in time: cut it.")
	case v.ReadyFrom != nil && v.Condition != Past && j.dayOf(*v.ReadyFrom) >= j.dayOf(v.CutBy):
		j.say("Cut it on day %.0f.", j.dayOf(v.CutBy))
	case v.ReadyFrom != nil && v.Condition != Past:
		j.say("Cut it between day %.0f and day %.0f.", j.dayOf(*v.ReadyFrom), j.dayOf(v.CutBy))
	case v.ReadyFrom == nil:
		j.say("It will not be ready within 60 days as the room is now.")
	}
	j.reasons = append(j.reasons, j.later...)
	j.warnPathogens()
}

// dayOf returns which day since the kill an instant lies in, the first being 1.
func (j *judging) dayOf(t time.Time) float64 { return math.Ceil(t.Sub(j.Killed).Hours() / 24) }

// warnMould warns of a quick pace or a warm room.
func (j *judging) warnMould() {
	if j.v.Mould.Pace > warnPace {
		j.say("The growth is quick: %.1f mm a day.", j.v.Mould.Pace)
	}
	if j.stays[len(j.stays)-1].In.History().Coldest(j.now.Add(-warnAirHours*time.Hour), j.now) > warnAir {
		j.say("The room was above 37 °F for 24 hours: mold will be quick.")
	}
}

// warnPathogens turns one log or more of growth into a question for the probe.
func (j *judging) warnPathogens() {
	if j.door.eColi >= 1 || j.door.salmonella >= 1 {
		j.say("Warm before the door: cut first.")
	}
	if j.v.EColi-j.door.eColi >= 1 || j.v.Salmonella-j.door.salmonella >= 1 {
		j.say("Warm in the cooler: probe and decide.")
	}
}
