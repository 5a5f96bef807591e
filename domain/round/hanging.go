package round

import (
	"time"

	"coldrail/domain"
)

// Hanging is one carcass as it hangs in the room, with what the rounds before
// left about it.
type Hanging struct {
	Species  domain.Species
	Form     domain.Form
	KilledAt time.Time
	HungAt   time.Time // since when its outside has dried in the cooler
	CameAt   time.Time // to the place where it hangs now
	Last     *Look     // nil: nobody has looked yet

	// Condition is what the readiness sum says: "stop", "look" or "cut-first"
	// ask for a look; any other word does not.
	Condition string
	// DecidedAt is the lead's last decision; it stands until a worse look.
	DecidedAt time.Time
}

// oneByOneAfter is the age from which each evening's look is carcass by carcass
// (readiness.md sections 9 and 10; common practice).
const oneByOneAfter = 14 * 24 * time.Hour

// Why lists the reasons for which this carcass must be looked at by itself on a
// round at now. The round before ended at lastRound; zero: there was none. An
// empty list means that counting its rail is enough.
func (h Hanging) Why(lastRound, now time.Time) []domain.Words {
	var why []domain.Words
	stopped := h.Last != nil && h.Last.Stops()
	switch {
	case stopped && h.DecidedAt.Before(h.Last.At):
		why = append(why, domain.Say("stopped at the last look; the lead has not decided yet"))
	case stopped:
		why = append(why, domain.Say("stopped at the last look, decided since"))
	case h.Last != nil && h.Last.Flagged():
		why = append(why, domain.Say("something was found at the last look"))
	}
	switch {
	case h.Last == nil:
		why = append(why, domain.Say("new: nobody has looked yet"))
	case h.CameAt.After(lastRound) && h.Last.At.Before(h.CameAt):
		why = append(why, domain.Say("new on this hook since the last round"))
	}
	switch h.Condition {
	case "stop":
		if !stopped {
			why = append(why, domain.Say("stands at stop"))
		}
	case "look":
		why = append(why, domain.Say("open the folds and the hip, smell, record"))
	case "cut-first":
		why = append(why, domain.Say("to be cut first"))
	}
	if now.Sub(h.KilledAt) > oneByOneAfter {
		why = append(why, domain.Say("day %d: past day 14, so it is touched", domain.DayOfAge(h.KilledAt, now)))
	}
	return why
}

// Stops reports a look after which the carcass stands at "stop" until the lead
// decides (readiness.md section 10, 1).
func (l Look) Stops() bool {
	for _, m := range l.Mould {
		if m.Colour.Stops() {
			return true
		}
	}
	return l.Smell.Bad() || l.Surface == SurfaceSlimy
}

// Flagged reports a look that found anything at all; the carcass is looked at
// again on every round after it, and moves forward, never back (trade.md 5.6).
func (l Look) Flagged() bool {
	return l.Stops() || len(l.Mould) > 0 || l.Smell == SmellMusty || l.Surface == SurfaceSticky
}

// Follows says what a look means for its carcass, worst first, in words for
// the person who made it (readiness.md sections 9 and 10; trade.md 5.6).
func (l Look) Follows(s domain.Species, f domain.Form) []domain.Words {
	var says []domain.Words
	if l.Smell.Bad() {
		says = append(says, domain.Say("Bad smell: stop. Move it aside, tell the lead, and look at what hung beside it."))
	}
	if l.Surface == SurfaceSlimy {
		says = append(says, domain.Say("Slime: stop. Tell the lead."))
	}
	says = append(says, l.mouldFollows(s, f)...)
	switch {
	case l.Surface == SurfaceSticky:
		says = append(says, domain.Say("Sticky: trim it and cut it first."))
	case l.Smell == SmellMusty:
		says = append(says, domain.Say("Musty: find the mold, and look for a wet coil."))
	}
	return says
}

func (l Look) mouldFollows(s domain.Species, f domain.Form) []domain.Words {
	var stops, fault, grows bool
	for _, m := range l.Mould {
		switch {
		case m.Length == 0:
		case m.Colour.Stops():
			stops = true
		case m.Site == SiteRibs || m.Site == SiteFat:
			// On these it is no sign that anybody waits for, but always a fault.
			never := f == domain.Quarters || f == domain.Boned
			switch s {
			case domain.Lamb, domain.Goat, domain.Hog, domain.WildHog, domain.Bear:
				never = true
			}
			fault, grows = fault || never, grows || !never
		default:
			fault = true
		}
	}
	var says []domain.Words
	if stops {
		says = append(says, domain.Say("Black, blue-green, yellow or pink mold: stop. Some make toxins. Tell the lead."))
	}
	if fault {
		says = append(says, domain.Say("Mold on meat: cut it off dry, away from other carcasses, then cut the carcass first. Never wash it in."))
	}
	if grows {
		says = append(says, domain.Say("White or gray growth inside the ribs or on fat: measure it again tomorrow."))
	}
	return says
}

// TakesSurfaceOf reports whether h may take the surface felt on touched, its
// neighbour on the same rail: the same kind of animal, hung at least as long,
// both whole and skinned (readiness.md section 5, last paragraph). Dryness is
// never inferred for hide-on, quarters or boned meat.
func (h Hanging) TakesSurfaceOf(touched Hanging) bool {
	sameKind := h.Species == touched.Species || h.Species.Deer() && touched.Species.Deer()
	return sameKind && h.Form == domain.Whole && touched.Form == domain.Whole && !h.HungAt.After(touched.HungAt)
}
