package cooler

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// readiness.md sections 7 and 8: a defrost at or below 46 °F and over within 60
// min, or a loading of at most 60 min, is no incident; the limits are common
// practice around the published 40 °F.
func TestBookSpans(t *testing.T) {
	noon := time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)
	min := func(n int) time.Time { return noon.Add(time.Duration(n) * time.Minute) }
	record := func(peak domain.Celsius, from, to int) *exposure.History {
		var list []exposure.Reading
		for n := -120; n <= 400; n += 5 {
			c := domain.Celsius(2)
			if n >= from && n <= to {
				c = peak
			}
			list = append(list, exposure.Reading{At: min(n), C: c})
		}
		h, err := exposure.NewHistory(list)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	loading := Book{Loadings: []Window{{From: noon, To: min(60)}}}
	defrost := Book{Rules: []Rules{{Limits: Usual, Defrosts: []int{12 * 60}}}}
	strict, tight := Usual, Usual
	strict.TooLong, tight.FarToo = 30*time.Minute, domain.Fahrenheit(41)
	tighter := Book{Rules: []Rules{{Limits: strict, From: noon.Add(-time.Hour)}}}
	later := Book{Rules: []Rules{{Limits: tight, From: min(200)}}}
	for _, tt := range []struct {
		name     string
		book     Book
		peak     float64 // °F
		from, to int
		want     int
	}{
		{"50 °F for 40 min, no window", Book{}, 50, 10, 50, 1},
		{"50 °F for 40 min while loading", loading, 50, 10, 50, 0},
		{"50 °F past the end of loading", loading, 50, 10, 75, 1},
		{"46 °F in a defrost", defrost, 46, 5, 50, 0},
		{"48 °F in a defrost", defrost, 48, 5, 50, 1},
		{"46 °F longer than the defrost", defrost, 46, 5, 80, 1},
		{"46 °F before the defrost", defrost, 46, -40, -10, 1},
		{"41 °F for 45 min by the usual rule", Book{}, 41, 10, 55, 0},
		{"41 °F for 45 min by a tighter rule", tighter, 41, 10, 55, 1},
		{"43 °F before the rule was made", later, 43, 10, 55, 0},
		{"43 °F after the rule was made", later, 43, 210, 250, 1},
	} {
		h := record(domain.Fahrenheit(tt.peak), tt.from, tt.to)
		if got := tt.book.Spans(h, min(-120), min(400)); len(got) != tt.want {
			t.Errorf("%s: %d incidents, want %d", tt.name, len(got), tt.want)
		}
		if f := tt.book.Finding(h, min(tt.to-1)); tt.want == 0 && tt.name != "41 °F for 45 min by the usual rule" && tt.to < 61 && tt.book.Rules == nil && f.Band != Fine {
			t.Errorf("%s: %s within the window", tt.name, f.Band)
		}
	}
}

// A day of 23 hours has its defrosts by the clock on the wall.
func TestDefrostsByTheClock(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	r := Rules{Limits: Usual, Defrosts: []int{60, 13 * 60}}
	from := time.Date(2026, 3, 8, 0, 0, 0, 0, zone) // clocks go forward at 2:00
	got := r.Windows(from, from.AddDate(0, 0, 1).Add(-time.Second), zone)
	if len(got) != 2 || got[0].From.In(zone).Hour() != 1 || got[1].From.In(zone).Hour() != 13 || got[1].From.Sub(got[0].From) != 11*time.Hour || !got[0].Defrost {
		t.Errorf("%v", got)
	}
}

func TestRulesAreChecked(t *testing.T) {
	for _, tt := range []struct {
		at     string
		change func(*Rules)
	}{
		{"", func(*Rules) {}},
		{"", func(r *Rules) { r.TooLong, r.FarToo = 0, domain.Fahrenheit(42) }},
		{"reason", func(r *Rules) { r.FarToo = domain.Fahrenheit(46) }},
		{"reason", func(r *Rules) { r.TooLong, r.Reason = 3*time.Hour, " " }},
		{"", func(r *Rules) { r.TooLong, r.Reason = 3*time.Hour, "old compressor, replaced in May" }},
		{"warm", func(r *Rules) { r.Warm = domain.Celsius(math.NaN()) }},
		{"too_warm", func(r *Rules) { r.TooWarm = domain.Celsius(math.Inf(1)) }},
		{"too_warm", func(r *Rules) { r.TooWarm = domain.Fahrenheit(37) }},
		{"far_too", func(r *Rules) { r.FarToo = domain.Fahrenheit(51) }},
		{"warm_for", func(r *Rules) { r.WarmFor = -time.Minute }},
		{"too_long", func(r *Rules) { r.TooLong = 5 * time.Hour }},
		{"", func(r *Rules) { r.Defrosts = []int{120, 840} }},
		{"defrosts", func(r *Rules) { r.Defrosts = []int{120, 180} }},
		{"defrosts", func(r *Rules) { r.Defrosts = []int{0, 1400} }},
		{"defrosts", func(r *Rules) { r.Defrosts = []int{1440} }},
		{"defrosts", func(r *Rules) { r.Defrosts = make([]int, 9) }},
	} {
		r := Rules{Limits: Usual}
		tt.change(&r)
		switch err := r.Check(); {
		case tt.at == "" && err != nil, tt.at != "" && (err == nil || domain.As(err).At != tt.at):
			t.Errorf("%+v: %v, want %q", r, err, tt.at)
		}
	}
}
