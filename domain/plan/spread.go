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

	worth []int64 // price of the cheapest chain of moves from each day to one with minutes left
	next  []int   // its first day, -1: the day itself has minutes left
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
		left: append(slices.Clone(b.usable), math.MaxInt32), arc: make([][]int64, n), via: make([][]int, n),
		worth: make([]int64, n), next: make([]int, n)}
	for d := range n {
		s.arc[d], s.via[d] = slices.Repeat([]int64{nowhere}, n), slices.Repeat([]int{-1}, n)
	}
	s.weigh()
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

// came lets job k, which now has minutes on day d, make the moves from there that
// it makes cheapest.
func (s *spread) came(d, k int) {
	arc, via, unit := s.arc[d], s.via[d], s.unit[k]
	for e, u := range unit {
		if u < nowhere && u-unit[d] < arc[e] {
			arc[e], via[e] = u-unit[d], k
		}
	}
}

// went finds others for the moves from day d that job k made.
func (s *spread) went(d, k int) {
	arc, via := s.arc[d], s.via[d]
	for e := range arc {
		if via[e] != k {
			continue
		}
		arc[e], via[e] = nowhere, -1
		for _, j := range s.on[d] {
			if u := s.unit[j][e]; u < nowhere && u-s.unit[j][d] < arc[e] {
				arc[e], via[e] = u-s.unit[j][d], j
			}
		}
	}
}

// send brings some of job j's minutes in along the cheapest chain, and returns how
// many.
func (s *spread) send(j, need int) int {
	first, least := s.days, int64(nowhere)
	for d, u := range s.unit[j] {
		if u < nowhere && s.worth[d] < nowhere && u+s.worth[d] < least {
			first, least = d, u+s.worth[d]
		}
	}
	amount, end := need, first
	for ; s.next[end] >= 0; end = s.next[end] {
		amount = min(amount, s.part[s.via[end][s.next[end]]][end])
	}
	amount = min(amount, s.left[end])
	s.left[end] -= amount
	s.add(j, first, amount)
	for d, e := first, s.next[first]; e >= 0; d, e = e, s.next[e] {
		k := s.via[d][e] // before what comes and goes changes the moves
		s.add(k, d, -amount)
		s.add(k, e, amount)
	}
	s.weigh()
	return amount
}

// weigh finds the cheapest chain from every day to one with minutes left anew
// (Dijkstra 1959; what the chains cost before makes every move cost 0 or more).
func (s *spread) weigh() {
	const open = int64(nowhere)
	more, done := slices.Repeat([]int64{open}, len(s.worth)), make([]bool, len(s.worth))
	for d, left := range s.left {
		if left > 0 {
			more[d], s.next[d] = 0, -1
		}
	}
	for range more {
		d := -1
		for e, m := range more {
			if !done[e] && m < open && (d < 0 || m < more[d]) {
				d = e
			}
		}
		if d < 0 {
			break
		}
		done[d] = true
		for c, arc := range s.arc {
			if a := arc[d]; !done[c] && a < nowhere && more[d]+a+s.worth[d]-s.worth[c] < more[c] {
				more[c], s.next[c] = more[d]+a+s.worth[d]-s.worth[c], d
			}
		}
	}
	for d := range s.worth {
		s.worth[d] = min(s.worth[d]+more[d], nowhere)
	}
}

func (s *spread) add(j, d, minutes int) {
	had := s.part[j][d]
	s.part[j][d] += minutes
	switch {
	case had == 0 && minutes > 0:
		s.on[d] = append(s.on[d], j)
		s.came(d, j)
	case s.part[j][d] == 0 && minutes < 0:
		i := slices.Index(s.on[d], j)
		s.on[d] = slices.Delete(s.on[d], i, i+1)
		s.went(d, j)
	}
}

// prices are what a minute of each day is worth: the price of the cheapest chain
// from there to a day with minutes left.
func (s *spread) prices() []int64 {
	prices := slices.Clone(s.worth[:s.days])
	for d, p := range prices {
		if prices[d] = max(0, p); p >= nowhere {
			prices[d] = 0 // nobody is there
		}
	}
	return prices
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
