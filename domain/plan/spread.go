package plan

import (
	"cmp"
	"math"
	"slices"
)

// spread is the plan in which a job may be split over days and cutters: its
// minutes flow to the days at the least price. It is solved exactly, one job at a
// time along the cheapest chain of moves (successive shortest paths; Ahuja,
// Magnanti and Orlin 1993, Network Flows, chapter 9, from memory). All but a few
// jobs stay whole, which makes it the best beginning for a plan, and its day
// prices are the best there are for the bound.
type spread struct {
	b    *board
	days int       // the day after the last takes what is left out
	unit [][]int64 // price of a minute of each job on each day
	part [][]int   // minutes of each job on each day
	on   [][]int   // jobs with minutes on each day
	left []int     // minutes each day still has
	arc  [][]int64 // price of moving a minute from one day to another
	via  [][]int   // the job that moves it
}

const (
	fine        = 1 << 16 // prices of a minute are counted in parts this small
	nowhere     = math.MaxInt64 / 4
	spreadSteps = 3_000_000 // jobs times days squared up to which it is worth its time
)

// affordsSpread says whether the shop is small enough for it.
func (b *board) affordsSpread() bool { return len(b.jobs)*len(b.days)*len(b.days) <= spreadSteps }

// newSpread solves it for jobs whose price on each of their days is given, and
// whose price of being left out is out.
func newSpread(b *board, jobs []int, price func(j, d int) int64, out int64) *spread {
	n := len(b.days) + 1
	s := &spread{b: b, days: n - 1, unit: make([][]int64, len(b.jobs)), part: make([][]int, len(b.jobs)), on: make([][]int, n),
		left: append(slices.Clone(b.usable), math.MaxInt32), arc: make([][]int64, n), via: make([][]int, n)}
	for d := range n {
		s.arc[d], s.via[d] = make([]int64, n), make([]int, n)
		s.refresh(d)
	}
	for _, j := range jobs {
		s.unit[j], s.part[j] = make([]int64, n), make([]int, n)
		for d := range n {
			s.unit[j][d] = nowhere
		}
		minutes := int64(b.jobs[j].Minutes)
		for _, d := range b.best[j] {
			if p := price(j, d); p < nowhere {
				s.unit[j][d] = p * fine / minutes
			}
		}
		s.unit[j][s.days] = out * fine / minutes
	}
	for _, j := range jobs {
		for need := b.jobs[j].Minutes; need > 0; {
			need -= s.send(j, need)
		}
	}
	return s
}

// refresh finds the cheapest move from day d to every other.
func (s *spread) refresh(d int) {
	for e := range s.arc[d] {
		s.arc[d][e] = nowhere
	}
	for _, k := range s.on[d] {
		here := s.unit[k][d]
		for e, u := range s.unit[k] {
			if u < nowhere && u-here < s.arc[d][e] {
				s.arc[d][e], s.via[d][e] = u-here, k
			}
		}
	}
}

// send brings some of job j's minutes in along the cheapest chain, and returns how
// many.
func (s *spread) send(j, need int) int {
	dist, from := slices.Clone(s.unit[j]), make([]int, s.days+1)
	for d := range from {
		from[d] = -1
	}
	nearer := make([]bool, len(dist)) // since its moves were last looked at
	for d := range nearer {
		nearer[d] = dist[d] < nowhere
	}
	for again := true; again; {
		again = false
		for d := range dist {
			if !nearer[d] {
				continue
			}
			nearer[d] = false
			for e, a := range s.arc[d] {
				if a < nowhere && dist[d]+a < dist[e] {
					dist[e], from[e], nearer[e], again = dist[d]+a, d, true, true
				}
			}
		}
	}
	end := s.days
	for d := range s.days {
		if s.left[d] > 0 && dist[d] < dist[end] {
			end = d
		}
	}
	amount := min(need, s.left[end])
	for d := end; from[d] >= 0; d = from[d] {
		amount = min(amount, s.part[s.via[from[d]][d]][from[d]])
	}
	s.left[end] -= amount
	s.shift(j, end, from, amount)
	return amount
}

