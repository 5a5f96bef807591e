package animal

import (
	"maps"
	"time"

	"coldrail/domain"
)

// Grade is how good or bad one line of the door check is.
type Grade string

// The four grades, best first (readiness.md section 10, trade.md 1.7).
const (
	Clean       Grade = "clean"
	SmallFault  Grade = "small-fault"
	BadFault    Grade = "bad-fault"
	RefuseGrade Grade = "refuse" // stops the line: the lead decides
)

// Grades lists the four grades, best first.
var Grades = []Grade{Clean, SmallFault, BadFault, RefuseGrade}

// DoorLine is one line of the door check.
type DoorLine string

// The lines of trade.md 1.7.
const (
	DoorDirt        DoorLine = "dirt"
	DoorGut         DoorLine = "gut"
	DoorShot        DoorLine = "shot"
	DoorTemperature DoorLine = "temperature"
	DoorSmell       DoorLine = "smell"
	DoorSurface     DoorLine = "surface"
	DoorInsects     DoorLine = "insects"
)

// DoorLines lists the lines in the order they are looked at.
var DoorLines = []DoorLine{DoorDirt, DoorGut, DoorShot, DoorTemperature, DoorSmell, DoorSurface, DoorInsects}

// rank is the grade's place in Grades, or -1 for a word that is none.
func (g Grade) rank() int {
	for i, known := range Grades {
		if g == known {
			return i
		}
	}
	return -1
}

// Worst returns the worst grade of the door check, Clean if nothing was graded.
func (d Drop) Worst() Grade {
	worst := Clean
	for _, g := range d.Door {
		if g.rank() > worst.rank() {
			worst = g
		}
	}
	return worst
}

// Damaged reports a bad fault in dirt, gut, temperature, smell or insects. Such
// an animal is not aged and is cut first. Shot meat is cut out the same day and
// does not count (readiness.md section 10).
func (d Drop) Damaged() bool {
	for _, line := range []DoorLine{DoorDirt, DoorGut, DoorTemperature, DoorSmell, DoorInsects} {
		if d.Door[line].rank() >= BadFault.rank() {
			return true
		}
	}
	return false
}

func checkDoor(d Drop, _ time.Time) error {
	lines := 0
	for _, line := range DoorLines {
		g, graded := d.Door[line]
		if graded {
			lines++
		}
		if graded && g.rank() < 0 {
			return domain.Wrong(string(line), "Choose clean, small fault, bad fault or refuse.")
		}
	}
	if lines != len(d.Door) {
		return domain.Wrong("door", "The door check has a line we do not know. Fill it in again.")
	}
	return nil
}

// readingSlack keeps a thermometer that shows 40 °F on the good side of 40 °F
// after its reading went to °C and back. Far finer than any probe here.
const readingSlack domain.Celsius = 0.005

// GradeTemperature grades the deep ham temperature at the door; the worst that
// applies counts.
//
//	refuse       above 50 °F after 24 h; above 60 °F with any off smell
//	bad fault    above 50 °F at 12 to 24 h
//	small fault  above 40 °F at 6 to 24 h otherwise, or up to 50 °F later
//	clean        at or below 40 °F, or anything within 6 h of the kill
//
// Hours are since the kill. Source: readiness.md section 10, common practice.
// The grade is the shop's own; it says nothing about whether meat may be eaten.
func GradeTemperature(deep domain.Celsius, hoursSinceKill float64, offSmell bool) Grade {
	above := func(f float64) bool { return deep > domain.Fahrenheit(f)+readingSlack }
	switch {
	case offSmell && above(60):
		return RefuseGrade
	case !above(40) || hoursSinceKill < 6:
		return Clean
	case !above(50) || hoursSinceKill < 12:
		return SmallFault
	case hoursSinceKill <= 24:
		return BadFault
	}
	return RefuseGrade
}

// WarmUnsure reports whether it came so warm that the hour of its kill decides: of the
// day alone that is known, some hour would have it refused, and no one grade fits them
// all. Of today no hour is long enough ago for that.
func (d Drop) WarmUnsure() bool {
	if _, graded := d.WithTemperatureGrade().Door[DoorTemperature]; graded || d.DeepTemp == nil || !d.KilledDayOnly {
		return false
	}
	return GradeTemperature(*d.DeepTemp, d.ReceivedAt.Sub(d.KilledAt).Hours(), false) == RefuseGrade
}

// foundLate is how long after the kill a find asks for more than a look: trade.md 1.6,
// found next day (common practice, no source).
const foundLate = 6 * time.Hour

// FoundLate reports whether it lay so long before it was found that hip and neck are to
// be smelled before it hangs. Of a kill known by its day alone it counts as late once
// it was found on another day.
func (d Drop) FoundLate() bool {
	switch {
	case d.FoundAt.IsZero() || d.KilledAt.IsZero():
		return false
	case d.KilledDayOnly:
		return d.FoundAt.Sub(d.KilledAt) >= 24*time.Hour
	}
	return d.FoundAt.Sub(d.KilledAt) >= foundLate
}

// WithTemperatureGrade fills in the temperature line of the door check from the
// thermometer where nobody graded it. Of a kill known by its day alone the
// first and the last possible hour must give the same grade; else the line
// stays open for a person, because a deer shot this morning and one from
// midnight are not the same.
func (d Drop) WithTemperatureGrade() Drop {
	_, graded := d.Door[DoorTemperature]
	if graded || d.DeepTemp == nil || d.KilledAt.IsZero() {
		return d
	}
	smells := d.Door[DoorSmell].rank() > Clean.rank()
	most := d.ReceivedAt.Sub(d.KilledAt)
	least := most
	if d.KilledDayOnly {
		least = max(0, most-24*time.Hour)
	}
	g := GradeTemperature(*d.DeepTemp, most.Hours(), smells)
	if g != GradeTemperature(*d.DeepTemp, least.Hours(), smells) {
		return d
	}
	door := maps.Clone(d.Door)
	if door == nil {
		door = map[DoorLine]Grade{}
	}
	door[DoorTemperature] = g
	d.Door = door
	return d
}

// Regraded is the temperature line by a kill that is known better than at the door, and
// whether it changes. What a person graded stands, and so does a worse grade: only a
// person takes a fault back. Where some hour of a day would be worse and nobody knows
// the hour any more, the line is open again.
func (d Drop) Regraded(killed time.Time, dayOnly bool) (g Grade, changed bool) {
	stands := d.Door[DoorTemperature]
	d.Door = maps.Clone(d.Door)
	delete(d.Door, DoorTemperature)
	if d.WithTemperatureGrade().Door[DoorTemperature] != stands {
		return stands, false
	}
	d.KilledAt, d.KilledDayOnly = killed, dayOnly
	g = d.WithTemperatureGrade().Door[DoorTemperature]
	if g == "" {
		return g, stands != "" && stands.rank() < BadFault.rank()
	}
	return g, g.rank() > stands.rank()
}
