package cure

import (
	"time"

	"coldrail/domain"
)

// Stage is one part of a way down: from, to, and the time it may take.
type Stage struct {
	From, To domain.Celsius
	Within   time.Duration
}

// The ways down that keep Clostridium perfringens from growing more than tenfold.
// Source: FSIS Appendix B (1999); the revision of 2021 changed the options, from
// memory: ask the inspector which counts.
var (
	// CoolUncured is the first option for meat without nitrite.
	CoolUncured = []Stage{
		{domain.Fahrenheit(130), domain.Fahrenheit(80), 90 * time.Minute},
		{domain.Fahrenheit(80), domain.Fahrenheit(40), 5 * time.Hour},
	}
	// CoolCured is the option for meat with nitrite. The sources disagree on its
	// end: 40 °F (Ohio State) or 45 °F (another text). Here 40 °F, the stricter,
	// decides.
	CoolCured = []Stage{
		{domain.Fahrenheit(130), domain.Fahrenheit(80), 5 * time.Hour},
		{domain.Fahrenheit(80), domain.Fahrenheit(40), 10 * time.Hour},
	}
	// CoolOlder is the older option without nitrite: it starts within 90 minutes
	// of the end of cooking and spends no more than an hour between 120 and 80 °F.
	// It is shown where the first is not met, and decides nothing.
	CoolOlder = []Stage{
		{domain.Fahrenheit(120), domain.Fahrenheit(80), time.Hour},
		{domain.Fahrenheit(120), domain.Fahrenheit(55), 6 * time.Hour},
	}
)

// lenientEnd is where the other text lets the way down with nitrite end.
var lenientEnd = domain.Fahrenheit(45)

// Cooled holds the readings on the way down against the table. The time of a stage
// runs from the last reading at its beginning or above to the first at its end or
// below, so that sparse readings never help. Readings before the hottest one are
// cooking and do not count; one at 130 °F or above has to be there.
func Cooled(readings []Probe, cured bool) Result {
	stages := CoolUncured
	if cured {
		stages = CoolCured
	}
	down, ok := wayDown(readings)
	if !ok {
		return Result{Words: domain.Say("The cooling was not written down from %s. Read it at %s, %s and %s.",
			stages[0].From, stages[0].From, stages[0].To, stages[1].To)}
	}
	for _, s := range stages {
		took, reached := took(down, s)
		if !reached {
			return Result{Words: domain.Say("It has not been read at %s or below yet.", s.To)}
		}
		if took > s.Within {
			return Result{Words: domain.Say("From %s to %s it took %s; the table allows %s. Hold the batch: the person in charge decides, and every owner in it is told.",
				s.From, s.To, hours(took), hours(s.Within))}
		}
	}
	return Result{Met: true, Words: domain.Say("It cooled to %s in time by the table.", stages[1].To)}
}

// Otherwise says what another text would have made of a way down that the table
// did not let pass; empty where none would.
func Otherwise(readings []Probe, cured bool) domain.Words {
	down, ok := wayDown(readings)
	if !ok || Cooled(readings, cured).Met {
		return domain.Words{}
	}
	if cured {
		first, ok1 := took(down, CoolCured[0])
		second, ok2 := took(down, Stage{CoolCured[1].From, lenientEnd, 0})
		if ok1 && ok2 && first <= CoolCured[0].Within && second <= CoolCured[1].Within {
			return domain.Say("Another text ends at %s, and that was reached in time. Ask your inspector which counts.", lenientEnd)
		}
		return domain.Words{}
	}
	for _, s := range CoolOlder {
		if t, reached := took(down, s); !reached || t > s.Within {
			return domain.Words{}
		}
	}
	if start, reached := took(down, Stage{down[0].High, CoolOlder[0].From, 0}); !reached || start > 90*time.Minute {
		return domain.Words{}
	}
	return domain.Say("By an older option (%s to %s within 6 hours) it was in time. Ask your inspector whether it counts for you.", CoolOlder[1].From, CoolOlder[1].To)
}

// wayDown is the readings from the hottest on, the last one if several are as hot.
func wayDown(readings []Probe) ([]Probe, bool) {
	list := inOrder(readings)
	top := -1
	for i, p := range list {
		if top < 0 || p.High >= list[top].High {
			top = i
		}
	}
	if top < 0 || list[top].High < CoolUncured[0].From-1e-4 {
		return nil, false
	}
	return list[top:], true
}

// took is the time of a stage, by the last reading at its beginning or above and
// the first at its end or below after that.
func took(down []Probe, s Stage) (time.Duration, bool) {
	last := 0
	for i, p := range down {
		if p.High >= s.From-1e-4 {
			last = i
		}
	}
	for _, p := range down[last:] {
		if p.High <= s.To+1e-4 {
			return p.At.Sub(down[last].At), true
		}
	}
	return 0, false
}

func hours(d time.Duration) domain.Words { return domain.Say("%.1f h", d.Hours()) }
