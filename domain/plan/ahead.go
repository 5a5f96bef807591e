package plan

import (
	"math"
	"slices"
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

// Full returns the day the rooms fill, as the drop-off reckons it, where jobs still
// wait to be ready after it; a zero day: the rooms last, or fill too late to matter.
// It is the same day on both pages, at the pace of the last week: what the plan
// would empty by then is no other reckoning. Common practice, no source.
func Full(jobs []Job, fills time.Time) time.Time {
	for _, j := range jobs {
		if !fills.IsZero() && j.ReadyFrom.After(fills) {
			return fills
		}
	}
	return time.Time{}
}

// Behind is by how much more hangs than the crew can cut in time.
type Behind struct {
	Late      int       // jobs past their last day before their turn
	Until     time.Time // the last day up to which the crew falls short by most
	Cut, Need int       // carcasses a day of cutting up to then: planned, and at least needed
}

// Behind counts who is late by the plan, and what a day of cutting would have to bring
// at the least for nobody to be:
//
//	Need = max over days D of (jobs that could be and have to be cut by D) / (days of cutting up to D)
//
// rounded up. A job that no day of cutting lies in time for is late whatever the crew
// does and counts for Late alone. False: nobody is late, or not for want of hands. The
// count of what has to be done by a day against the time until then is the usual test
// of due dates (counting, no source needed).
func (p Plan) Behind(days []Day, jobs []Job) (b Behind, is bool) {
	on, cutOn, dueOn := make(map[string]time.Time, len(p.Placed)), map[time.Time]int{}, map[time.Time]int{}
	for _, at := range p.Placed {
		on[at.ID] = at.Date
		cutOn[at.Date]++
	}
	for _, j := range jobs {
		if couldBe(j, days) {
			dueOn[j.CutBy]++
		}
	}
	open, due, cut, need := 0, 0, 0, 0.0
	for _, d := range days {
		if largest(d) > 0 {
			open++
		}
		due, cut = due+dueOn[d.Date], cut+cutOn[d.Date]
		if open > 0 && float64(due)/float64(open) > need {
			need = float64(due) / float64(open)
			b.Until, b.Cut, b.Need = d.Date, int(math.Round(float64(cut)/float64(open))), int(math.Ceil(need))
		}
	}
	for _, j := range jobs {
		at, placed := on[j.ID]
		if placed && at.After(j.CutBy) || !placed && len(days) > 0 && !j.CutBy.After(days[len(days)-1].Date) {
			b.Late++
		}
	}
	return b, b.Late > 0 && b.Need > b.Cut
}

// couldBe reports whether a day of cutting lies in time for the job.
func couldBe(j Job, days []Day) bool {
	return slices.ContainsFunc(days, func(d Day) bool {
		return !d.Date.Before(j.Earliest) && !d.Date.After(j.CutBy) && j.Run.on(d.Takes) && largest(d) >= j.Minutes
	})
}

// largest is the most minutes one cutter of the day has.
func largest(d Day) int {
	if len(d.Cutters) == 0 {
		return 0
	}
	return slices.Max(d.Cutters)
}
