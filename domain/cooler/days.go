package cooler

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Day is what a room's readings say of one day of the shop.
type Day struct {
	From, To time.Time
	Readings int
	Low      domain.Celsius // of the readings; of no use where there are none
	High     domain.Celsius
	Mean     domain.Celsius // by time, over what lies between readings too
	Unseen   time.Duration  // in gaps
}

// Days sums a room's readings up by day in the shop's zone, the latest first,
// from the day of from until now. Days before the first reading are left out.
func Days(h *exposure.History, from, now time.Time, zone *time.Location) []Day {
	if first := h.Readings()[0].At; first.After(from) {
		from = first
	}
	var days []Day
	y, m, d := now.In(zone).Date()
	for start, end := time.Date(y, m, d, 0, 0, 0, 0, zone), now; end.After(from); {
		if start.Before(end) { // midnight itself begins no day
			days = append(days, dayOf(h, start, end))
		}
		d--
		start, end = time.Date(y, m, d, 0, 0, 0, 0, zone), start
	}
	return days
}

func dayOf(h *exposure.History, from, to time.Time) Day {
	day := Day{From: from, To: to, Mean: h.Mean(from, to), Unseen: h.Gaps(from, to)}
	for _, r := range h.Readings() {
		if r.At.Before(from) || !r.At.Before(to) {
			continue
		}
		if day.Readings == 0 {
			day.Low, day.High = r.C, r.C
		}
		day.Readings++
		day.Low, day.High = min(day.Low, r.C), max(day.High, r.C)
	}
	return day
}
