package ageing

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Condition says what the shop should do about an animal next. A hold is never a
// condition: it lies across it.
type Condition string

// The eight conditions; the first that applies counts.
const (
	Stop       Condition = "stop"
	LookAtIt   Condition = "look"
	FirstToCut Condition = "cut-first"
	Chilling   Condition = "chilling"
	Past       Condition = "past"
	Ready      Condition = "ready"
	Nearly     Condition = "nearly"
	Hanging    Condition = "hanging"
)

// Conditions lists them in the order in which the first that applies counts.
var Conditions = []Condition{Stop, LookAtIt, FirstToCut, Chilling, Past, Ready, Nearly, Hanging}

// Words returns the condition as it stands on the board.
func (c Condition) Words() domain.Words {
	switch c {
	case Stop:
		return domain.Say("stop")
	case LookAtIt:
		return domain.Say("look")
	case FirstToCut:
		return domain.Say("cut first")
	case Chilling:
		return domain.Say("chilling")
	case Past:
		return domain.Say("past its day")
	case Ready:
		return domain.Say("ready to cut")
	case Nearly:
		return domain.Say("nearly ready")
	}
	return domain.Say("hanging")
}

// odourLog is where unwrapped meat begins to smell, log10 per cm2.
//
// Source: James & James, Meat Refrigeration (2002) p. 209, after Ingram & Roberts.
const odourLog = 7

// The days and hours of the conditions (readiness.md section 10). Common practice,
// no source, but for the 14 days of UW B-513R.
const (
	freshFor       = 24 * time.Hour // a look, a decision
	soon           = 48 * time.Hour // nearly ready
	dailyLooksFrom = 14.0           // days since the kill
	slowAfter      = 24.0           // hours of chilling; beef and bison 48
	slowAfterBeef  = 48.0
)

// seen is what the looks up to now say.
type seen struct {
	looks   []Look  // up to now, in order
	last    *Look   // the last one of this animal itself
	surface Surface // in force now; "" before any look
}

// condition decides. Each case that applies adds its reasons.
func (j *judging) condition() Condition {
	switch {
	case j.stopped():
		return Stop
	case j.mustLook():
		return LookAtIt
	case j.cutFirst():
		return FirstToCut
	case j.tooWarm():
		return Chilling
	case j.past():
		return Past
	case j.waits():
		return Chilling
	case j.ready():
		return Ready
	case j.nearly():
		return Nearly
	}
	return Hanging
}

// stopped: bad smell, slime, a stop colour or an incident, and no decision that
// stands. In the shop a later look lifts no stop: whoever walks by and finds it clean
// has not decided for the lead.
func (j *judging) stopped() bool {
	why := j.faults(j.last, j.surface)
	if j.byIncident() {
		why = append(why, domain.Say("An incident in the room stopped it."))
	} else if len(why) > 0 && j.decided() {
		j.later = append(j.later, domain.Say("A decision stands for 24 hours or until a worse look."))
		return false
	} else if len(why) == 0 {
		if why = j.undecided(); len(why) > 0 {
			why = append(why, domain.Say("That was at an earlier look. A later one does not lift a stop."))
		}
	}
	j.reasons = append(j.reasons, why...)
	if len(why) > 0 {
		j.say("Nobody cuts it before the lead has decided.")
	}
	return len(why) > 0
}

// byIncident reports whether an incident stopped it and nobody has decided since.
func (j *judging) byIncident() bool {
	return j.StoppedAt.After(time.Time{}) && !j.StoppedAt.After(j.now) && (j.Decision == nil || j.Decision.At.Before(j.StoppedAt))
}

// Undecided returns for what a look or an incident stopped an animal that is at the table
// or in pieces, where nobody has decided since; its room says nothing of it any more. An
// incident may reach it there: a logger's file of the night comes in the morning.
func Undecided(looks []Look, d *Decision, stopped, now time.Time) []domain.Words {
	j := judging{Facts: &Facts{Decision: d, StoppedAt: stopped, UntilDecided: true}, seen: viewOf(looks, now), now: now}
	why := j.undecided()
	if j.byIncident() {
		why = append(why, domain.Say("An incident in the room stopped it."))
	}
	return why
}

