package plan

import (
	"slices"
	"time"
)

// Works is how the crew counts its day.
type Works string

// How a crew counts its day.
const (
	Each      Works = "each"      // every cutter has minutes of their own
	Line      Works = "line"      // all work on one carcass together
	Carcasses Works = "carcasses" // so many carcasses a day, whatever they are
)

// Shift is one day of the crew.
type Shift struct {
	Cutters    int // 0: closed
	Size       int // minutes of each or of the line; with Carcasses, carcasses a day
	Takes      Run
	AsTheyCome bool
}

// Crew is the shop's calendar: a week, and days that differ from it.
type Crew struct {
	Works Works
	Week  [7]Shift // from Sunday
	Dates map[time.Time]Shift
}

// On returns the shift of a day, given as midnight UTC.
func (c Crew) On(day time.Time) Shift {
	if s, ok := c.Dates[day]; ok {
		return s
	}
	return c.Week[day.Weekday()]
}

// Days lists the next days from a day on, closed ones with no cutters.
func (c Crew) Days(from time.Time, n int) []Day {
	people := c.people(from, n)
	days := make([]Day, n)
	for i := range days {
		day := from.AddDate(0, 0, i)
		s := c.On(day)
		days[i] = Day{Date: day, Takes: s.Takes, AsTheyCome: s.AsTheyCome}
		switch {
		case s.Cutters == 0:
		case c.Works == Carcasses:
			days[i].Cutters = []int{s.Size}
		case c.Works == Line:
			days[i].Cutters = []int{s.Size * s.Cutters / people}
		default:
			for range s.Cutters {
				days[i].Cutters = append(days[i].Cutters, s.Size)
			}
		}
	}
	return days
}

// Left is what is left of a day that has begun: the work begun on it is off, each piece
// from the cutter who has the most, and nobody has more minutes than the day has, in
// whole quarters of an hour, so that a plan stands for a while. When the crew came in
// is written nowhere: hours that went by without a carcass are not known.
func (c Crew) Left(d Day, begun []int, until time.Duration) Day {
	left := slices.Clone(d.Cutters)
	for _, minutes := range begun {
		if len(left) > 0 {
			most := slices.Index(left, slices.Max(left))
			left[most] = max(0, left[most]-minutes)
		}
	}
	for i := range left {
		if c.Works != Carcasses {
			left[i] = min(left[i], int(until.Truncate(15*time.Minute).Minutes()))
		}
	}
	d.Cutters = left
	return d
}

// people is how many stand in the line on its fullest day; minutes of a carcass
// are counted for so many, and a day with fewer counts for less.
func (c Crew) people(from time.Time, n int) int {
	most := 1
	for i := range n {
		most = max(most, c.On(from.AddDate(0, 0, i)).Cutters)
	}
	return most
}

// Takes is how much of a day a carcass takes that one person would cut in so many
// minutes. That a line of four is four times as quick as one is common practice
// within its range, no source (trade.md 6.5: a crew of four 4 to 7 deer an hour).
func (c Crew) Takes(minutes int, from time.Time, n int) int {
	switch c.Works {
	case Carcasses:
		return 1
	case Line:
		people := c.people(from, n)
		return max(1, (minutes+people-1)/people)
	}
	return minutes
}
