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
	markAfter   = 0.5  // hours after which the next sum is stored
	mostTracks  = 4096 // carcasses whose settling is remembered

	knownMoments = 6   // moments remembered for each
	longPast     = 1.0 // hours before the last reading from which on a moment is remembered
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

// track is the path of one carcass through the room, with its state every half
// hour.
type track struct {
	marks  []mark
	head   carcass // the state at the last reading walked
	next   int     // the reading to walk next
	joins  float64 // when it came to the ladder; +Inf: not yet
	offset Dose    // what it had taken by then beyond the ladder
	asked  carcass // the state last asked for: a board asks every animal for the same now
	of     *History
	// known are the last moments asked for that lie in the past and so stay as
	// they were: a look, the end of rigor.
	known [knownMoments]lived
	after int // where the next one goes
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

// host carries the carcass from stop to stop by look-ups.
func (r *Room) host(c *carcass, stops []float64, moments []Moment) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.history.ofMeat {
		r.history.host(c, stops, moments)
		return
	}
	ladder, own, brought := r.ladder(c.tau), r.settle(c), c.dose
	own.extend(r.history, &ladder)
	for i, stop := range stops {
		stop = max(stop, c.at)
		there := own.recall(stop)
		if there == nil {
			there = own.comes(r.history, ladder, stop)
		}
		c.at, c.deep, c.dose = stop, there.deep, brought.Plus(there.dose)
		if math.IsNaN(c.chilled) {
			c.chilled = own.chills(r.history, &ladder, stop)
		}
		if i < len(moments) {
			moments[i] = c.moment()
		}
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
	t := &track{head: c, next: next, joins: math.Inf(1), marks: []mark{{c.at, c.deep, next, c.dose}}}
	for i := range t.known {
		t.known[i].at = math.NaN() // no moment yet
	}
	return t
}

// extend walks the track to the last reading, or until it joins the ladder, if
// there is one. It never goes beyond the last reading: the next one will change
// what follows it.
func (t *track) extend(h *History, ladder *path) {
	for t.next < len(h.at) && math.IsInf(t.joins, 1) {
		t.next = h.walk(&t.head, t.next, h.at[t.next])
		if t.head.at-t.marks[len(t.marks)-1].at < markAfter {
			continue
		}
		t.marks = append(t.marks, mark{t.head.at, t.head.deep, t.next, t.head.dose})
		if ladder == nil {
			continue
		}
		if there := ladder.state(h, t.head.at); math.Abs(there.deep-t.head.deep) <= joinsWithin {
			t.joins, t.offset = t.head.at, t.head.dose.Minus(there.dose)
		}
	}
}

// before returns the number of the last mark at or before the hour.
func (t *track) before(at float64) int {
	return max(0, sort.Search(len(t.marks), func(i int) bool { return t.marks[i].at > at })-1)
}

// state returns the track's carcass at the hour, walking on from the last mark.
func (t *track) state(h *History, at float64) *carcass {
	if t.of == h && t.asked.at == at {
		return &t.asked
	}
	m := &t.marks[t.before(at)]
	t.of, t.asked = h, carcass{at: m.at, deep: m.deep, tau: t.head.tau, dose: m.dose, chilled: m.at}
	if m.at < at {
		h.walk(&t.asked, m.next, at)
	}
	return &t.asked
}

// chills returns when a carcass that has come to the hour to was first at or
// below ColdEnough; NaN: not yet.
func (t *track) chills(h *History, ladder *path, to float64) float64 {
	if math.IsNaN(t.head.chilled) && to > t.joins {
		t.head.chilled = ladder.chills(h, t.joins, to)
	}
	if t.head.chilled <= to {
		return t.head.chilled
	}
	if to > t.head.at { // beyond the last reading, which holds
		return path{low: t}.chills(h, t.head.at, to)
	}
	return math.NaN()
}

// path is a way through the room read between two tracks: share of it is high's.
// The tracks of a ladder have their marks at the same readings. Without high it
// is low alone.
type path struct {
	low, high *track
	share     float64
}

// lived is a path's carcass at one hour.
type lived struct {
	at, deep float64
	dose     Dose
}

// recall returns a moment asked for before; nil: it is not remembered.
func (t *track) recall(at float64) *lived {
	for i := range t.known {
		if t.known[i].at == at {
			return &t.known[i]
		}
	}
	return nil
}

// comes returns the carcass whose own track this is at the hour: on its own
// track, or from where it joined on, on the ladder.
func (t *track) comes(h *History, ladder path, at float64) *lived {
	var there lived
	if at <= t.joins {
		there = path{low: t}.state(h, at)
	} else {
		there = ladder.state(h, at)
		there.dose = there.dose.Plus(t.offset)
	}
	if at+longPast <= h.at[len(h.at)-1] {
		t.known[t.after] = there
		t.after = (t.after + 1) % knownMoments
	}
	return &there
}

// state returns the path's carcass at the hour.
func (p path) state(h *History, at float64) lived {
	if p.high == nil {
		c := p.low.state(h, at)
		return lived{at, c.deep, c.dose}
	}
	low, high := p.low.state(h, at), p.high.state(h, at)
	l := lived{at, low.deep + p.share*(high.deep-low.deep), low.dose}
	l.dose.blend(&high.dose, p.share)
	return l
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
