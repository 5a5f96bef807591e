package ageing

import (
	"time"

	"coldrail/domain"
)

// Grade is what the door says of one thing, from clean to refused.
type Grade int

// The four grades.
const (
	Clean Grade = iota
	SmallFault
	BadFault
	RefuseIt
)

// Words returns the grade as the shop says it.
func (g Grade) Words() domain.Words {
	return [...]domain.Words{domain.Say("clean"), domain.Say("small fault"), domain.Say("bad fault"), domain.Say("refuse")}[g]
}

// DoorTemperature grades the deep ham temperature at the door:
//
//	clean        at or below 40 °F, or any if killed less than 6 h ago
//	small fault  up to 50 °F, or any at 6 to 12 h
//	bad fault    above 50 °F at 12 to 24 h
//	refuse       above 50 °F after 24 h, or above 60 °F with any off smell
//
// Common practice, no source (readiness.md section 10).
func DoorTemperature(deep domain.Celsius, sinceKill time.Duration, offSmell bool) Grade {
	// A hundredth of slack, so that 40 °F typed in °F and turned to °C is still 40 °F.
	above := func(f float64) bool { return !(deep <= domain.Fahrenheit(f)+0.01) } // a NaN is too warm
	switch {
	case above(60) && offSmell, above(50) && sinceKill > 24*time.Hour:
		return RefuseIt
	case sinceKill < 6*time.Hour, !above(40):
		return Clean
	case above(50) && sinceKill > 12*time.Hour:
		return BadFault
	}
	return SmallFault
}
