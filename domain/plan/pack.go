package plan

import "slices"

// packer packs the jobs of one day anew, so that what several cutters have left
// comes together. It keeps its working space from one day to the next.
type packer struct {
	list  []int
	reach []uint64 // which sums of minutes can be reached, one row a job
	to    []int    // the cutter found for each job of list
}

// squeeze puts job j on day d by packing the whole day anew, and says whether it
// found a way. Nothing changes where it did not.
func (b *board) squeeze(j, d int) bool {
	if b.left[d] < b.jobs[j].Minutes {
		return false
	}
	b.steps -= 100 // about as long as a hundred places tried
	p := &b.packer
	p.list = append(append(p.list[:0], b.here[d]...), j)
	slices.SortFunc(p.list, func(x, y int) int {
		if m := b.jobs[y].Minutes - b.jobs[x].Minutes; m != 0 {
			return m
		}
		return x - y
	})
	if !p.firstFit(b, d) && !p.fill(b, d) {
		return false
	}
	for _, k := range p.list {
		if k != j {
			b.lift(k)
		}
	}
	for i, k := range p.list {
		b.put(k, d, p.to[i])
	}
	return true
}

// firstFit gives the longest job first to the first cutter with room.
func (p *packer) firstFit(b *board, d int) bool {
	free := slices.Clone(b.days[d].Cutters)
	p.to = p.to[:0]
	for _, j := range p.list {
		c := slices.IndexFunc(free, func(m int) bool { return m >= b.jobs[j].Minutes })
		if c < 0 {
			return false
		}
		free[c] -= b.jobs[j].Minutes
		p.to = append(p.to, c)
	}
	return true
}

// fill gives each cutter in turn the set of jobs that leaves the fewest minutes,
// long jobs preferred.
func (p *packer) fill(b *board, d int) bool {
	p.to = append(p.to[:0], make([]int, len(p.list))...)
	for i := range p.to {
		p.to[i] = -1
	}
	left := len(p.list)
	for c, minutes := range b.days[d].Cutters {
		left -= p.fillOne(b, c, minutes)
	}
	return left == 0
}

// words is how many words of 64 bits hold the sums from 0 to so many minutes.
func words(minutes int) int { return minutes/64 + 1 }

// fillOne fills one cutter and returns how many jobs it gave them. Row i of
// reach holds the sums that the jobs from i on can make.
func (p *packer) fillOne(b *board, c, minutes int) (given int) {
	n, words := len(p.list), words(minutes)
	p.reach = append(p.reach[:0], make([]uint64, (n+1)*words)...)
	p.reach[n*words] = 1
	for i := n - 1; i >= 0; i-- {
		row, next := p.reach[i*words:(i+1)*words], p.reach[(i+1)*words:(i+2)*words]
		copy(row, next)
		if p.to[i] < 0 {
			addShifted(row, next, b.jobs[p.list[i]].Minutes)
		}
	}
	sum := minutes
	for sum > 0 && !has(p.reach[:words], sum) {
		sum--
	}
	for i := 0; i < n && sum > 0; i++ {
		m := b.jobs[p.list[i]].Minutes
		if p.to[i] < 0 && m <= sum && has(p.reach[(i+1)*words:(i+2)*words], sum-m) {
			p.to[i], sum, given = c, sum-m, given+1
		}
	}
	return given
}

// addShifted adds to row every sum of from plus m.
func addShifted(row, from []uint64, m int) {
	whole, part := m/64, uint(m%64)
	for w := len(row) - 1; w > whole; w-- {
		row[w] |= from[w-whole]<<part | from[w-whole-1]>>(64-part) // shifted by 64 it is 0
	}
	if whole < len(row) {
		row[whole] |= from[0] << part
	}
}

func has(row []uint64, sum int) bool { return row[sum/64]>>(sum%64)&1 == 1 }

// measure finds how many minutes of each day some set of the jobs that may be cut
// on it can fill at most, each cutter for themselves: jobs of 45 minutes fill 450
// of 480.
func (b *board) measure() {
	b.usable = make([]int, len(b.days))
	for d, day := range b.days {
		sums := make([]uint64, words(b.largest[d]))
		sums[0] = 1
		for j := range b.jobs {
			if b.cost[j][d] != leftOut {
				addShifted(sums, slices.Clone(sums), b.jobs[j].Minutes)
			}
		}
		for _, minutes := range day.Cutters {
			for minutes > 0 && !has(sums, minutes) {
				minutes--
			}
			b.usable[d] += minutes
		}
	}
}
