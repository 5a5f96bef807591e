package learn

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"coldrail/domain"
)

// Passed is one animal of a season, as far as it came. A nil moment has not come.
type Passed struct {
	Kind      string // of animal, as the shop tells them apart
	Received  time.Time
	Hung      *time.Time
	Tabled    *time.Time // first brought to the table
	Boxed     *time.Time // the last box in the freezer
	Home      *time.Time // all of it
	Gone      *time.Time // given away or thrown out
	Promised  *time.Time // the shop's date, midnight UTC
	Hanging   *domain.Kilogram
	Packed    domain.Kilogram
	Minutes   float64  // at the table, of all who cut
	Cutters   []string // initials
	YieldTold bool     // its weights speak to a yield: whole, all packed, nothing mixed in
}

// left is when the last of it left the house.
func (a Passed) left() *time.Time {
	if a.Home != nil {
		return a.Home
	}
	return a.Gone
}

// DayCount is one day of a season.
type DayCount struct {
	Day     time.Time // its midnight in the shop's zone
	In, Out int
	Hanging int // at the day's end: came and not yet on a table
	House   int // at the day's end: came and not yet gone
}

// DayCounts counts a season day by day, from the first animal's day to the day of
// until, at most 400 of them. Animals of earlier seasons still in the house are not
// in it.
func DayCounts(list []Passed, until time.Time, zone *time.Location) []DayCount {
	if len(list) == 0 {
		return nil
	}
	first := slices.MinFunc(list, func(a, b Passed) int { return a.Received.Compare(b.Received) }).Received
	in, out, tabled := map[int]int{}, map[int]int{}, map[int]int{}
	start := midnight(first, zone)
	for _, a := range list {
		in[daysFrom(start, a.Received, zone)]++
		left := a.left()
		if left != nil {
			out[daysFrom(start, *left, zone)]++
		}
		switch {
		case a.Tabled != nil:
			tabled[daysFrom(start, *a.Tabled, zone)]++
		case left != nil: // left without a table
			tabled[daysFrom(start, *left, zone)]++
		}
	}
	var days []DayCount
	hanging, house := 0, 0
	for n := 0; n <= min(daysFrom(start, until, zone), 400); n++ {
		hanging += in[n] - tabled[n]
		house += in[n] - out[n]
		days = append(days, DayCount{Day: start.AddDate(0, 0, n), In: in[n], Out: out[n], Hanging: hanging, House: house})
	}
	return days
}

func midnight(t time.Time, zone *time.Location) time.Time {
	y, m, d := t.In(zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, zone)
}

// daysFrom counts the shop's dates from start to t; a day of 23 or 25 hours is one.
func daysFrom(start, t time.Time, zone *time.Location) int {
	return int((midnight(t, zone).Sub(start) + 12*time.Hour) / (24 * time.Hour))
}

// Stage is a stretch of an animal's way through the shop.
type Stage string

// The stages.
const (
	ToHang  Stage = "to-hang"  // from the door to hook and scale
	ToTable Stage = "to-table" // from the hook to the table
	ToBoxes Stage = "to-boxes" // from the table to the last box
	ToHome  Stage = "to-home"  // from the last box to the door
	InAll   Stage = "in-all"
)

// Stages lists them in order.
var Stages = []Stage{ToHang, ToTable, ToBoxes, ToHome, InAll}

// anything is the range of a number that no one bounds.
var anything = Range{-1e9, 1e9}

// StageDays says how many days each stage took, of the animals that have passed it.
func StageDays(list []Passed) map[Stage]Own {
	values := map[Stage][]float64{}
	put := func(s Stage, from, to *time.Time) {
		if from != nil && to != nil && !to.Before(*from) {
			values[s] = append(values[s], to.Sub(*from).Hours()/24)
		}
	}
	for _, a := range list {
		put(ToHang, &a.Received, a.Hung)
		put(ToTable, cmp.Or(a.Hung, &a.Received), a.Tabled)
		put(ToBoxes, a.Tabled, a.Boxed)
		put(ToHome, a.Boxed, a.Home)
		put(InAll, &a.Received, a.Home)
	}
	return spreads(values)
}

func spreads[K comparable](values map[K][]float64) map[K]Own {
	list := map[K]Own{}
	for k, v := range values {
		list[k] = Of(v, anything)
	}
	return list
}

// Yields says how much of the hanging weight came into the packs, in parts of one:
// by kind, and by cutter for what one person cut alone. It says as much about the
// animals as about the knife.
func Yields(list []Passed) (byKind, byCutter map[string]Own) {
	kinds, cutters := map[string][]float64{}, map[string][]float64{}
	for _, a := range list {
		if !a.YieldTold || a.Hanging == nil || *a.Hanging <= 0 || a.Packed <= 0 {
			continue
		}
		y := float64(a.Packed / *a.Hanging)
		kinds[a.Kind] = append(kinds[a.Kind], y)
		if len(a.Cutters) == 1 {
			cutters[a.Cutters[0]] = append(cutters[a.Cutters[0]], y)
		}
	}
	return spreads(kinds), spreads(cutters)
}

// Paces says how many pounds of hanging weight one cutter did in an hour, for what
// they cut alone.
func Paces(list []Passed) map[string]Own {
	values := map[string][]float64{}
	for _, a := range list {
		if len(a.Cutters) == 1 && a.Minutes > 0 && a.Hanging != nil {
			values[a.Cutters[0]] = append(values[a.Cutters[0]], a.Hanging.Lb()/a.Minutes*60)
		}
	}
	return spreads(values)
}

// Lateness holds the promised days against the days the boxes were ready.
type Lateness struct {
	Promised int // animals with a day that were boxed, or whose day is past
	OnTime   int
	Late     int // boxed after the day
	Overdue  int // the day is past, not boxed
	Days     Own // how late, of those boxed late
}

// Late counts them. An animal is on time if its last box is put away on the promised
// date at the latest.
func Late(list []Passed, now time.Time, zone *time.Location) (l Lateness) {
	var days []float64
	for _, a := range list {
		if a.Promised == nil {
			continue
		}
		y, m, d := a.Promised.Date()
		promised := time.Date(y, m, d, 0, 0, 0, 0, zone)
		switch {
		case a.Boxed != nil && daysFrom(promised, *a.Boxed, zone) <= 0:
			l.OnTime++
		case a.Boxed != nil:
			l.Late++
			days = append(days, float64(daysFrom(promised, *a.Boxed, zone)))
		case a.left() == nil && daysFrom(promised, now, zone) > 0:
			l.Overdue++
		default:
			continue
		}
		l.Promised++
	}
	l.Days = Of(days, anything)
	return l
}

// Keys are the names of a table of spreads, those with most animals first.
func Keys(m map[string]Own) []string {
	return slices.SortedFunc(maps.Keys(m), func(a, b string) int { return cmp.Or(cmp.Compare(m[b].Count, m[a].Count), cmp.Compare(a, b)) })
}
