package cooler

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Span is a time in which a room was so warm that it became an incident.
type Span struct {
	From   time.Time // the air passed TooWarm on its way up
	Called time.Time // the rule called: above TooWarm for TooLong, or above FarToo at all
	Until  time.Time // the air came back to TooWarm; zero: it has not
	Peak   exposure.Reading
}

// Spans lists the incidents of a room between two moments by the rule of
// Limits.At, excused readings left out of account. A span that nobody could see
// between two readings is called at the reading that showed it.
func (l Limits) Spans(h *exposure.History, windows []Window, from, now time.Time) []Span {
	var list []Span
	var open *Span
	var before exposure.Reading
	limit := l.TooWarm + tiny
	end := func(at time.Time, over bool) {
		if open.Called.IsZero() && at.Sub(open.From) > l.TooLong {
			open.Called = later(open.From.Add(l.TooLong), open.Peak.At)
		}
		if over {
			open.Until = at
		}
		if !open.Called.IsZero() {
			list = append(list, *open)
		}
		open = nil
	}
	for i, r := range h.Within(from, now) {
		if l.excuses(windows, r.At, r.C) {
			continue
		}
		switch {
		case r.C <= limit && open != nil:
			end(crossing(before, r, limit), true)
		case r.C > limit && open == nil:
			open = &Span{From: r.At, Peak: r}
			if i > 0 && before.C <= limit && !before.At.IsZero() {
				open.From = crossing(before, r, limit)
			}
		}
		if open != nil {
			open.warm(r, l)
		}
		before = r
	}
	if open != nil {
		end(now, false)
	}
	return list
}

// warm takes one more reading of a span.
func (s *Span) warm(r exposure.Reading, l Limits) {
	if r.C > s.Peak.C {
		s.Peak = r
	}
	if s.Called.IsZero() && (r.C > l.FarToo+tiny || r.At.Sub(s.From) > l.TooLong) {
		s.Called = r.At
	}
}

// crossing is when the straight line from a to b passes a limit.
func crossing(a, b exposure.Reading, limit domain.Celsius) time.Time {
	share := float64(limit-a.C) / float64(b.C-a.C)
	return a.At.Add(time.Duration(share * float64(b.At.Sub(a.At))))
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
