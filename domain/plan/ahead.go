package plan

import "time"

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
