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

// Unwatched lists the silences of an interval and, where they are longer than an
// hour, the times before its first reading and after its last.
func (h *History) Unwatched(from, to time.Time) []Silence {
	list, readings := h.Silences(from, to), h.Within(from, to)
	if len(readings) == 0 {
		return []Silence{{from, to}}
	}
	first, last := readings[0].At, readings[len(readings)-1].At
	if first.Sub(from) > time.Hour && (len(list) == 0 || list[0].From.After(from)) {
		list = append([]Silence{{from, first}}, list...)
	}
	if to.Sub(last) > time.Hour && (len(list) == 0 || list[len(list)-1].To.Before(to)) {
		list = append(list, Silence{last, to})
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
