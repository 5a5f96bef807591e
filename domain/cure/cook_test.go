package cure

import (
	"math"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

var smoke = time.Date(2026, 11, 19, 12, 0, 0, 0, time.UTC)

// at is a reading of both probes, in °F, hours after the fire was lit.
func at(hours, f float64) Probe {
	c := domain.Fahrenheit(f)
	return Probe{At: smoke.Add(time.Duration(hours * float64(time.Hour))), Low: c, High: c}
}

func TestDwells(t *testing.T) {
	rows := published(t, "cooking_dwell.csv")
	if len(rows) != len(Dwells) {
		t.Fatalf("%d rows published, %d here", len(rows), len(Dwells))
	}
	for i, r := range rows {
		d, err := DwellAt(domain.Fahrenheit(number(t, r[0])))
		if err != nil || d != Dwells[i] || d.SixAndAHalf.Seconds() != number(t, r[1]) || d.Seven.Seconds() != number(t, r[2]) {
			t.Errorf("%s °F: %+v, %v; published %v", r[0], d, err, r)
		}
		// The fit gives each row but the last within 8 % (science.md H.3, derived).
		if d.SixAndAHalf > 0 {
			if log := LogKill([]Held{{domain.Fahrenheit(number(t, r[0])), d.SixAndAHalf}}); math.Abs(log/6.5-1) > 0.08 {
				t.Errorf("%s °F: the fit says %.2f log of a 6.5-log row", r[0], log)
			}
		}
	}
	for _, f := range []float64{129.9, 212.1, math.NaN()} {
		if _, err := DwellAt(domain.Fahrenheit(f)); domain.As(err).At != "temperature" {
			t.Errorf("%v °F was looked up", f)
		}
	}
	if d, err := DwellAt(domain.Fahrenheit(145.9)); err != nil || d.F != 145 {
		t.Errorf("145.9 °F: %+v, %v; the row below counts", d, err)
	}
}

func TestLookups(t *testing.T) {
	for _, tt := range []struct {
		f    float64
		want time.Duration
	}{{145, 4 * time.Minute}, {144, 5 * time.Minute}, {130, 112 * time.Minute}, {160, 0}} {
		if d, err := DwellAt(domain.Fahrenheit(tt.f)); err != nil || d.SixAndAHalf != tt.want {
			t.Errorf("H6 %v °F: %v, %v; want %v (FSIS Appendix A)", tt.f, d.SixAndAHalf, err, tt.want)
		}
	}
	h7 := []Held{{domain.Fahrenheit(140), 8 * time.Minute}, {domain.Fahrenheit(145), 2 * time.Minute}, {domain.Fahrenheit(150), 20 * time.Second}}
	if got := LogKill(h7); math.Abs(got-9.6) > 0.1 {
		t.Errorf("H7 %v log, want 9.6 (science.md H.5, derived)", got)
	}
	// Splitting a time changes nothing; colder than the table counts nothing.
	split := []Held{{domain.Fahrenheit(140), 3 * time.Minute}, {domain.Fahrenheit(140), 5 * time.Minute}}
	if a, b := LogKill(h7[:1]), LogKill(split); math.Abs(a-b) > 1e-12 || LogKill([]Held{{domain.Fahrenheit(120), 24 * time.Hour}}) != 0 {
		t.Errorf("split %v, whole %v", b, a)
	}
}

// What a batch has to reach is the hardest thing any meat in it asks for.
func TestNeed(t *testing.T) {
	for _, tt := range []struct {
		in    []domain.Species
		f     float64
		dwell bool
		src   string
	}{
		{[]domain.Species{domain.Whitetail, domain.Bear}, 165, false, "165 °F for bear, public-health report 2022, science.md H.4"},
		{[]domain.Species{domain.WildHog}, 165, false, "common practice, no source: treated as bear"},
		{[]domain.Species{domain.Hog, domain.Whitetail}, 160, false, "wild game 160 °F, extension service, trade.md 6.8"},
		{[]domain.Species{domain.Beef, domain.Hog}, 160, true, "FSIS Appendix A"},
	} {
		n := NeedFor(tt.in)
		if math.Abs(n.Temp.F()-tt.f) > 1e-9 || n.Dwell != tt.dwell || n.Why.String() == "" || tt.src == "" {
			t.Errorf("%v: %+v, want %v °F (%s)", tt.in, n, tt.f, tt.src)
		}
	}
}

func TestCooked(t *testing.T) {
	game, beef := NeedFor([]domain.Species{domain.Whitetail}), NeedFor([]domain.Species{domain.Beef})
	two := Probe{At: smoke, Low: domain.Fahrenheit(158), High: domain.Fahrenheit(163)}
	for _, tt := range []struct {
		name string
		log  []Probe
		need Need
		want bool
		says string
	}{
		{"160 °F at once", []Probe{at(0, 60), at(3, 160)}, game, true, "160 °F"},
		{"159 °F is not it", []Probe{at(0, 60), at(3, 159.9)}, game, false, "Cook on"},
		{"of two probes the colder counts", []Probe{two}, game, false, "158 °F"},
		{"game does not go by the dwell", []Probe{at(0, 145), at(1, 145)}, game, false, "160 °F"},
		{"beef, 145 °F for 4 min", []Probe{at(0, 145), at(4.0/60, 146)}, beef, true, "4 min"},
		{"beef, 145 °F for 3 min", []Probe{at(0, 145), at(3.0/60, 146)}, beef, false, "Cook on"},
		{"beef, fell below in between", []Probe{at(0, 145), at(2.0/60, 144), at(5.0/60, 145)}, beef, true, "144 °F"},
		{"beef, only warm", []Probe{at(0, 129), at(9, 129)}, beef, false, "129 °F"},
		{"nothing read", nil, game, false, "No temperature"},
	} {
		if got := Cooked(tt.log, tt.need); got.Met != tt.want || !strings.Contains(got.Words.String(), tt.says) {
			t.Errorf("%s: %v %q", tt.name, got.Met, got.Words)
		}
	}
}

func TestCooled(t *testing.T) {
	for _, tt := range []struct {
		name  string
		log   []Probe
		cured bool
		want  bool
		says  string
		other string
	}{
		{"H8 1.4 h and 4.9 h", []Probe{at(0, 160), at(0.5, 130), at(1.9, 80), at(6.8, 40)}, false, true, "in time", ""},
		{"first stage too slow", []Probe{at(0, 130), at(1.6, 80), at(5, 40)}, false, false, "from 130 °F to 80 °F it took 1.6 h", ""},
		{"second stage too slow", []Probe{at(0, 130), at(1.4, 80), at(6.5, 40)}, false, false, "took 5.1 h", ""},
		{"the same is in time with nitrite", []Probe{at(0, 130), at(1.6, 80), at(8, 40)}, true, true, "in time", ""},
		{"nitrite, 15 h in all", []Probe{at(0, 130), at(5, 80), at(15, 40)}, true, true, "in time", ""},
		{"nitrite, 45 °F at 10 h, 40 °F later", []Probe{at(0, 130), at(4, 80), at(14, 45), at(15, 40)}, true, false, "took 11.0 h", "45 °F"},
		{"sparse readings never help", []Probe{at(0, 160), at(3, 40)}, false, false, "it took 3.0 h", ""},
		{"the older option", []Probe{at(0, 150), at(0.5, 120), at(1.4, 80), at(5, 55), at(9, 40)}, false, false, "took 7.6 h", "older option"},
		{"not yet down", []Probe{at(0, 130), at(1, 80), at(2, 60)}, false, false, "not been read at 40 °F", ""},
		{"never hot", []Probe{at(0, 100), at(5, 40)}, false, false, "not written down from 130 °F", ""},
		{"nothing", nil, true, false, "not written down", ""},
		{"the way up does not count", []Probe{at(0, 40), at(2, 80), at(6, 130), at(7, 80), at(11, 40)}, false, true, "in time", ""},
	} {
		got := Cooled(tt.log, tt.cured)
		if got.Met != tt.want || !strings.Contains(strings.ToLower(got.Words.String()), strings.ToLower(tt.says)) {
			t.Errorf("%s: %v %q (FSIS Appendix B)", tt.name, got.Met, got.Words)
		}
		if other := Otherwise(tt.log, tt.cured).String(); tt.other == "" && other != "" || !strings.Contains(other, tt.other) {
			t.Errorf("%s: otherwise %q, want %q", tt.name, other, tt.other)
		}
	}
}

// Of two probes the warmer counts on the way down, and the order in which the
// readings were typed does not matter.
func TestCooledWarmerProbe(t *testing.T) {
	log := []Probe{at(0.5, 130), at(1.9, 80), at(6.8, 40)}
	log[1].Low = domain.Fahrenheit(60)
	mixed := []Probe{log[2], log[0], log[1]}
	if got := Cooled(mixed, false); !got.Met {
		t.Error(got.Words)
	}
	log[2].High = domain.Fahrenheit(41)
	if got := Cooled(log, false); got.Met {
		t.Error("the warmer probe was not at 40 °F")
	}
}

func TestTrichinella(t *testing.T) {
	in := domain.Inches
	for _, tt := range []struct {
		name  string
		piece domain.Millimetre
		f     float64
		days  float64
		want  bool
	}{
		{"H9 5 in, 5 °F, 19 d", in(5), 5, 19, false}, {"H9 5 in, 5 °F, 20 d", in(5), 5, 20, true},
		{"8 in, 5 °F, 29 d", in(8), 5, 29, false}, {"8 in, 5 °F, 30 d", in(8), 5, 30, true}, {"6 in is thin", in(6), -20, 6, true},
		{"between the rows the warmer counts", in(5), -5, 19, false},
	} {
		if got, err := FreezingMet(domain.Hog, tt.piece, domain.Fahrenheit(tt.f), tt.days); err != nil || got != tt.want {
			t.Errorf("%s: %v, %v (9 CFR 318.10)", tt.name, got, err)
		}
	}
	if met, err := CentreFreezingMet(domain.Hog, domain.Fahrenheit(-35), 30*time.Minute); err != nil || !met {
		t.Errorf("H9 -35 °F at the centre for half an hour: %v, %v (9 CFR 318.10)", met, err)
	}
	for i, r := range published(t, "trichinella_freezing.csv") {
		if row := FrozenRows[i]; float64(row.F) != number(t, r[0]) || float64(row.ThinDays) != number(t, r[1]) || float64(row.ThickDays) != number(t, r[2]) {
			t.Errorf("%+v, published %v", row, r)
		}
	}
	for i, r := range published(t, "trichinella_centre.csv") {
		if row := CentreRows[i]; float64(row.F) != number(t, r[0]) || row.For.Hours() != number(t, r[1]) {
			t.Errorf("%+v, published %v", row, r)
		}
		held := time.Duration(number(t, r[1]) * float64(time.Hour))
		at := domain.Fahrenheit(number(t, r[0]))
		if met, err := CentreFreezingMet(domain.Hog, at, held-1); err != nil || met {
			t.Errorf("a moment less at %v °F: %v, %v", r[0], met, err)
		}
	}
	for i, r := range published(t, "trichinella_heating.csv") {
		row := HeatRows[i]
		met, err := HeatingMet(domain.Fahrenheit(float64(row.F)), row.For)
		if float64(row.F) != number(t, r[0]) || row.For.Minutes() != number(t, r[1]) || err != nil || !met {
			t.Errorf("%+v, published %v: %v, %v", row, r, met, err)
		}
	}
}

// H10: freezing is a step against Trichinella for pork alone. Bear stays
// infectious (2022: meat frozen 45 days made six people ill), wild hog is treated
// as bear (common practice, no source), and of deer the table says nothing.
func TestFreezingHelpsOnlyPork(t *testing.T) {
	for _, s := range domain.AllSpecies {
		met, err := FreezingMet(s, domain.Inches(2), domain.Fahrenheit(-20), 60)
		centre, centreErr := CentreFreezingMet(s, domain.Fahrenheit(-35), 60*24*time.Hour)
		if ok := err == nil && met && centreErr == nil && centre; ok != (s == domain.Hog) {
			t.Errorf("%s frozen for 60 days: %v %v, %v %v", s, met, err, centre, centreErr)
		}
		if refused := domain.As(err).Kind == domain.Refused; refused != NoFreezing(s) {
			t.Errorf("%s: %v", s, err)
		}
	}
	for _, tt := range []struct {
		at    string
		piece domain.Millimetre
		f     float64
		days  float64
	}{{"thickness", domain.Inches(28), 0, 9}, {"thickness", 0, 0, 9}, {"temperature", 50, 6, 99}, {"days", 50, 0, -1}, {"temperature", 50, math.NaN(), 9}} {
		if _, err := FreezingMet(domain.Hog, tt.piece, domain.Fahrenheit(tt.f), tt.days); domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt, err)
		}
	}
	if _, err := CentreFreezingMet(domain.Hog, domain.Fahrenheit(1), time.Hour); domain.As(err).At != "temperature" {
		t.Error(err)
	}
	if _, err := HeatingMet(domain.Fahrenheit(119), 99*time.Hour); domain.As(err).At != "temperature" {
		t.Error(err)
	}
}
