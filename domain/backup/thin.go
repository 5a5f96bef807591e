package backup

import (
	"slices"
	"time"
)

// How many copies stay: of the last days, weeks and months that have one, the
// newest of each. Common practice, no source.
const (
	Days   = 7
	Weeks  = 5
	Months = 12
)

// Thin returns which copies may go, the oldest first. The newest never does.
func Thin(made []time.Time, zone *time.Location) (drop []time.Time) {
	newest := slices.SortedFunc(slices.Values(made), func(a, b time.Time) int { return b.Compare(a) })
	keep := map[time.Time]bool{}
	for _, span := range []struct {
		most int
		of   func(time.Time) [2]int
	}{
		{Days, func(t time.Time) [2]int { return [2]int{t.Year(), t.YearDay()} }},
		{Weeks, func(t time.Time) [2]int { y, w := t.ISOWeek(); return [2]int{y, w} }},
		{Months, func(t time.Time) [2]int { return [2]int{t.Year(), int(t.Month())} }},
	} {
		seen := map[[2]int]bool{}
		for _, t := range newest {
			if key := span.of(t.In(zone)); !seen[key] && len(seen) < span.most {
				seen[key], keep[t] = true, true
			}
		}
	}
	for _, t := range slices.Backward(newest) {
		if !keep[t] {
			drop = append(drop, t)
		}
	}
	return drop
}
