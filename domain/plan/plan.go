package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
)

// Job is one carcass to cut. Of the times only the date counts.
type Job struct {
	ID         string
	Earliest   time.Time // hard: the day it is cold and its gates are open
	ReadyFrom  time.Time // a wish; zero: none
	CutBy      time.Time
	Promise    time.Time // the promised day less freezing and specials; zero: none
	DroppedOff time.Time
	Minutes    int
	Run        Run // what kind of work it is; AnyRun: it may be cut on every day
}

// Day is a day on which somebody cuts.
type Day struct {
	Date    time.Time
	Cutters []int // minutes of each; a crew that works as a line is one cutter
	Takes   Run   // the runs it takes; AnyRun: all of them
	// AsTheyCome: on this day days before ready_from are not counted, so that a
	// crew with nothing ready, or a full room, has something to cut.
	AsTheyCome bool
}

// Run is a kind of work that is kept apart from others, such as livestock from
// game. A day that takes several is written Livestock | Game.
type Run uint8

// The runs of a shop.
const (
	AnyRun    Run = 0
	Livestock Run = 1 << iota
	Game
)

func (r Run) on(takes Run) bool { return r == AnyRun || takes == AnyRun || r&takes != 0 }

// Placed is a job with its day and cutter.
type Placed struct {
	ID     string
	Date   time.Time
	Cutter int // counted from 0
}

// Left is a job that no listed day could take, and why.
type Left struct {
	ID  string
	Why domain.Words
}

// Plan is who is cut when, how far that is from every wish, and how near any
// plan could come.
type Plan struct {
	Placed []Placed // by day, cutter, drop-off, id
	Left   []Left   // by drop-off, id

	PastCutBy   int // days, summed over the placed jobs
	PastPromise int
	BeforeReady int

	BoundPastCutBy   int  // no plan of as many jobs has fewer
	BoundPastPromise int  // no plan of as many jobs with no more days past cut_by has fewer
	Best             bool // searched to the end: (0) to (3) cannot be bettered
}

// The most that one plan takes. The largest shop hangs 300 (trade.md 1.2).
const (
	MostJobs    = 3000
	MostDays    = 400
	MostCutters = 50
	MostMinutes = 1440 // of a cutter's day, and of one job
)

// Make plans the jobs on the days, which may come in any order.
//
// With c(j,d) = (days past cut_by, days past promise, days before ready_from) of
// job j on day d, each at least 0, it seeks the least sum of c in the order of
// importance of this package over plans of the most jobs, where for each day and
// cutter the sum of minutes stays within the cutter's.
//
// Range: up to 3,000 jobs, 400 days, 50 cutters a day; minutes of a job 1 to
// 1,440, of a cutter 0 to 1,440; dates of the years 1900 to 2199; ids unique and
// not empty, dates of days unique. Outside it the field is named and nothing is
// planned. Source: readiness.md section 11. What a butcher would argue with: two
// cutters never share one carcass, and every cutter is as quick as the next.
func Make(days []Day, jobs []Job) (Plan, error) {
	if err := check(days, jobs); err != nil {
		return Plan{}, err
	}
	b := newBoard(days, jobs)
	best := exact(b)
	if !best {
		best = b.search()
	}
	b.settle()
	p := b.plan()
	p.Best = best
	if best {
		p.BoundPastCutBy, p.BoundPastPromise = p.PastCutBy, p.PastPromise
	} else {
		p.BoundPastCutBy, p.BoundPastPromise = b.proven[1], b.proven[2]
	}
	return p, nil
}

// check refuses what is out of range, by the names of the calculator contract.
func check(days []Day, jobs []Job) error {
	switch {
	case len(days) > MostDays:
		return domain.Wrong("days", "There are %d days. At most %d are planned at once.", len(days), MostDays)
	case len(jobs) > MostJobs:
		return domain.Wrong("jobs", "There are %d jobs. At most %d are planned at once.", len(jobs), MostJobs)
	}
	dates := make(map[int32]bool, len(days))
	for i, d := range days {
		if err := checkDay(fmt.Sprintf("days[%d].", i), d); err != nil {
			return err
		}
		if dates[number(d.Date)] {
			return domain.Wrong(fmt.Sprintf("days[%d].date", i), "This day stands in the list twice.")
		}
		dates[number(d.Date)] = true
	}
	ids := make(map[string]bool, len(jobs))
	for i, j := range jobs {
		at := fmt.Sprintf("jobs[%d].", i)
		if err := checkJob(at, j); err != nil {
			return err
		}
		if ids[j.ID] {
			return domain.Wrong(at+"id", "This id stands in the list twice.")
		}
		ids[j.ID] = true
	}
	return nil
}

