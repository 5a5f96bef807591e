package plan

import "slices"

// cost is what a job or a plan costs, in the order of importance: jobs left out,
// days past cut_by, days past promise, days before ready_from. At most 3,000
// jobs times 110,000 days fit an int32.
type cost [4]int32

// leftOut is the cost of a job without a day.
var leftOut = cost{1}

func (a cost) plus(b cost) cost {
	return cost{a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]}
}

func (a cost) minus(b cost) cost {
	return cost{a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3]}
}

func (a cost) less(b cost) bool {
	for i := range a {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return false
}

// board holds the jobs, the days, and which job hangs on which day for now.
type board struct {
	jobs []Job    // by drop-off, then id
	due  []due    // of each job
	days []Day    // by date
	cost [][]cost // by job and day; leftOut where it may not be
	best [][]int  // each job's days, the cheapest first, the earlier of two alike

	on     []int   // each job's day, -1: left out
	cutter []int   // each job's cutter
	here   [][]int // the jobs of each day
	free   [][]int // minutes left, by day and cutter
	left   []int   // minutes left of each day, all cutters

	number  []int32 // the day of the calendar of each day
	largest []int   // the largest cutter of each day
	usable  []int   // minutes of each day that some set of jobs can fill, at most
	proven  [4]int
	steps   int // steps of the search still allowed
	packer  packer
}

// due are the dates of a job as days of the calendar, counted once.
type due struct{ earliest, cutBy, promise, readyFrom int32 }

// whenever stands for a promise never made and a wish never had.
const whenever = 1 << 30

func dueOf(j Job) due {
	d := due{number(j.Earliest), number(j.CutBy), whenever, -whenever}
	if !j.Promise.IsZero() {
		d.promise = number(j.Promise)
	}
	if !j.ReadyFrom.IsZero() {
		d.readyFrom = number(j.ReadyFrom)
	}
	return d
}

func newBoard(days []Day, jobs []Job) *board {
	b := &board{jobs: slices.Clone(jobs), days: slices.Clone(days)}
	slices.SortFunc(b.jobs, byDropOff)
	slices.SortFunc(b.days, func(x, y Day) int { return x.Date.Compare(y.Date) })
	b.cost, b.best = make([][]cost, len(jobs)), make([][]int, len(jobs))
	for _, d := range b.days {
		b.largest = append(b.largest, largest(d))
		b.number = append(b.number, number(d.Date))
	}
	b.due = make([]due, len(jobs))
	for j := range b.jobs {
		b.due[j] = dueOf(b.jobs[j])
		b.price(j)
	}
	b.clear()
	return b
}

// price fills in what job j costs on each day and in which order it likes them.
func (b *board) price(j int) {
	job, due := b.jobs[j], b.due[j]
	b.cost[j] = make([]cost, len(b.days))
	for d, day := range b.days {
		b.cost[j][d] = leftOut
		n := b.number[d]
		if n < due.earliest || !job.Run.on(day.Takes) || job.Minutes > b.largest[d] {
			continue
		}
		c := cost{0, max(0, n-due.cutBy), max(0, n-due.promise), max(0, due.readyFrom-n)}
		if day.AsTheyCome {
			c[3] = 0
		}
		b.cost[j][d] = c
		b.best[j] = append(b.best[j], d)
	}
	slices.SortStableFunc(b.best[j], func(x, y int) int {
		switch {
		case b.cost[j][x].less(b.cost[j][y]):
			return -1
		case b.cost[j][y].less(b.cost[j][x]):
			return 1
		}
		return 0
	})
}

// clear takes every job off its day.
func (b *board) clear() {
	b.on, b.cutter = make([]int, len(b.jobs)), make([]int, len(b.jobs))
	b.here, b.free, b.left = make([][]int, len(b.days)), make([][]int, len(b.days)), make([]int, len(b.days))
	for j := range b.on {
		b.on[j] = -1
	}
	for d, day := range b.days {
		b.free[d] = slices.Clone(day.Cutters)
		for _, m := range day.Cutters {
			b.left[d] += m
		}
	}
}

// costOf is what job j costs where it is now.
func (b *board) costOf(j int) cost {
	if b.on[j] < 0 {
		return leftOut
	}
	return b.cost[j][b.on[j]]
}

func (b *board) sum() (s cost) {
	for j := range b.jobs {
		s = s.plus(b.costOf(j))
	}
	return s
}

// put gives job j, which is on no day, to a cutter.
func (b *board) put(j, d, cutter int) {
	b.on[j], b.cutter[j] = d, cutter
	b.here[d] = append(b.here[d], j)
	b.free[d][cutter] -= b.jobs[j].Minutes
	b.left[d] -= b.jobs[j].Minutes
}

// lift takes job j off its day.
func (b *board) lift(j int) {
	d := b.on[j]
	i := slices.Index(b.here[d], j)
	last := len(b.here[d]) - 1
	b.here[d][i] = b.here[d][last]
	b.here[d] = b.here[d][:last]
	b.free[d][b.cutter[j]] += b.jobs[j].Minutes
	b.left[d] += b.jobs[j].Minutes
	b.on[j] = -1
}

// roomFor returns the cutter of day d whom job j fills best, -1 where none has
// the minutes.
func (b *board) roomFor(j, d int) int {
	need, found := b.jobs[j].Minutes, -1
	if b.left[d] < need {
		return -1
	}
	for c, free := range b.free[d] {
		if free >= need && (found < 0 || free < b.free[d][found]) {
			found = c
		}
	}
	return found
}

// layout is a board's plan, kept to come back to.
type layout struct{ on, cutter []int }

func (b *board) keep() layout { return layout{slices.Clone(b.on), slices.Clone(b.cutter)} }

func (b *board) restore(l layout) {
	b.clear()
	for j, d := range l.on {
		if d >= 0 {
			b.put(j, d, l.cutter[j])
		}
	}
}
