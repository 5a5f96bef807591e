package exposure

import (
	"math"
	"sort"
	"sync"
)

// The running sums of a Room.
const (
	rungRatio   = 1.1  // time constants of neighbouring rungs
	joinsWithin = 0.05 // °C between a carcass and its rung
	markEvery   = 8    // readings between two stored sums
	markAfter   = 1.0  // hours after which a sum is stored in any case
	mostTracks  = 4096 // carcasses whose settling is remembered
)

// Room is one cooler with running sums of every rate, so that many animals are
// judged from one pass over its readings. For a ladder of time constants it
// keeps what a carcass that had always hung there would have taken; an animal
// walks the readings until its deep temperature is within 0.05 °C of the nearest
// rung, and from then on any stretch costs two look-ups. Room may be used by
// several goroutines.
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
	rung := r.rung(c.tau)
	if c.in == nil {
		c.in = r.settle(c)
	}
	c.in.extend(r.history, rung)
	if until := min(to, c.in.joins); c.at < until {
		c.follow(c.in, r.history, until)
	}
	if c.at < to {
		c.follow(rung, r.history, to)
	}
}

// rung returns the rung nearest to tau, summed up to the last reading.
func (r *Room) rung(tau float64) *track {
	i := int(math.Round(math.Log(tau) / math.Log(rungRatio)))
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

// extend walks the track to the last reading, or until it joins rung. It never
// goes beyond the last reading: the next one will change what follows it.
func (t *track) extend(h *History, rung *track) {
	for t.next < len(h.at) && math.IsInf(t.joins, 1) {
		last := t.marks[len(t.marks)-1]
		t.next = h.walk(&t.head, t.next, h.at[t.next])
		if t.next-last.next < markEvery && t.head.at-last.at < markAfter {
			continue
		}
		t.marks = append(t.marks, mark{t.head.at, t.head.deep, t.next, t.head.dose})
		if rung == nil {
			continue
		}
		if there := rung.state(h, t.head.at); math.Abs(there.deep-t.head.deep) <= joinsWithin {
			t.joins = t.head.at
		}
	}
}

// before returns the number of the last mark at or before the hour.
func (t *track) before(at float64) int {
	return max(0, sort.Search(len(t.marks), func(i int) bool { return t.marks[i].at > at })-1)
}

// state returns the track's carcass at the hour, walking on from the last mark.
func (t *track) state(h *History, at float64) carcass {
	m := &t.marks[t.before(at)]
	c := carcass{at: m.at, deep: m.deep, tau: t.head.tau, dose: m.dose, chilled: math.NaN()}
	if t.head.chilled <= m.at {
		c.chilled = t.head.chilled
	}
	if c.at < at {
		h.walk(&c, m.next, at)
	}
	return c
}

// follow carries the carcass along a track to the hour to: two look-ups.
func (c *carcass) follow(t *track, h *History, to float64) {
	from, there := t.state(h, c.at), t.state(h, to)
	c.dose = c.dose.Plus(there.dose.Minus(from.dose))
	if math.IsNaN(c.chilled) {
		c.chilled = t.chills(h, c.at, to)
	}
	c.at, c.deep = to, there.deep
}

// chills returns when the track's deep temperature first is at or below
// ColdEnough between two hours; NaN: not in them.
func (t *track) chills(h *History, from, to float64) float64 {
	c := t.state(h, from)
	c.chilled = math.NaN()
	for i := t.before(from) + 1; i < len(t.marks) && t.marks[i].at < to; i++ {
		if m := t.marks[i]; m.deep > float64(ColdEnough) {
			c.at, c.deep = m.at, m.deep
			continue
		}
		break
	}
	h.walk(&c, h.after(c.at), to)
	return c.chilled
}