func checkDay(at string, d Day) error {
	if err := checkDate(at+"date", d.Date); err != nil {
		return err
	}
	if len(d.Cutters) > MostCutters {
		return domain.Wrong(at+"cutter_minutes", "There are %d cutters. At most %d work on one day.", len(d.Cutters), MostCutters)
	}
	for c, m := range d.Cutters {
		if m < 0 || m > MostMinutes {
			return domain.Wrong(fmt.Sprintf("%scutter_minutes[%d]", at, c), "This must be from 0 to %d, not %d.", MostMinutes, m)
		}
	}
	return nil
}

func checkJob(at string, j Job) error {
	if j.ID == "" {
		return domain.Wrong(at+"id", "This is empty.")
	}
	if j.Minutes < 1 || j.Minutes > MostMinutes {
		return domain.Wrong(at+"minutes", "This must be from 1 to %d, not %d.", MostMinutes, j.Minutes)
	}
	for _, t := range []struct {
		name     string
		at       time.Time
		optional bool
	}{
		{"earliest", j.Earliest, false}, {"ready_from", j.ReadyFrom, true}, {"cut_by", j.CutBy, false},
		{"promise", j.Promise, true}, {"dropped_off", j.DroppedOff, false},
	} {
		if t.optional && t.at.IsZero() {
			continue
		}
		if err := checkDate(at+t.name, t.at); err != nil {
			return err
		}
	}
	return nil
}

func checkDate(at string, t time.Time) error {
	if t.Year() < 1900 || t.Year() > 2199 {
		return domain.Wrong(at, "The year %d cannot be right.", t.Year())
	}
	return nil
}

// number counts the days of the calendar.
func number(t time.Time) int32 {
	y, m, d := t.Date()
	return int32(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// plan writes down what stands on the board.
func (b *board) plan() Plan {
	p := Plan{Placed: []Placed{}, Left: []Left{}}
	for d := range b.days {
		for _, j := range b.here[d] {
			p.Placed = append(p.Placed, Placed{ID: b.jobs[j].ID, Date: b.days[d].Date, Cutter: b.cutter[j]})
		}
	}
	for j := range b.jobs {
		if b.on[j] < 0 {
			p.Left = append(p.Left, Left{b.jobs[j].ID, b.why(j)})
		}
	}
	order := make(map[string]int, len(b.jobs))
	for i, j := range b.jobs {
		order[j.ID] = i
	}
	slices.SortFunc(p.Placed, func(x, y Placed) int {
		return cmp.Or(x.Date.Compare(y.Date), cmp.Compare(x.Cutter, y.Cutter), cmp.Compare(order[x.ID], order[y.ID]))
	})
	sum := b.sum()
	p.PastCutBy, p.PastPromise, p.BeforeReady = int(sum[1]), int(sum[2]), int(sum[3])
	return p
}

// why says what keeps a job out of the listed days.
func (b *board) why(j int) domain.Words {
	job, late, other, small := b.jobs[j], true, true, true
	for d, day := range b.days {
		if number(day.Date) < number(job.Earliest) {
			continue
		}
		late = false
		if !job.Run.on(day.Takes) {
			continue
		}
		other = false
		small = small && b.largest[d] < job.Minutes
	}
	switch {
	case len(b.days) == 0:
		return domain.Say("No day is listed.")
	case late:
		return domain.Say("It cannot be cut before %s, after the last listed day.", job.Earliest.Format(time.DateOnly))
	case other:
		return domain.Say("None of the days from %s on takes its kind.", job.Earliest.Format(time.DateOnly))
	case small:
		return domain.Say("It takes %d minutes; no cutter has that many on one day from %s on.", job.Minutes, job.Earliest.Format(time.DateOnly))
	}
	return domain.Say("The listed days are full: it would take another animal's place.")
}

// byDropOff is the order of (4).
func byDropOff(a, b Job) int {
	return cmp.Or(cmp.Compare(number(a.DroppedOff), number(b.DroppedOff)), strings.Compare(a.ID, b.ID))
}
