package message

import (
	"time"

	"coldrail/domain"
)

// Quiet are the hours in which no message goes out, by the shop's clock. From and
// To are after midnight; the same means: none. Before 8 and after 9 in the evening
// is when calls to sell something are forbidden in the US (47 CFR 64.1200(c)(1),
// from memory); a shop is bound by it at most in spirit, and starts with it.
type Quiet struct{ From, To time.Duration }

// Check refuses hours no clock shows.
func (q Quiet) Check() error {
	for _, h := range []struct {
		field string
		at    time.Duration
	}{{"quiet_from", q.From}, {"quiet_to", q.To}} {
		if h.at < 0 || h.at >= 24*time.Hour {
			return domain.Wrong(h.field, "Give a time of the day, such as 21:00.")
		}
	}
	return nil
}

// Until is when the quiet hours that at falls in end; ok is false outside them. at
// is in the shop's zone, and so is the answer: on the day the clocks change the
// hour on the wall counts.
func (q Quiet) Until(at time.Time) (end time.Time, ok bool) {
	y, m, d := at.Date()
	wall := time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute + time.Duration(at.Second())*time.Second
	hour := func(day int, t time.Duration) time.Time {
		return time.Date(y, m, day, int(t.Hours()), int(t.Minutes())%60, 0, 0, at.Location())
	}
	switch {
	case q.From == q.To:
		return at, false
	case q.From < q.To && (wall < q.From || wall >= q.To):
		return at, false
	case q.From < q.To || wall < q.To:
		return hour(d, q.To), true
	case wall >= q.From:
		return hour(d+1, q.To), true
	}
	return at, false
}

// Goes is the first moment from at on that is not in the quiet hours.
func (q Quiet) Goes(at time.Time) time.Time {
	end, _ := q.Until(at)
	return end
}
