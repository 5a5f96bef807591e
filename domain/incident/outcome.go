package incident

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
)

// Meat is an animal as it was when the room began to warm.
type Meat struct {
	Tau     float64 // hours, from exposure.Tau
	Deep    domain.Celsius
	Surface ageing.Surface // as last found; "": nobody has looked
}

// Outcome is what one course of the air did to one animal.
type Outcome struct {
	Air, Surface, Deep domain.Celsius // at the moment asked for
	Above              [len(exposure.Edges)]time.Duration
	Growth             float64 // log10 on its surface meanwhile
}

// Outcomes returns what a course of the air did to an animal between two moments,
// by the heat of exposure.Live and the growth that its surface calls for: half for
// a drying one (common practice, no source), EFSA's for a dry one.
func Outcomes(h *exposure.History, m Meat, from, until time.Time) Outcome {
	if until.Before(from) {
		until = from
	}
	at := exposure.Live([]exposure.Stay{{From: from, In: h}}, exposure.Carcass{Tau: m.Tau, Deep: m.Deep}, until)[0]
	o := Outcome{Air: h.At(until), Deep: at.Deep, Above: at.Dose.Above()}
	o.Surface = exposure.Surface(o.Air, o.Deep)
	switch m.Surface {
	case ageing.Dry:
		o.Growth = at.Dose.Of(exposure.Dry)
	case ageing.Drying:
		o.Growth = at.Dose.Of(exposure.Wet.Times(0.5))
	default:
		o.Growth = at.Dose.Of(exposure.Wet)
	}
	return o
}

// stopAfter is how long a surface may be above 41 °F before its animal is set to
// stop (readiness.md section 7, common practice around the 2 h of USDA).
const stopAfter = 2 * time.Hour

// Standing says how an animal comes through an incident.
type Standing string

// The standings.
const (
	Through  Standing = "through"  // nothing calls for a decision
	Stopped  Standing = "stopped"  // the lead decides
	OwnClock Standing = "chilling" // was still warm from the kill: goes by its own clock
)

// Judge says how an animal stands: stopped where its worst-case surface was above
// 41 °F for more than two hours, where it was measured above 41 °F after two
// hours, or where nothing can be said of it (worst is nil). One that was still
// chilling when the room began to warm goes by its own clock.
func Judge(m Meat, worst *Outcome, measured *domain.Celsius, lasted time.Duration) (Standing, domain.Words) {
	const tiny = 0.005 // 41 °F read in °F is not above 41 °F
	switch {
	case worst == nil:
		return Stopped, domain.Say("Nothing can be said of its temperature.")
	case !(m.Deep >= exposure.MinCelsius && m.Deep <= exposure.MaxCelsius):
		return Stopped, domain.Say("Nothing can be said of its temperature.")
	case m.Deep > exposure.ColdEnough:
		return OwnClock, domain.Say("It was still chilling, %v at the bone: it goes by its own clock.", m.Deep)
	case measured != nil && !(*measured <= 5+tiny) && lasted > stopAfter: // a NaN too
		return Stopped, domain.Say("Measured at %v.", exposure.Within(*measured))
	case worst.Above[above41F] > stopAfter:
		return Stopped, domain.Say("At worst its surface was above 41 °F for %.1f hours.", worst.Above[above41F].Hours())
	}
	return Through, domain.Say("Even at worst its surface was above 41 °F for no more than 2 hours.")
}
