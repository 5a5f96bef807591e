package plan

import "math/bits"

// exactSteps bounds the search to the end: 3 to the power of the jobs, times the
// cutters' days. Ten jobs on sixty of these take about a hundredth of a second.
const exactSteps = 4_000_000

// exact finds the best plan, as to (0) to (3), where that takes no more than
// exactSteps, and says whether it did. It goes through the cutters' days in order
// and keeps, for every set of jobs, the least cost of having cut just these by
// then:
//
//	best'[S] = min over T within S that fits this cutter of best[S-T] + cost(T)
func exact(b *board) bool {
	type slot struct{ day, cutter int }
	var slots []slot
	for d, day := range b.days {
		for c := range day.Cutters {
			slots = append(slots, slot{d, c})
		}
	}
	n := len(b.jobs)
	if !affordable(n, len(slots)) {
		return false
	}
	all := 1 << n
	best := make([]cost, all)
	for s := 1; s < all; s++ {
		best[s] = never
	}
	taken := make([][]uint16, len(slots)) // by slot and set: what this cutter takes of it
	for i, at := range slots {
		taken[i] = b.exactSlot(best, at.day, b.days[at.day].Cutters[at.cutter])
	}
	most, least := 0, never
	for s, c := range best {
		c[0] += int32(n - bits.OnesCount(uint(s)))
		if c.less(least) {
			most, least = s, c
		}
	}
	for i := len(slots) - 1; i >= 0; i-- {
		t := int(taken[i][most])
		for j := range n {
			if t>>j&1 == 1 {
				b.put(j, slots[i].day, slots[i].cutter)
			}
		}
		most &^= t
	}
	return true
}

// never is dearer than every plan.
var never = cost{1 << 20}

func affordable(jobs, slots int) bool {
	steps := max(1, slots)
	for range jobs {
		if steps *= 3; steps > exactSteps {
			return false
		}
	}
	return true
}

// exactSlot lets one more cutter's day take its part of every set. Larger sets
// come first, so that the smaller ones still stand as they were without it.
func (b *board) exactSlot(best []cost, day, minutes int) (taken []uint16) {
	taken = make([]uint16, len(best))
	costs := make([]cost, len(best))
	load := make([]int, len(best))
	for s := 1; s < len(best); s++ {
		j := bits.TrailingZeros(uint(s))
		rest := s & (s - 1)
		costs[s] = costs[rest].plus(b.cost[j][day])
		if load[s] = load[rest] + b.jobs[j].Minutes; b.cost[j][day] == leftOut || load[rest] > minutes {
			load[s] = minutes + 1
		}
	}
	for s := len(best) - 1; s > 0; s-- {
		for t := s; t > 0; t = (t - 1) & s {
			if load[t] > minutes {
				continue
			}
			if c := best[s&^t].plus(costs[t]); c.less(best[s]) {
				best[s], taken[s] = c, uint16(t)
			}
		}
	}
	return taken
}