// FirstFor returns for what an animal is cut before others, wherever it is: whoever takes
// the knife to it has to know.
func FirstFor(f Facts, now time.Time) []domain.Words {
	j := judging{Facts: &f, seen: viewOf(f.Looks, now), now: now}
	j.cutFirst()
	return j.reasons
}

// undecided returns for what a stopped the animal, where nobody has
// decided since. A look that found no more than a decision knew was decided with it.
func (j *judging) undecided() []domain.Words {
	if !j.UntilDecided {
		return nil
	}
	for i := len(j.looks) - 1; i >= 0; i-- {
		l, d := &j.looks[i], j.Decision
		if d != nil && !d.At.Before(l.At) && !d.At.After(j.now) {
			return nil
		}
		why := j.faults(l, l.Surface)
		if l.FromRail || len(why) == 0 {
			continue
		}
		if d == nil || l.At.Sub(d.At) > freshFor || worse(viewOf(j.looks, d.At), viewOf(j.looks, l.At)) {
			return why
		}
	}
	return nil
}

// faults returns what in a look and a surface stops an animal.
func (j *judging) faults(l *Look, s Surface) []domain.Words {
	var why []domain.Words
	if s == Slimy {
		why = append(why, domain.Say("The surface is slimy."))
	}
	if l == nil {
		return why
	}
	if l.Smell.Bad() {
		why = append(why, domain.Say("It smells %s.", named(l.Smell)))
	}
	for _, m := range l.Mould {
		if m.Colour.Stops() {
			why = append(why, domain.Say("There is %s mold (%s).", named(m.Colour), named(m.Site)))
		}
	}
	return why
}

// named lets a smell, colour or site be said in another language.
func named[T ~string](name T) domain.Words { return domain.Words{Format: string(name)} }

// decided reports whether a decision stands: made within 24 h, and no look since
// then found something it did not know.
func (j *judging) decided() bool {
	d := j.Decision
	if d == nil || d.At.After(j.now) || j.now.Sub(d.At) > freshFor {
		return false
	}
	known := viewOf(j.looks, d.At)
	return !worse(known, j.seen)
}

// worse reports whether now shows a stop the earlier view did not: another bad
// smell, slime that was not there, a new stop colour or a longer one.
func worse(then, now seen) bool {
	if now.surface == Slimy && then.surface != Slimy {
		return true
	}
	if now.last == nil {
		return false
	}
	if now.last.Smell.Bad() && (then.last == nil || then.last.Smell != now.last.Smell) {
		return true
	}
	for _, m := range now.last.Mould {
		if m.Colour.Stops() && (then.last == nil || !knew(then.last.Mould, m)) {
			return true
		}
	}
	return false
}

// knew reports whether growth like m, as long or longer, was seen before.
func knew(before []Mould, m Mould) bool {
	for _, b := range before {
		if b.Colour == m.Colour && b.Site == m.Site && b.Length >= m.Length {
			return true
		}
	}
	return false
}

// mustLook: the count says odour and no fresh good look overrules it, or the
// daily look after day 14 is missing.
func (j *judging) mustLook() bool {
	switch {
	case j.v.LogCount >= odourLog && !j.overruled():
		j.say("By the record its surface may smell by now (log %.1f).", j.v.LogCount)
	case j.v.DaysSinceKill > dailyLooksFrom && (j.last == nil || j.last.At.Before(j.lookDue())):
		j.say("After day 14 it is touched and smelled every evening.")
	default:
		return false
	}
	j.say("Open the folds and the hip, smell, record.")
	return true
}

// lookDue returns the moment before which a look is too old.
func (j *judging) lookDue() time.Time {
	if !j.EveningFrom.IsZero() {
		return j.EveningFrom
	}
	return j.now.Add(-freshFor)
}

