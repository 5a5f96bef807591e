package exposure

import (
	"math"
	"time"

	"coldrail/domain"
)

// bend is how far, in °C, the deep temperature may leave the chord of one panel:
// it keeps the error of every integral below 0.1 %.
const bend = 0.002

// ColdEnough is the deep temperature below which a carcass counts as chilled:
// 40 °F within 24 h of the FSIS generic plan, as quoted in science.md D.1.
const ColdEnough domain.Celsius = 4.4

// carcass is one animal on its way through time.
type carcass struct {
	at, deep, tau float64 // hours since 1970, °C, hours
	dose          Dose
	chilled       float64 // when deep first came down to ColdEnough; NaN: not yet
	came          float64 // when its first stay began
}

// moment returns the carcass as others see it.
func (c *carcass) moment() Moment {
	m := Moment{Deep: domain.Celsius(c.deep), IsCold: !math.IsNaN(c.chilled), Dose: c.dose}
	if m.IsCold {
		m.Chilled = duration(c.chilled - c.came)
	}
	return m
}

// ride carries the carcass along one straight stretch of air, h hours long,
// panel by panel.
func (c *carcass) ride(air0, air1, h float64) {
	if h <= 0 {
		return
	}
	r := newRamp(air0, (air1-air0)/h, c.deep, c.tau)
	left := r.rest
	for t := 0.0; t < h; {
		end := t + r.straight(left, bend)
		if end > h*(1-1e-9) {
			end = h
		}
		deep := r.air + r.slope*end
		if c.tau > 0 {
			left *= math.Exp((t - end) / c.tau)
			deep += left - r.slope*c.tau
		}
		c.panel(r, t, end, deep)
		t = end
	}
	c.at += h
}

// panel adds the dose of the hours t to end of a ramp, in which both temperatures
// are as good as straight and the deep one comes to deep.
func (c *carcass) panel(r ramp, t, end, deep float64) {
	airA, airB := r.air+r.slope*t, r.air+r.slope*end
	a, b := airA+SurfaceShare*(c.deep-airA), airB+SurfaceShare*(deep-airB)
	days := (end - t) / 24
	addMean(&c.dose.sum, 0, surfaceRates, a, b, days)
	addMean(&c.dose.sum, surfaceRates, rateCount, c.deep, deep, days)
	c.countAbove(r, t, end, a, b)
	if math.IsNaN(c.chilled) && min(c.deep, deep) <= float64(ColdEnough) {
		c.chilled = c.at + t
		if c.deep > float64(ColdEnough) {
			c.chilled = c.at + reaches(r.deep, float64(ColdEnough), t, end)
		}
	}
	c.deep = deep
}

// countAbove adds the time the surface, going from a to b, was above each edge.
// The edge itself does not count.
func (c *carcass) countAbove(r ramp, t, end, a, b float64) {
	for i, e := range Edges {
		edge := float64(e)
		switch {
		case a <= edge && b <= edge:
			return // the higher edges are not passed either
		case a > edge && b > edge, a == edge, b == edge:
			c.dose.above[i] += end - t
		default:
			cross := reaches(r.surface, edge, t, end)
			if a > edge {
				c.dose.above[i] += cross - t
			} else {
				c.dose.above[i] += end - cross
			}
		}
	}
}

// host carries the carcass along the readings from stop to stop.
func (h *History) host(c *carcass, stops []float64, moments []Moment) {
	tau := c.tau
	if h.ofMeat {
		c.tau, c.deep = 0, h.value(c.at)
	}
	next := h.after(c.at)
	for i, stop := range stops {
		next = h.walk(c, next, max(stop, c.at))
		if i < len(moments) {
			moments[i] = c.moment()
		}
	}
	c.tau = tau
}

// walk carries a carcass whose next reading is number next to the hour to, and
// returns the number of the reading after that.
func (h *History) walk(c *carcass, next int, to float64) int {
	air := h.value(c.at)
	for ; next < len(h.at) && h.at[next] <= to; next++ {
		c.ride(air, h.c[next], h.at[next]-c.at)
		c.at, air = h.at[next], h.c[next]
	}
	if c.at < to {
		c.ride(air, h.value(to), to-c.at)
		c.at = to
	}
	return next
}

// Record is what an animal hangs in: a *History walks its readings one by one, a
// *Room looks up running sums.
type Record interface {
	// History returns the readings behind the record.
	History() *History
	// host carries the carcass through the stops, which rise, and fills in the
	// moments of the first of them.
	host(c *carcass, stops []float64, moments []Moment)
}

// History returns h, which is its own history.
func (h *History) History() *History { return h }

// Stay is one place an animal hung, until the next stay begins.
type Stay struct {
	From time.Time
	In   Record
}

// Carcass is what Live needs to know of an animal's heat.
type Carcass struct {
	Tau  float64        // hours, from Tau
	Deep domain.Celsius // deep temperature when the first stay begins
}

// Moment is a carcass at one instant: its temperature and all it has taken since
// the first stay began.
type Moment struct {
	Deep    domain.Celsius
	Chilled time.Duration // from the first stay's beginning to ColdEnough
	IsCold  bool          // whether Chilled has happened
	Dose    Dose
}

// Live carries a carcass through its stays, in order, and returns it at each of
// the instants, which must rise. Instants before the first stay return the
// carcass as it came.
func Live(stays []Stay, meat Carcass, instants ...time.Time) []Moment {
	start, meat := hours(stays[0].From), meat.sound()
	c := carcass{at: start, came: start, deep: float64(meat.Deep), tau: meat.Tau, chilled: math.NaN()}
	if h := stays[0].In.History(); h.ofMeat {
		c.deep = h.value(start)
	}
	if c.deep <= float64(ColdEnough) {
		c.chilled = start
	}
	moments, stops := make([]Moment, len(instants)), make([]float64, 0, len(instants)+1)
	done := 0
	for i, stay := range stays {
		leaves := math.Inf(1)
		if i+1 < len(stays) {
			leaves = hours(stays[i+1].From)
		}
		stops = stops[:0]
		for _, instant := range instants[done:] {
			if at := hours(instant); at < leaves {
				stops = append(stops, at)
			}
		}
		here := moments[done : done+len(stops)]
		if done += len(stops); done < len(instants) {
			stops = append(stops, leaves)
		}
		stay.In.host(&c, stops, here)
		if done == len(instants) {
			break
		}
	}
	return moments
}
