package exposure

import "time"

// Silence is a time in which nobody watched the room.
type Silence struct{ From, To time.Time }

// Silences lists the gaps of the record that touch an interval, cut to it.
func (h *History) Silences(from, to time.Time) []Silence {
	var list []Silence
	for _, g := range h.gaps {
		a, b := instant(g.from), instant(g.to)
		if !b.After(from) || !a.Before(to) {
			continue
		}
		if a.Before(from) {
			a = from
		}
		if b.After(to) {
			b = to
		}
		list = append(list, Silence{a, b})
	}
	return list
}

// Within returns the readings of an interval, ends included. The slice must not
// be changed.
func (h *History) Within(from, to time.Time) []Reading {
	first, last := 0, len(h.readings)
	for first < last && h.readings[first].At.Before(from) {
		first++
	}
	for last > first && h.readings[last-1].At.After(to) {
		last--
	}
	return h.readings[first:last]
}

// instant is the opposite of hours.
func instant(h float64) time.Time {
	return time.UnixMilli(int64(h*3_600_000 + 0.5)).UTC()
}
