package exposure

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"time"

	"coldrail/domain"
)

// Reading is one temperature at one instant.
type Reading struct {
	At time.Time
	C  domain.Celsius
}

// Coldest and warmest temperatures anything here accepts. Outside them a
// logger is broken or a unit was mistaken (readiness.md section 8).
const (
	MinCelsius domain.Celsius = -40
	MaxCelsius domain.Celsius = 60
)

// A longer silence than this is a gap whatever the habit of the series: two
// rounds a day leave at most fourteen hours. Common practice, no source.
const longestSilence = 14.0 // hours

// History is a cleaned series of readings: sorted, one value per instant, never
// changed once made. Between two readings the temperature runs straight, before
// the first it is the first, after the last it is the last.
type History struct {
	ofMeat   bool
	readings []Reading // sorted, one per instant
	at       []float64 // hours since 1970
	c        []float64 // °C
	area     []float64 // integral of c from the first reading, °C·h
	gaps     []gap
}

// gap is an interval nobody watched.
type gap struct {
	from, to float64
	before   float64 // hours of all earlier gaps
}

// NewHistory makes a History from air readings in any order. Of two readings at
// one instant the first given counts. No reading, or one outside MinCelsius to
// MaxCelsius, is an Invalid error at "readings" or "readings[i].c".
func NewHistory(readings []Reading) (*History, error) {
	if len(readings) == 0 {
		return nil, domain.Wrong("readings", "There is no temperature reading at all. Read the thermometer first.")
	}
	for i, r := range readings {
		if !(r.C >= MinCelsius && r.C <= MaxCelsius) {
			return nil, domain.Wrong(fmt.Sprintf("readings[%d].c", i),
				"A reading of %g °C is outside -40 to 60 °C. Check the thermometer and its unit.", float64(r.C))
		}
	}
	sorted := slices.Clone(readings)
	slices.SortStableFunc(sorted, func(a, b Reading) int { return a.At.Compare(b.At) })
	h := &History{}
	for i, r := range sorted {
		if i > 0 && r.At.Equal(sorted[i-1].At) {
			continue
		}
		h.readings = append(h.readings, r)
		h.at, h.c = append(h.at, hours(r.At)), append(h.c, float64(r.C))
	}
	h.measure()
	return h, nil
}

// OfMeat returns the same series read as the temperature of the meat itself, so
// that surface and bone are at the reading (readiness.md section 3).
func (h *History) OfMeat() *History {
	meat := *h
	meat.ofMeat = true
	return &meat
}

// With returns a History that also holds more. Readings already held win over
// new ones at the same instant.
func (h *History) With(more []Reading) (*History, error) {
	joined, err := NewHistory(slices.Concat(h.readings, more))
	if err != nil {
		return nil, err
	}
	joined.ofMeat = h.ofMeat
	return joined, nil
}

// measure fills the running area and the gaps: every interval longer than the
// larger of 60 min and three times the median interval, and every one longer
// than 14 h (readiness.md section 2).
func (h *History) measure() {
	intervals := make([]float64, len(h.at)-1)
	h.area = make([]float64, len(h.at))
	for i := range intervals {
		intervals[i] = h.at[i+1] - h.at[i]
		h.area[i+1] = h.area[i] + intervals[i]*(h.c[i]+h.c[i+1])/2
	}
	longest := min(max(1, 3*median(intervals)), longestSilence)
	sum := 0.0
	for i, d := range intervals {
		if d > longest+1e-6 { // a few milliseconds of slack for rounding
			h.gaps = append(h.gaps, gap{h.at[i], h.at[i+1], sum})
			sum += d
		}
	}
}

// median returns the middle of values, 0 for none.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return 0
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// At returns the temperature at an instant.
func (h *History) At(at time.Time) domain.Celsius { return domain.Celsius(h.value(hours(at))) }

// Readings returns the cleaned series. It must not be changed.
func (h *History) Readings() []Reading { return h.readings }

// Last returns the last reading.
func (h *History) Last() Reading { return h.readings[len(h.readings)-1] }

// Mean returns the time-weighted mean temperature of an interval. An interval
// of no length returns the temperature at its end.
func (h *History) Mean(from, to time.Time) domain.Celsius {
	a, b := hours(from), hours(to)
	if !(b > a) {
		return domain.Celsius(h.value(b))
	}
	return domain.Celsius((h.areaAt(b) - h.areaAt(a)) / (b - a))
}

// Coldest returns the lowest temperature of an interval, ends included.
func (h *History) Coldest(from, to time.Time) domain.Celsius {
	a, b := hours(from), hours(to)
	lowest := min(h.value(a), h.value(b))
	for i := h.after(a); i < len(h.at) && h.at[i] < b; i++ {
		lowest = min(lowest, h.c[i])
	}
	return domain.Celsius(lowest)
}

// Stale returns how long before now the last reading was taken, at least 0.
func (h *History) Stale(now time.Time) time.Duration {
	return max(0, now.Sub(h.Last().At))
}

// Gaps returns how much of the interval lies in gaps.
func (h *History) Gaps(from, to time.Time) time.Duration {
	return duration(max(0, h.gapsTo(hours(to))-h.gapsTo(hours(from))))
}

// gapsTo returns the hours of gaps before t.
func (h *History) gapsTo(t float64) float64 {
	i, _ := slices.BinarySearchFunc(h.gaps, t, func(g gap, t float64) int { return cmp.Compare(g.from, t) })
	if i == 0 {
		return 0
	}
	g := h.gaps[i-1]
	return g.before + min(t, g.to) - g.from
}

// after returns the index of the first reading later than t.
func (h *History) after(t float64) int {
	return sort.Search(len(h.at), func(i int) bool { return h.at[i] > t })
}

func (h *History) value(t float64) float64 {
	i := h.after(t)
	switch {
	case i == 0:
		return h.c[0]
	case i == len(h.at):
		return h.c[i-1]
	}
	share := (t - h.at[i-1]) / (h.at[i] - h.at[i-1])
	return h.c[i-1] + share*(h.c[i]-h.c[i-1])
}

func (h *History) areaAt(t float64) float64 {
	i := h.after(t)
	switch {
	case i == 0:
		return (t - h.at[0]) * h.c[0]
	case i == len(h.at):
		return h.area[i-1] + (t-h.at[i-1])*h.c[i-1]
	}
	return h.area[i-1] + (t-h.at[i-1])*(h.c[i-1]+h.value(t))/2
}

// hours writes an instant as hours since 1970; exact to a microsecond for any
// year a calendar shows, where a time.Duration ends after 292 years.
func hours(t time.Time) float64 { return (float64(t.Unix()) + float64(t.Nanosecond())/1e9) / 3600 }

// duration turns hours into a span, at most 100 years either way.
func duration(h float64) time.Duration {
	const century = 876_600
	return time.Duration(min(max(h, -century), century) * float64(time.Hour))
}

// OfMeatItself reports whether the readings are of the meat.
func (h *History) OfMeatItself() bool { return h.ofMeat }
