package exposure

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

func TestHistory(t *testing.T) {
	h := history(t, 10, 4, 0, 2, 30, 0, 10, 9)
	const line = "straight lines, readiness.md section 2"
	run(t, []check{
		{"before the first", float64(h.At(after(-5))), 2, 0, line},
		{"halfway", float64(h.At(after(5))), 3, 1e-9, line},
		{"of two at one instant the first given", float64(h.At(after(10))), 4, 0, line},
		{"after the last", float64(h.At(after(99))), 0, 0, line},
		{"mean of the whole", float64(h.Mean(after(0), after(30))), (30.0 + 40) / 30, 1e-6, line},
		{"mean with held ends", float64(h.Mean(after(-10), after(40))), (20.0 + 30 + 40) / 50, 1e-6, line},
		{"mean inside", float64(h.Mean(after(5), after(15))), (5*3.5 + 5*3.5) / 10, 1e-6, line},
		{"mean of nothing", float64(h.Mean(after(5), after(5))), 3, 1e-9, line},
		{"coldest inside", float64(h.Coldest(after(2), after(20))), 2, 1e-6, line},
		{"stale", h.Stale(after(33)).Hours(), 3, 1e-9, line},
		{"not stale before the last", h.Stale(after(20)).Hours(), 0, 0, line},
	})
	if len(h.Readings()) != 3 || h.Last().C != 0 {
		t.Errorf("readings %v", h.Readings())
	}
}

func TestGaps(t *testing.T) {
	const src = "readiness.md section 2: above the larger of 60 min and three medians, and above 14 h"
	every := func(minutes float64, n int, from float64) (r []float64) {
		for i := range n {
			r = append(r, from+minutes/60*float64(i), 2)
		}
		return r
	}
	logger := history(t, append(every(5, 100, 0), every(5, 100, 12)...)...)
	for _, tt := range []struct {
		name     string
		h        *History
		from, to float64
		want     float64
		src      string
	}{
		{"logger", logger, 0, 30, 12 - 99.0/12, src},
		{"only the part since the door", logger, 10, 30, 2, src},
		{"only the part until now", logger, 0, 9, 9 - 99.0/12, src},
		{"an hour is no gap", history(t, append(every(5, 20, 0), every(5, 20, 95.0/60+1)...)...), 0, 9, 0, src},
		{"rounds twice a day", history(t, 0, 2, 10, 2, 24, 2, 34, 2, 48, 2), 0, 60, 0, src},
		{"a round was missed", history(t, 0, 2, 10, 2, 24, 2, 48, 2, 58, 2), 0, 60, 24, src},
		{"fifteen hours whatever the habit", history(t, 0, 2, 15, 2, 30, 2), 0, 40, 30, src},
		{"one reading", history(t, 0, 2), 0, 40, 0, src},
	} {
		if got := tt.h.Gaps(after(tt.from), after(tt.to)).Hours(); got < tt.want-1e-6 || got > tt.want+1e-6 || tt.src == "" {
			t.Errorf("%s: %v h, want %v (%s)", tt.name, got, tt.want, tt.src)
		}
	}
}

func TestHistoryRefuses(t *testing.T) {
	if _, err := NewHistory(nil); domain.As(err).At != "readings" {
		t.Errorf("no reading: %v", err)
	}
	for _, c := range []domain.Celsius{-40.1, 60.1, domain.Celsius(math.NaN())} {
		_, err := NewHistory([]Reading{{noon, 2}, {noon.Add(time.Hour), c}})
		if e := domain.As(err); e.Kind != domain.Invalid || e.At != "readings[1].c" {
			t.Errorf("%v °C: %v at %q", c, e, e.At)
		}
	}
}

// Tender, growth and mould foretold at a steady temperature are the straight
// sums; in a carcass that still cools they are what walking there gives.
func TestAhead(t *testing.T) {
	const month = 30 * 24 * time.Hour
	settled := Ahead{Now: noon, Air: 2, Deep: 2, Tau: 5.6}
	warm := Ahead{Now: noon, Air: 2, Deep: 30, Tau: 5.6}
	when := func(a Ahead, s Sum, need float64) float64 {
		at, ok := a.When(s, need, noon, month)
		if !ok {
			t.Errorf("%v of %v never comes", need, s)
		}
		return at.Sub(noon).Hours()
	}
	walked := live(history(t, 0, 2), 0, Carcass{5.6, 30}, 10, 100)
	const alike = "the same by walking"
	run(t, []check{
		{"steady growth", when(settled, Wet, 3), 72 / WetRate(2), 1e-6, "3 log by hand"},
		{"steady, half", when(settled, Wet.Times(0.5), 3), 144 / WetRate(2), 1e-6, "3 log by hand"},
		{"cooling growth, early", when(warm, Wet, walked[0].Dose.Of(Wet)), 10, 0.02, alike},
		{"cooling growth, late", when(warm, Wet, walked[1].Dose.Of(Wet)), 100, 0.1, alike},
		{"cooling tenderness", when(warm, TenderDays, walked[1].Dose.Of(TenderDays)), 100, 0.1, alike},
		{"cooling mould", when(warm, MouldDays, walked[1].Dose.Of(MouldDays)), 100, 0.1, alike},
		{"already there", when(warm, Wet, 0), 0, 0, "definition"},
	})
	if _, ok := (Ahead{Now: noon, Air: -5, Deep: -5, Tau: 5}).When(Wet, 1, noon, month); ok {
		t.Error("frozen meat grows")
	}
	late, ok := settled.When(TenderDays, 1, after(24), month)
	if !ok || late.Sub(noon).Hours() < 24+23/TenderPace(2) || late.Sub(noon).Hours() > 24+24/TenderPace(2)+0.01 {
		t.Errorf("one day from tomorrow on: %v", late)
	}
	for _, tt := range []struct {
		name         string
		a            Ahead
		since, until float64 // h; -1: not at all, 0 until: for good
		ok           bool
	}{
		{"cold stays cold", settled, 0, 0, true},
		{"cools", warm, 13.758, 0, true},                                      // 5.6 ln(28/2.4)
		{"warms", Ahead{Now: noon, Air: 10, Deep: 2, Tau: 5.6}, 0, 2.0, true}, // 5.6 ln(8/5.6)
		{"never", Ahead{Now: noon, Air: 10, Deep: 12, Tau: 5.6}, -1, 0, false},
		{"at the edge from above, never", Ahead{Now: noon, Air: 4.4, Deep: 5, Tau: 5.6}, -1, 0, false},
		{"meat, cold to come", Ahead{Now: noon, Air: 4, Deep: 5}, 0, 0, true},
		{"meat, warm to come", Ahead{Now: noon, Air: 6, Deep: 7}, -1, 0, false},
	} {
		since, until, ok := tt.a.Cold(month)
		if ok != tt.ok || ok && (since.Sub(noon)-duration(tt.since)).Abs() > time.Minute ||
			ok && !until.IsZero() && (until.Sub(noon)-duration(tt.until)).Abs() > time.Minute || ok && until.IsZero() != (tt.until == 0) {
			t.Errorf("%s: %v to %v, %v", tt.name, since, until, ok)
		}
	}
}