// overruled reports whether a look in the last 24 h found a clean smell and a dry
// or drying surface: the nose outranks the count.
func (j *judging) overruled() bool {
	for i := len(j.looks) - 1; i >= 0; i-- {
		if l := j.looks[i]; j.now.Sub(l.At) > freshFor {
			return false
		} else if l.good() {
			return true
		}
	}
	return false
}

// cutFirst: damaged, sticky, mould on meat, or so decided.
func (j *judging) cutFirst() bool {
	before := len(j.reasons)
	if j.Door == DoorDamaged {
		j.say("Damaged at the door.")
	}
	if j.surface == Sticky {
		j.say("The surface is sticky.")
	}
	if site, earlier, found := j.mouldFault(); found {
		j.say("Mold (%s): cut it off dry, with what is thrown out, before the carcass is cut. Gloves and mask.", named(site))
		if earlier {
			j.say("That was at an earlier look. Mold that was wiped off grows again sooner.")
		}
	}
	if d := j.Decision; d != nil && !d.At.After(j.now) { // after a day too: hanging on makes it no less urgent
		switch d.Ruling {
		case CutFirst:
			j.say("Decided: trim and cut first.")
		case CondemnPart:
			j.say("Decided: a part is condemned. Cut the rest first.")
		}
	}
	return len(j.reasons) > before
}

// mouldFault returns where white or grey growth is a fault: on meat, neck or
// flank; on quarters and boned meat anywhere. In the shop it stays one after a clean look,
// until a decision: meat that mould was wiped off grows it again sooner, so what is flagged
// moves forward and never back (trade.md 5.6).
func (j *judging) mouldFault() (site Site, earlier, found bool) {
	cut := Pick(j.Species, j.Class, j.Form, false)
	for i := len(j.looks) - 1; i >= 0; i-- {
		l, d := &j.looks[i], j.Decision
		if l.FromRail {
			continue
		}
		if earlier && (!j.UntilDecided || d != nil && !d.At.Before(l.At) && !d.At.After(j.now)) {
			return "", false, false
		}
		for _, m := range l.Mould {
			if !m.Colour.Stops() && m.Length > 0 && (!m.Site.signSite() || cut == "quarters" || cut == "boned") {
				return m.Site, earlier, true
			}
		}
		earlier = true
	}
	return "", false, false
}

// tooWarm: the deep temperature is above 40 °F.
func (j *judging) tooWarm() bool {
	if j.v.Deep <= exposure.ColdEnough {
		return false
	}
	j.say("About %.0f °F (%.1f °C) at the bone.", j.v.Deep.F(), float64(j.v.Deep))
	slow := slowAfter
	if j.Species == domain.Beef || j.Species == domain.Bison {
		slow = slowAfterBeef
	}
	if j.now.Sub(j.Received).Hours() > slow {
		j.say("Not cold after %.0f hours: open the hip and smell.", slow)
	}
	return true
}

// waits: the animal is in a room but not yet weighed and hung for good. Its track
// says chilling, and so does its condition: the temperature at the bone is then
// worked out from a weight nobody has read.
func (j *judging) waits() bool {
	if j.Waiting {
		j.say("Not weighed and hung for good yet: do that first.")
	}
	return j.Waiting
}

// past: more days since the kill than the ceiling.
func (j *judging) past() bool {
	if j.v.DaysSinceKill <= j.v.Ceiling {
		return false
	}
	j.say("Past its day. Cut it.")
	return true
}

// ready: cold, and not aged or hung long enough.
func (j *judging) ready() bool {
	switch {
	case !j.aged():
		j.say("It is cold and is not aged: cut it.")
	case !j.tenderEnough():
		return false
	case j.signAsked() && !j.v.Mould.Reached:
		return false
	}
	return true
}

func (j *judging) tenderEnough() bool { return j.v.Tenders && j.v.Tender >= j.Protocol.Target }

// nearly: ready within 48 h by the forecast.
func (j *judging) nearly() bool {
	return j.v.ReadyFrom != nil && j.v.ReadyFrom.Sub(j.now) <= soon
}
