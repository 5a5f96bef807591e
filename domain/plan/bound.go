package plan

import "math"

// The bound is Lagrange's: each day's minutes get a price, each day's excess is
// paid for instead of forbidden, and what is then least is least for every plan
// that keeps to the minutes.
//
//	L(p) = sum over j of min over d of (c(j,d) + p(d) m(j)) - sum over d of p(d) U(d)
//
// c in days, m in minutes, p >= 0 in days a minute, U the minutes of the day that
// some set of jobs can fill. For every p, L(p) is at most the best plan's sum.
// What is more important and already reached (days past cut_by when the promise
// is bounded; jobs left out) is priced in the same way. Source: the standard
// relaxation of the generalised assignment problem (Fisher 1981, Management
// Science 27:1-18, from memory); the prices are found by subgradient steps of
// Polyak's length towards the sum of the plan in hand.
const (
	scale       = 1 << 16 // prices and days are counted in parts of a day this small
	rounds      = 150     // steps of the prices
	patience    = 8       // rounds without a better bound before steps are halved
	dearest     = 1e10    // a price above this is held there: far above 100,000 days a minute
	dearestMore = 1e9
)

// prices are what a minute of each day, a day of the more important sums and a
// place among those left out cost at the moment, in parts of a day.
type prices struct {
	day  []int64
	more [4]int64
	out  int64
}

// offer is one (job, day) the bound may choose.
type offer struct {
	day  int
	cost cost
}

// relaxed is the problem without the minutes.
type relaxed struct {
	b      *board
	level  int       // what is bounded: 1 past cut_by, 2 past promise, 3 before ready_from
	jobs   []int     // those some day may take
	offers [][]offer // each job's days
	spare  int64     // how many may be left out
	limit  cost      // what is reached of the more important sums
	minute float64   // mean minutes of a job, so that prices of unlike things move alike
}

// relax sets the problem up from the plan in hand. Where every job has a day and
// the more important sum is as small as each job's own least, a job keeps only
// the days of that least.
func (b *board) relax(level int) *relaxed {
	r := &relaxed{b: b, level: level, limit: b.sum(), offers: make([][]offer, len(b.jobs))}
	total := 0
	for j := range b.jobs {
		if len(b.best[j]) == 0 {
			continue
		}
		r.jobs = append(r.jobs, j)
		total += b.jobs[j].Minutes
		if b.on[j] < 0 {
			r.spare++
		}
		for _, d := range b.best[j] {
			r.offers[j] = append(r.offers[j], offer{d, b.cost[j][d]})
		}
	}
	r.minute = float64(total) / float64(max(1, len(r.jobs)))
	for l := 1; l < level && r.spare == 0; l++ {
		if !r.narrow(l) {
			break
		}
	}
	return r
}

// narrow keeps the offers of each job's least in sum l, if the plan has just that.
func (r *relaxed) narrow(l int) bool {
	least, kept := int32(0), make([][]offer, len(r.offers))
	for _, j := range r.jobs {
		low := int32(math.MaxInt32)
		for _, o := range r.offers[j] {
			low = min(low, o.cost[l])
		}
		least += low
		for _, o := range r.offers[j] {
			if o.cost[l] == low {
				kept[j] = append(kept[j], o)
			}
		}
	}
	if least == r.limit[l] {
		r.offers = kept
	}
	return least == r.limit[l]
}

// slack is by how much the relaxed choice uses more than there is.
type slack struct {
	day  []int64
	more [4]int64
	out  int64
}

// value is L(p) in parts of a day, with what the choice behind it overuses.
func (r *relaxed) value(p prices, over *slack) (sum int64) {
	for d := range over.day {
		over.day[d] = -int64(r.b.usable[d])
		sum -= p.day[d] * int64(r.b.usable[d])
	}
	for l := 1; l < r.level; l++ {
		over.more[l] = -int64(r.limit[l])
		sum -= p.more[l] * int64(r.limit[l])
	}
	over.out = -r.spare
	sum -= p.out * r.spare
	for _, j := range r.jobs {
		sum += r.choose(j, p, over)
	}
	return sum
}