// shift moves the minutes along the chain that ends on day end.
func (s *spread) shift(j, end int, from []int, amount int) {
	touched := []int{end}
	d := end
	for ; from[d] >= 0; d = from[d] {
		k := s.via[from[d]][d]
		s.add(k, from[d], -amount)
		s.add(k, d, amount)
		touched = append(touched, from[d])
	}
	s.add(j, d, amount)
	for _, d := range touched {
		s.refresh(d)
	}
}

func (s *spread) add(j, d, minutes int) {
	had := s.part[j][d]
	s.part[j][d] += minutes
	switch {
	case had == 0 && minutes > 0:
		s.on[d] = append(s.on[d], j)
	case s.part[j][d] == 0 && minutes < 0:
		i := slices.Index(s.on[d], j)
		s.on[d] = slices.Delete(s.on[d], i, i+1)
	}
}

// prices are what a minute of each day is worth: the price of the cheapest chain
// from there to a day with minutes left.
func (s *spread) prices() []int64 {
	worth := make([]int64, s.days+1)
	for d := range worth {
		if worth[d] = nowhere; s.left[d] > 0 {
			worth[d] = 0
		}
	}
	for again := true; again; {
		again = false
		for d := range worth {
			for e, a := range s.arc[d] {
				if a < nowhere && worth[e] < nowhere && a+worth[e] < worth[d] {
					worth[d], again = a+worth[e], true
				}
			}
		}
	}
	for d := range worth {
		if worth[d] = max(0, worth[d]); worth[d] >= nowhere {
			worth[d] = 0 // nobody is there
		}
	}
	return worth[:s.days]
}

// whole reports whether the plan on the board is the split plan itself: every job
// with all its minutes on its day, or wholly left out. Rounded prices do not mix
// the order up: along a chain of 31 moves they are off by less than the least
// price of a minute.
func (s *spread) whole() bool {
	for j, part := range s.part {
		d := s.b.on[j]
		if d < 0 {
			d = s.days
		}
		if part != nil && part[d] != s.b.jobs[j].Minutes {
			return false
		}
	}
	return true
}

// laid returns the jobs, those least split first, and the days of each, most of
// its minutes first, then by what it costs there with the day's price.
func (s *spread) laid() (order []int, days func(j int) []int) {
	worth := s.prices()
	liked, largest := make([][]int, len(s.b.jobs)), make([]int, len(s.b.jobs))
	for j, part := range s.part {
		if part == nil {
			continue
		}
		liked[j] = slices.Clone(s.b.best[j])
		slices.SortStableFunc(liked[j], func(x, y int) int {
			return cmp.Or(cmp.Compare(part[y], part[x]), cmp.Compare(min(s.unit[j][x], nowhere)+worth[x], min(s.unit[j][y], nowhere)+worth[y]))
		})
		largest[j] = 100 * slices.Max(part) / s.b.jobs[j].Minutes
	}
	return s.b.order(func(x, y int) int {
		return cmp.Or(cmp.Compare(largest[y], largest[x]), cmp.Compare(s.b.jobs[y].Minutes, s.b.jobs[x].Minutes))
	}), func(j int) []int { return liked[j] }
}

// inOrder weighs the sums so that the more important always wins: one day of it
// outweighs all that the jobs of this shop can lose of the next. Strict says
// whether it could be weighed so.
func (b *board) inOrder() (weigh func(j, d int) int64, out int64, strict bool) {
	span := int64(1)
	for j, days := range b.best {
		for _, d := range days {
			for l := 1; l < 4; l++ {
				span = max(span, int64(b.cost[j][d][l]-b.cost[j][days[0]][l]))
			}
		}
	}
	need := int64(len(b.jobs))*span + 1
	w := min(need, 1<<14)
	weigh = func(j, d int) int64 {
		c := b.cost[j][d].minus(b.cost[j][b.best[j][0]])
		return int64(c[1])*w*w + int64(c[2])*w + int64(c[3])
	}
	out = 2 * w * w * (span + 1) * int64(len(b.jobs))
	most := int64(nowhere / fine / 4)
	return weigh, min(out, most), w == need && out <= most
}
