package plan

// settlePasses bounds how often settle goes through the jobs.
const settlePasses = 60

// settle serves (4) and (5) at no cost to (0) to (3): of two that may change
// places, the one whose last day is sooner goes first where that leaves nobody
// much later than the rest, and else whoever dropped off earlier. A job also moves
// to an earlier day with room that costs it nothing.
func (b *board) settle() {
	for pass, again := 0, true; again && pass < settlePasses; pass++ {
		again = false
		for j := range b.jobs {
			for d := range b.days {
				if b.on[j] == d {
					break
				}
				if b.cost[j][d] != leftOut && b.earlier(j, d) {
					again = true
					break
				}
			}
		}
	}
}

// earlier brings job j to day d, if that costs nothing.
func (b *board) earlier(j, d int) bool {
	if b.on[j] >= 0 && b.cost[j][d] == b.costOf(j) {
		if c := b.roomFor(j, d); c >= 0 {
			b.lift(j)
			b.put(j, d, c)
			return true
		}
	}
	here := b.costOf(j)
	late := here[1]+here[2] > 0
	for _, k := range b.here[d] {
		if (late || k > j) && b.change(j, k) {
			return true
		}
	}
	return false
}

// change lets j, which is cut later or not at all, and k change places, if both
// fit, the sums stay and it is fairer so: lateness is shared more evenly, or as
// evenly and j was dropped off first.
func (b *board) change(j, k int) bool {
	dj, cj, dk, ck := b.on[j], b.cutter[j], b.on[k], b.cutter[k]
	jHere, kHere, jThere, kThere := &leftOut, &b.cost[k][dk], &b.cost[j][dk], &leftOut
	if dj >= 0 {
		jHere, kThere = &b.cost[j][dj], &b.cost[k][dj]
	}
	for l := range jHere {
		if jThere[l]+kThere[l] != jHere[l]+kHere[l] { // where k may not be, it would be left out
			return false
		}
	}
	if b.free[dk][ck]+b.jobs[k].Minutes < b.jobs[j].Minutes || dj >= 0 && b.free[dj][cj]+b.jobs[j].Minutes < b.jobs[k].Minutes {
		return false
	}
	had, has := lateness(jHere).plus(lateness(kHere)), lateness(jThere).plus(lateness(kThere))
	if had.less(has) || had == has && k < j {
		return false
	}
	b.lift(k)
	if dj >= 0 {
		b.lift(j)
		b.put(k, dj, cj)
	}
	b.put(j, dk, ck)
	return true
}

// uneven is how unevenly lateness is shared: the squares of the days past cut_by,
// then of the days past the promise. Of two plans with one sum of days, the one
// with fewer squares has nobody much later than the rest. At most 3,000 jobs times
// 110,000 days squared fit an int64.
type uneven [2]int64

func lateness(c *cost) uneven { return uneven{int64(c[1]) * int64(c[1]), int64(c[2]) * int64(c[2])} }

func (a uneven) plus(b uneven) uneven { return uneven{a[0] + b[0], a[1] + b[1]} }

func (a uneven) less(b uneven) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }
