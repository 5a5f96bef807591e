package cooler

import (
	"testing"
	"time"
)

// The incidents of a record, by hand: readings every ten minutes, limits 40 °F
// for two hours and 45 °F at all (readiness.md section 7, common practice around
// the 40 °F and 2 h of USDA).
func TestSpans(t *testing.T) {
	cold := times(3, 35)
	join := func(parts ...[]float64) (all []float64) {
		for _, p := range parts {
			all = append(all, p...)
		}
		return all
	}
	loading := []Window{{noon.Add(35 * time.Minute), noon.Add(95 * time.Minute), false}}
	for _, tt := range []struct {
		name                string
		air                 []float64
		windows             []Window
		from, called, until float64 // minutes from noon; called -1: no incident; until -1: still
	}{
		{"never warm", cold, nil, 0, -1, 0},
		{"two hours at 41 °F are not more than two", join(cold, times(12, 41)[1:], cold), nil, 0, -1, 0},
		{"over two hours at 41 °F", join(cold, times(20, 41)[1:], cold), nil, 38.3, 160, 231.7},
		{"46 °F once", join(cold, []float64{46}, cold), nil, 34.5, 40, 45.5},
		{"still warm", join(cold, times(20, 44)[1:]), nil, 35.6, 160, -1},
		{"loading", join(cold, []float64{46, 46, 46}, cold), loading, 0, -1, 0},
	} {
		h, now := fahrenheit(t, tt.air...)
		spans := Usual.Spans(h, tt.windows, noon, now)
		if tt.called < 0 {
			if len(spans) != 0 {
				t.Errorf("%s: %+v, want none", tt.name, spans)
			}
			continue
		}
		if len(spans) != 1 {
			t.Errorf("%s: %d spans, want one", tt.name, len(spans))
			continue
		}
		s := spans[0]
		off := func(at time.Time, want float64) bool { return (at.Sub(noon) - minutes(want)).Abs() > 30*time.Second }
		if off(s.From, tt.from) || off(s.Called, tt.called) || tt.until < 0 != s.Until.IsZero() || tt.until >= 0 && off(s.Until, tt.until) {
			t.Errorf("%s: from %v, called %v, until %v; want minutes %v, %v, %v", tt.name, s.From.Sub(noon), s.Called.Sub(noon), s.Until.Sub(noon), tt.from, tt.called, tt.until)
		}
		// What the record shows afterwards, the watch would have seen at that minute.
		if f := Usual.At(h, tt.windows, s.Called.Add(time.Second)); f.Band != Incident {
			t.Errorf("%s: the watch at that moment says %s", tt.name, f.Band)
		}
	}
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }
