package plan

import (
	"math"
	"time"
)

// aWeek is how far ahead the shop is told of a crew that stands idle.
const aWeek = 7

// Idle returns the first of the coming seven days on which the crew has time and
// nothing planned, while jobs that could be cut that day wait to be ready; and
// how many wait. A zero day: there is none.
func (p Plan) Idle(days []Day, jobs []Job) (day time.Time, waiting int) {
	busy := map[time.Time]bool{}
	on := map[string]time.Time{}
	for _, at := range p.Placed {
		busy[at.Date], on[at.ID] = true, at.Date
	}
	for _, d := range days[:min(aWeek, len(days))] {
		longest := 0
		for _, m := range d.Cutters {
			longest = max(longest, m)
		}
		if busy[d.Date] || longest == 0 || d.AsTheyCome {
			continue
		}
		waiting := 0
		for _, j := range jobs {
			if at, ok := on[j.ID]; ok && at.After(d.Date) && !j.Earliest.After(d.Date) && j.ReadyFrom.After(d.Date) && j.Minutes <= longest && j.Run.on(d.Takes) {
				waiting++
			}
		}
		if waiting > 0 {
			return d.Date, waiting
		}
	}
	return time.Time{}, 0
}

// mostArrivals is more than any small shop takes in a day; more, and what is no
// number, counts as this. Common practice, no source.
const mostArrivals = 1000

// Full returns the first listed day on which more comes in than places are free
// and the plan has emptied by then, while jobs still wait to be ready. Arrivals
// are those a day of the week before; what comes in is not cut within the time.
func (p Plan) Full(days []Day, jobs []Job, free int, arrivals float64) time.Time {
	cut := map[time.Time]int{}
	last := time.Time{}
	for _, at := range p.Placed {
		cut[at.Date]++
	}
	for _, j := range jobs {
		if j.ReadyFrom.After(last) {
			last = j.ReadyFrom
		}
	}
	if !(arrivals <= mostArrivals) {
		arrivals = mostArrivals
	}
	gone := 0
	for i, d := range days {
		came := int(math.Floor(arrivals * float64(i+1)))
		gone += cut[d.Date]
		if came > free+gone && d.Date.Before(last) {
			return d.Date
		}
	}
	return time.Time{}
}
