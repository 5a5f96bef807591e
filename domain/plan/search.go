package plan

import (
	"cmp"
	"slices"
)

// searchSteps bounds the search. It is counted in places tried, not in seconds,
// so that one input gives one plan on every machine; 300 jobs on 30 days of 4
// cutters come to rest within it.
const searchSteps = 1_000_000

// search looks for a good plan from several beginnings: by the clock that runs
// out first, by the shorter work, and from the best plan that may split jobs.
// Each is mended by moving one job and what it pushes out, and the best is mended
// further. Where the split plan turns out to split nothing it is the best there
// is, and search says so.
func (b *board) search() (best bool) {
	b.measure()
	b.steps = searchSteps
	kept, least := layout{}, never
	try := func(order []int, days func(j int) []int) {
		b.clear()
		b.lay(order, days)
		b.mend(1, searchSteps/10)
		if s := b.sum(); s.less(least) {
			kept, least = b.keep(), s
		}
		b.restore(kept)
	}
	if b.affordsSpread() {
		weigh, out, strict := b.inOrder()
		split := newSpread(b, b.order(b.sooner), weigh, out)
		b.clear()
		b.lay(split.laid())
		if strict && split.whole() {
			return true
		}
		try(split.laid())
	}
	liked := func(j int) []int { return b.best[j] }
	for _, by := range []func(x, y int) int{b.sooner, b.shorter} {
		try(b.order(by), liked)
	}
	for depth := 1; depth <= 3; depth++ {
		b.mend(depth, b.steps/2)
	}
	b.prove()
	return false
}

// prove bounds the sums of the plan as it now stands.
func (b *board) prove() {
	for level := 1; level <= 2; level++ {
		if sum := int(b.sum()[level]); sum > 0 {
			b.proven[level] = min(sum, b.relax(level).solve())
		}
	}
}

// order lists the jobs by the comparison, then by drop-off.
func (b *board) order(by func(x, y int) int) []int {
	list := make([]int, len(b.jobs))
	for j := range list {
		list[j] = j
	}
	slices.SortStableFunc(list, by)
	return list
}

func (b *board) sooner(x, y int) int {
	p, q := b.due[x], b.due[y]
	return cmp.Or(cmp.Compare(p.cutBy, q.cutBy), cmp.Compare(p.promise, q.promise), cmp.Compare(b.jobs[y].Minutes, b.jobs[x].Minutes))
}

func (b *board) shorter(x, y int) int {
	return cmp.Or(cmp.Compare(b.jobs[x].Minutes, b.jobs[y].Minutes), b.sooner(x, y))
}

// lay puts the jobs one after the other on the first of their days with room.
func (b *board) lay(order []int, days func(j int) []int) {
	for _, j := range order {
		for _, d := range days(j) {
			if c := b.roomFor(j, d); c >= 0 {
				b.put(j, d, c)
				break
			}
			if b.squeeze(j, d) {
				break
			}
		}
	}
}

// mend moves jobs to days that cost less, each pushing out up to depth others in
// turn, until nothing gets better or the steps are used.
func (b *board) mend(depth, steps int) {
	stop := b.steps - steps
	for again := true; again && b.steps > stop; {
		again = false
		for j := range b.jobs {
			if len(b.best[j]) == 0 || !b.cost[j][b.best[j][0]].less(b.costOf(j)) || b.steps <= stop {
				continue
			}
			if b.rehang(j, depth, stop) {
				again = true
			}
		}
	}
}

// rehang seeks a cheaper day for job j.
func (b *board) rehang(j, depth, stop int) bool {
	had, day, cutter := b.costOf(j), b.on[j], b.cutter[j]
	if day >= 0 {
		b.lift(j)
	}
	if b.place(j, had, depth, stop) {
		return true
	}
	if day >= 0 {
		b.put(j, day, cutter)
	}
	return false
}

// place finds a day for job j, which is on none, at a total cost below credit,
// pushing out up to depth others. Where it finds none the board is as before.
func (b *board) place(j int, credit cost, depth, stop int) bool {
	for _, d := range b.best[j] {
		c := b.cost[j][d]
		if !c.less(credit) || b.steps <= stop {
			break
		}
		b.steps--
		if cutter := b.roomFor(j, d); cutter >= 0 {
			b.put(j, d, cutter)
			return true
		}
		if b.squeeze(j, d) || depth > 0 && b.pushOut(j, d, credit.minus(c), depth, stop) {
			return true
		}
	}
	return leftOut.less(credit)
}

// pushOut gives job j the place of another on day d, which then finds a place of
// its own within the credit.
func (b *board) pushOut(j, d int, credit cost, depth, stop int) bool {
	need := b.jobs[j].Minutes
	for i := 0; i < len(b.here[d]); i++ {
		k := b.here[d][i]
		b.steps--
		cutter := b.cutter[k]
		left := credit.plus(b.cost[k][d])
		if b.free[d][cutter]+b.jobs[k].Minutes < need || !b.cost[k][b.best[k][0]].less(left) {
			continue
		}
		b.lift(k)
		b.put(j, d, cutter)
		if b.place(k, left, depth-1, stop) {
			return true
		}
		b.lift(j)
		b.put(k, d, cutter)
		last := len(b.here[d]) - 1 // k came back at the end; it goes where it was
		b.here[d][i], b.here[d][last] = b.here[d][last], b.here[d][i]
	}
	return false
}
