package incident

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
)

var noon = time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)

func after(h float64) time.Time { return noon.Add(time.Duration(h * float64(time.Hour))) }

// held is meat held at a temperature for so many hours, then back at 2 °C.
func held(t *testing.T, c domain.Celsius, hours float64) Outcome {
	t.Helper()
	h, err := exposure.NewHistory([]exposure.Reading{{At: noon, C: c}, {At: after(hours), C: c}, {At: after(hours + 1e-6), C: 2}})
	if err != nil {
		t.Fatal(err)
	}
	return Outcomes(h.OfMeat(), Meat{Tau: 5, Deep: c}, noon, after(hours+1))
}

func TestRules(t *testing.T) {
	for _, tt := range []struct {
		name  string
		c     domain.Celsius
		hours float64
		rule  int
		want  bool
		src   string
	}{
		{"D6 41 °F for 3 h, 2 h rule", domain.Fahrenheit(41), 3, 0, true, "USDA/FoodSafety.gov"},
		{"D6 41 °F for 3 h, 4 h variant", domain.Fahrenheit(41), 3, 1, false, "Transylvania County health page"},
		{"D6 41 °F for 3 h, Food Code", domain.Fahrenheit(41), 3, 2, false, "Food Code 3-501.16, from memory"},
		{"D6 41 °F for 30 h, Food Code", domain.Fahrenheit(41), 30, 2, false, "Food Code 3-501.16, from memory: 41 °F itself is held cold"},
		{"D7 8 °C for 9 h", 8, 9, 4, false, "IIR 1988 abstract"},
		{"D7 8 °C for 11 h", 8, 11, 4, true, "IIR 1988 abstract"},
		{"D7 11 °C for 2.5 h", 11, 2.5, 3, true, "IIR 1988 abstract"},
		{"C10 8 °C for 49 h", 8, 49, 6, true, "FDA Appendix 4 Table A-2, from memory"},
		{"C10 8 °C for 47 h", 8, 47, 6, false, "FDA Appendix 4 Table A-2, from memory"},
		{"C11 15 °C for 5.5 h", 15, 5.5, 5, true, "FDA Appendix 4 Table A-2, from memory"},
	} {
		if tt.src == "" {
			t.Fatal("every expected verdict needs a source")
		}
		r := Rules[tt.rule]
		if got := r.Passed(held(t, tt.c, tt.hours).Above); got != tt.want || r.Source == "" {
			t.Errorf("%s, %s: passed %v, want %v (%s)", tt.name, r.Words, got, tt.want, tt.src)
		}
		t.Logf("got %v, expected %v (%s)", r.Passed(held(t, tt.c, tt.hours).Above), tt.want, tt.src)
	}
}

// room is the worked case of science.md F.4 with twelve deer.
var room = cooler.Warmup{UA: 12.26, Fan: 150, Air: 134, Outside: 25, StartAir: 2, StartMeat: 2, Animals: 12, Animal: 40}

func TestMoments(t *testing.T) {
	f := func(bad domain.Celsius, hours float64) Failure {
		return Failure{Good: exposure.Reading{At: noon, C: 2}, Bad: exposure.Reading{At: after(hours), C: bad}, Room: room}
	}
	// By the worked case the air is at 8.7 °C four hours after the failure.
	earliest, latest, tooFast := f(8.68, 12).Moments()
	if !earliest.Equal(noon) || (latest.Sub(noon)-8*time.Hour).Abs() > 3*time.Minute || tooFast {
		t.Errorf("failed between %v and %v, too fast %v; want 0 and 8 h (science.md F5)", earliest.Sub(noon), latest.Sub(noon), tooFast)
	}
	if _, latest, tooFast = f(15, 2).Moments(); !tooFast || !latest.Equal(noon) {
		t.Errorf("15 °C after two hours: %v, too fast %v; the model has 7.3 °C", latest, tooFast)
	}
	if _, latest, tooFast = f(1, 2).Moments(); tooFast || !latest.Equal(after(2)) {
		t.Errorf("no warmer than before: %v, %v", latest, tooFast)
	}
	for _, hours := range []float64{2, 12} {
		if f(8.68, hours).Words().String() == "" {
			t.Error("no words")
		}
	}
}

// The worst case is never better than the best, whatever is found in the morning.
func TestWorstIsWorst(t *testing.T) {
	for _, hours := range []float64{0.1, 1, 6, 14, 40} {
		for _, bad := range []domain.Celsius{4.6, 6, 9, 14, 22} {
			f := Failure{Good: exposure.Reading{At: noon, C: 2}, Bad: exposure.Reading{At: after(hours), C: bad}, Room: room}
			h, err := exposure.NewHistory([]exposure.Reading{f.Good, f.Bad})
			if err != nil {
				t.Fatal(err)
			}
			best, worst, err := f.Cases(h)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range []ageing.Surface{"", ageing.Drying, ageing.Dry} {
				m := Meat{Tau: exposure.Tau(40, domain.Whole), Deep: 2, Surface: s}
				b, w := Outcomes(best, m, noon, f.Bad.At), Outcomes(worst, m, noon, f.Bad.At)
				for i, p := range [][2]float64{{float64(b.Surface), float64(w.Surface)}, {float64(b.Deep), float64(w.Deep)}, {b.Growth, w.Growth},
					{b.Above[0].Hours(), w.Above[0].Hours()}, {b.Above[1].Hours(), w.Above[1].Hours()}} {
					if !(p[0] <= p[1]+1e-6) || math.IsNaN(p[0]+p[1]) {
						t.Errorf("%v °C after %v h, %s, pair %d: best %v, worst %v", bad, hours, s, i, p[0], p[1])
					}
				}
				if w.Air != bad || b.Air != bad {
					t.Errorf("at the bad reading the air is %v and %v, want %v", b.Air, w.Air, bad)
				}
			}
		}
	}
}

func TestJudge(t *testing.T) {
	warm := domain.Fahrenheit(43)
	short, long := held(t, 6, 1.5), held(t, 6, 2.5)
	for _, tt := range []struct {
		name     string
		deep     domain.Celsius
		worst    *Outcome
		measured *domain.Celsius
		lasted   time.Duration
		want     Standing
	}{
		{"an hour and a half above 41 °F", 2, &short, nil, 3 * time.Hour, Through},
		{"two and a half hours above 41 °F", 2, &long, nil, 3 * time.Hour, Stopped},
		{"measured warm after three hours", 2, &short, &warm, 3 * time.Hour, Stopped},
		{"measured warm within two hours", 2, &short, &warm, time.Hour, Through},
		{"still chilling", 20, &long, nil, 3 * time.Hour, OwnClock},
		{"nothing known", 2, nil, nil, 0, Stopped},
	} {
		got, why := Judge(Meat{Tau: 5, Deep: tt.deep}, tt.worst, tt.measured, tt.lasted)
		if got != tt.want || why.String() == "" {
			t.Errorf("%s: %s (%s), want %s (readiness.md section 7, common practice, no source)", tt.name, got, why, tt.want)
		}
	}
}
