package plan

// settlePasses bounds how often settle goes through the jobs.
const settlePasses = 60

// settle serves (4): at no other cost, whoever dropped off earlier is cut
// earlier. A job moves to an earlier day with room, or changes places with one
// that was dropped off later, as long as the sums (0) to (3) stay as they are.
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
	for _, k := range b.here[d] {
		if k > j && b.change(j, k) {
			return true
		}
	}
	return false
}

// change lets j and k change places, if both fit and the sum stays.
func (b *board) change(j, k int) bool {
	dj, cj, dk, ck := b.on[j], b.cutter[j], b.on[k], b.cutter[k]
	kThere := leftOut
	if dj >= 0 {
		kThere = b.cost[k][dj]
		if kThere == leftOut || b.free[dj][cj]+b.jobs[j].Minutes < b.jobs[k].Minutes {
			return false
		}
	}
	if b.cost[j][dk].plus(kThere) != b.costOf(j).plus(b.costOf(k)) || b.free[dk][ck]+b.jobs[k].Minutes < b.jobs[j].Minutes {
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
