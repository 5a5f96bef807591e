package exposure

import (
	"math"
	"sort"
	"sync"
)

// The running sums of a Room.
const (
	rungRatio   = 1.1  // time constants of neighbouring rungs
	joinsWithin = 0.01 // °C between a carcass and the ladder; 0.05 would cost 0.2 % of the degree-days
	markEvery   = 8    // readings between two stored sums
	markAfter   = 1.0  // hours after which a sum is stored in any case
	mostTracks  = 4096 // carcasses whose settling is remembered
)

// Room is one cooler with running sums of every rate, so that many animals are
// judged from one pass over its readings. For a ladder of time constants it
// keeps what a carcass that had always hung there would have taken. An animal
// walks the readings once, until its deep temperature is within 0.01 °C of the
// ladder; from then on any stretch costs two look-ups, read between the two rungs
// next to it. Room may be used by several goroutines.
type Room struct {
	mu      sync.Mutex
	history *History
	rungs   map[int]*track
	settled map[entry]*track
}

// entry is how a carcass came into the room.
type entry struct{ at, deep, tau float64 }

// track is the path of one carcass through the room, with its state every few
// readings.
type track struct {
	marks []mark
	head  carcass // the state at the last reading walked
	next  int     // the reading to walk next
	joins float64 // when it came to its rung; +Inf: not yet
}

// mark is a stored state of a track.
type mark struct {
	at, deep float64
	next     int
	dose     Dose
}

// NewRoom makes a Room over a history.
func NewRoom(h *History) *Room {
	r := &Room{history: h}
	r.forget()
	return r
}

func (r *Room) forget() {
	r.rungs, r.settled = map[int]*track{}, map[entry]*track{}
}

// History returns the readings as they stand.
func (r *Room) History() *History {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.history
}

// Add takes new readings. Readings later than all before them extend the sums;
// older ones, which a late file brings, make the Room sum afresh when next asked.
func (r *Room) Add(more []Reading) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	h, err := r.history.With(more)
	if err != nil {
		return err
	}
	last := r.history.Last().At
	for _, reading := range more {
		if !reading.At.After(last) {
			r.forget()
			break
		}
	}
	r.history = h
	return nil
}

// live carries the carcass to the hour to by look-ups.
func (r *Room) live(c *carcass, to float64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.history.ofMeat {
		r.history.live(c, to)
		return
	}
	ladder := r.ladder(c.tau)
	if c.in == nil {
		c.in = r.settle(c)
	}
	own := c.in
	own.extend(r.history, &ladder)
	if until := min(to, own.joins); c.at < until {
		if math.IsNaN(c.chilled) && own.head.chilled <= until {
			c.chilled = own.head.chilled
		}
		c.follow(path{low: own}, r.history, until)
	}
	if c.at < to {
		c.follow(ladder, r.history, to)
	}
}

// ladder returns the path between the two rungs next to tau.
func (r *Room) ladder(tau float64) path {
	step := math.Log(tau) / math.Log(rungRatio)
	low := math.Floor(step)
	return path{r.rung(int(low)), r.rung(int(low) + 1), step - low}
}

// rung returns the i-th rung, summed up to the last reading.
func (r *Room) rung(i int) *track {
	t := r.rungs[i]
	if t == nil {
		t = newTrack(entry{r.history.at[0], r.history.c[0], math.Pow(rungRatio, float64(i))}, r.history)
		r.rungs[i] = t
	}
	t.extend(r.history, nil)
	return t
}

// settle returns the carcass's own track from the moment it came.
func (r *Room) settle(c *carcass) *track {
	came := entry{c.at, c.deep, c.tau}
	t := r.settled[came]
	if t == nil {
		if len(r.settled) >= mostTracks {
			clear(r.settled)
		}
		t = newTrack(came, r.history)
		r.settled[came] = t
	}
	return t
}

func newTrack(e entry, h *History) *track {
	c := carcass{at: e.at, deep: e.deep, tau: e.tau, chilled: math.NaN()}
	if c.deep <= float64(ColdEnough) {
		c.chilled = c.at
	}
	next := h.after(c.at)
	return &track{head: c, next: next, joins: math.Inf(1), marks: []mark{{c.at, c.deep, next, c.dose}}}
}

// extend walks the track to the last reading, or until it joins the ladder, if
// there is one. It never goes beyond the last reading: the next one will change
// what follows it.
func (t *track) extend(h *History, ladder *path) {
	for t.next < len(h.at) && math.IsInf(t.joins, 1) {
		last := t.marks[len(t.marks)-1]
		t.next = h.walk(&t.head, t.next, h.at[t.next])
		if t.next-last.next < markEvery && t.head.at-last.at < markAfter {
			continue
		}
		t.marks = append(t.marks, mark{t.head.at, t.head.deep, t.next, t.head.dose})
		if ladder == nil {
			continue
		}
		if there := ladder.state(h, t.head.at); math.Abs(there.deep-t.head.deep) <= joinsWithin {
			t.joins = t.head.at
		}
	}
}

// before returns the number of the last mark at or before the hour.
func (t *track) before(at float64) int {
	return max(0, sort.Search(len(t.marks), func(i int) bool { return t.marks[i].at > at })-1)
}

// state returns the track's carcass at the hour, walking on from mark number i.
func (t *track) state(h *History, i int, at float64) carcass {
	m := &t.marks[i]
	c := carcass{at: m.at, deep: m.deep, tau: t.head.tau, dose: m.dose, chilled: m.at}
	if c.at < at {
		h.walk(&c, m.next, at)
	}
	return c
}

// path is a way through the room read between two tracks: share of it is high's.
// The tracks of a ladder have their marks at the same readings. Without high it
// is low alone.
type path struct {
	low, high *track
	share     float64
}

// state returns the path's carcass at the hour.
func (p path) state(h *History, at float64) carcass {
	i := p.low.before(at)
	c := p.low.state(h, i, at)
	if p.high != nil {
		high := p.high.state(h, i, at)
		c.deep += p.share * (high.deep - c.deep)
		c.dose.blend(&high.dose, p.share)
	}
	return c
}

// follow carries the carcass along a path to the hour to: two look-ups.
func (c *carcass) follow(p path, h *History, to float64) {
	from, there := p.state(h, c.at), p.state(h, to)
	c.dose = c.dose.Plus(there.dose.Minus(from.dose))
	if math.IsNaN(c.chilled) {
		c.chilled = p.chills(h, c.at, to)
	}
	c.at, c.deep = to, there.deep
}

// chills returns when the path's deep temperature first is at or below
// ColdEnough between two hours; NaN: not in them.
func (p path) chills(h *History, from, to float64) float64 {
	deep := func(at float64) float64 { return p.state(h, at).deep }
	warm := from
	for i := p.low.before(from) + 1; warm < to; i++ {
		next := to
		if i < len(p.low.marks) {
			next = min(to, p.low.marks[i].at)
		}
		if deep(next) <= float64(ColdEnough) {
			return reaches(deep, float64(ColdEnough), warm, next)
		}
		warm = next
	}
	return math.NaN()
}