// choose gives job j the cheapest offer at these prices.
func (r *relaxed) choose(j int, p prices, over *slack) int64 {
	minutes, least, chosen := int64(r.b.jobs[j].Minutes), int64(math.MaxInt64), -1
	if r.spare > 0 {
		least = p.out
	}
	for i, o := range r.offers[j] {
		v := r.charge(o.cost, p) + p.day[o.day]*minutes
		if v < least {
			least, chosen = v, i
		}
	}
	if chosen < 0 {
		over.out++
		return least
	}
	o := r.offers[j][chosen]
	over.day[o.day] += minutes
	for l := 1; l < r.level; l++ {
		over.more[l] += int64(o.cost[l])
	}
	return least
}

// solve returns the highest bound it finds, in whole days, rounded up: no plan
// has half a day. The steps find what the more important sums and a place among
// those left out are worth; the spread then finds the minutes' prices exactly.
func (r *relaxed) solve() int {
	bound, at := 0, prices{day: make([]int64, len(r.b.days))}
	if r.spare > 0 || !r.b.affordsSpread() {
		bound, at = r.climb()
	}
	if !r.b.affordsSpread() {
		return bound
	}
	over := slack{day: make([]int64, len(r.b.days))}
	for _, times := range worths {
		p := at
		for l := 1; l < r.level; l++ {
			p.more[l] = int64(times * scale)
		}
		p.day = r.exactly(p)
		bound = max(bound, int((max(0, r.value(p, &over))+scale-1)/scale))
		if bound >= int(r.limit[r.level]) || r.level == 1 {
			break
		}
	}
	return bound
}

// worths are what solve tries as the worth of a day of a more important sum, in
// days of the sum that is bounded.
var worths = []float64{1000, 1, 3}

// exactly finds the minutes' prices for given other prices.
func (r *relaxed) exactly(p prices) []int64 {
	allowed := make([]map[int]bool, len(r.b.jobs))
	for _, j := range r.jobs {
		allowed[j] = make(map[int]bool, len(r.offers[j]))
		for _, o := range r.offers[j] {
			allowed[j][o.day] = true
		}
	}
	price := func(j, d int) int64 {
		if !allowed[j][d] {
			return nowhere
		}
		return r.charge(r.b.cost[j][d], p)
	}
	out := int64(1000 * scale)
	if r.spare > 0 {
		out = p.out
	}
	worth := newSpread(r.b, r.jobs, price, out).prices()
	for d := range worth {
		worth[d] /= fine
	}
	return worth
}

// charge is what a cost comes to at these prices, minutes aside.
func (r *relaxed) charge(c cost, p prices) int64 {
	v := int64(c[r.level]) * scale
	for l := 1; l < r.level; l++ {
		v += p.more[l] * int64(c[l])
	}
	return v
}

// climb seeks the prices with the highest bound step by step, and returns both.
func (r *relaxed) climb() (bound int, at prices) {
	p := prices{day: make([]int64, len(r.b.days))}
	over := slack{day: make([]int64, len(r.b.days))}
	target, best, length, since := int64(r.limit[r.level])*scale, int64(0), 1.0, 0
	for range rounds {
		r.b.steps -= len(r.jobs)
		v := r.value(p, &over)
		if since++; v > best || at.day == nil {
			best, since = max(v, best), 0
			at = prices{append([]int64(nil), p.day...), p.more, p.out}
		}
		if since >= patience {
			length, since = length/2, 0
		}
		if best > target-scale || !r.step(&p, &over, length*float64(target-v)) {
			break
		}
	}
	return int((best + scale - 1) / scale), at
}

// step moves every price along what is overused, and says whether any moved.
// Products are rounded one by one, so that no machine fuses two of them.
func (r *relaxed) step(p *prices, over *slack, gap float64) bool {
	weight := float64(r.minute * r.minute)
	norm := 0.0
	add := func(price, excess int64, w float64) {
		if price > 0 || excess > 0 {
			norm += float64(w * float64(float64(excess)*float64(excess)))
		}
	}
	for d := range p.day {
		add(p.day[d], over.day[d], 1)
	}
	for l := 1; l < r.level; l++ {
		add(p.more[l], over.more[l], weight)
	}
	add(p.out, over.out, weight)
	if norm == 0 {
		return false
	}
	move := func(price, excess int64, w, most float64) int64 {
		by := float64(float64(w*float64(excess)) * float64(gap/norm))
		return int64(min(max(float64(price)+by, 0), most))
	}
	for d := range p.day {
		p.day[d] = move(p.day[d], over.day[d], 1, dearest)
	}
	for l := 1; l < r.level; l++ {
		p.more[l] = move(p.more[l], over.more[l], weight, dearestMore)
	}
	p.out = move(p.out, over.out, weight, dearestMore*1e5)
	return true
}
