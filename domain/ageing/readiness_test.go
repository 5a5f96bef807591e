package ageing

import (
	"math"
	"slices"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

var zone = time.FixedZone("", -5*3600)

// at returns the instant d days after the kill used throughout.
func at(d float64) time.Time { return daysAfter(time.Date(2026, 11, 7, 16, 30, 0, 0, zone), d) }

// steady is a room at one temperature, hung in from the door on.
func steady(t testing.TB, door time.Time, c domain.Celsius) []exposure.Stay {
	t.Helper()
	h, err := exposure.NewHistory([]exposure.Reading{{At: door, C: c}})
	if err != nil {
		t.Fatal(err)
	}
	return []exposure.Stay{{From: door, In: h}}
}

func celsius(c domain.Celsius) *domain.Celsius { return &c }

// cold is an animal that came in as cold as the room, with nothing before the door.
func cold(species domain.Species, class domain.Class, c domain.Celsius) Facts {
	return Facts{Species: species, Class: class, Form: domain.Whole, Door: DoorClean,
		Killed: at(0), Received: at(0), DeepAtDoor: celsius(c), KeptAt: celsius(c), Kept: Hung}
}

func judge(t testing.TB, f Facts, stays []exposure.Stay, now time.Time) Verdict {
	t.Helper()
	v, err := Judge(f, stays, now)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range slices.Concat(v.Reasons, v.Assumed) {
		if SourceOf(w).Format == "" {
			t.Errorf("%q is said without a source", w)
		}
	}
	return v
}

// check is one expected number and where it comes from.
type check struct {
	name           string
	got, want, tol float64
	src            string
}

func run(t *testing.T, checks []check) {
	t.Helper()
	for _, tt := range checks {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every expected number needs a source")
			}
			t.Logf("got %.4g, expected %.4g ± %.3g (%s)", tt.got, tt.want, tt.tol, tt.src) // go test -v prints the table of all checks
			if !(math.Abs(tt.got-tt.want) <= tt.tol) {
				t.Errorf("got %v, want %v ± %v (%s)", tt.got, tt.want, tt.tol, tt.src)
			}
		})
	}
}

// steps is meat that is at each temperature for so many days, from the kill on:
// pairs of days and °C.
func steps(t testing.TB, pairs ...float64) []exposure.Stay {
	t.Helper()
	var readings []exposure.Reading
	day := 0.0
	for i := 0; i < len(pairs); i += 2 {
		c := domain.Celsius(pairs[i+1])
		readings = append(readings, exposure.Reading{At: at(day + 1e-9), C: c})
		day += pairs[i]
		readings = append(readings, exposure.Reading{At: at(day), C: c})
	}
	h, err := exposure.NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	return []exposure.Stay{{From: at(0), In: h.OfMeat()}}
}

// tenderAfter returns F after the days, rigor's 24 h left out by an earlier kill.
func tenderAfter(t *testing.T, species domain.Species, class domain.Class, pairs ...float64) float64 {
	days := 0.0
	for i := 0; i < len(pairs); i += 2 {
		days += pairs[i]
	}
	f := cold(species, class, 1)
	f.Killed = at(-1)
	return judge(t, f, steps(t, pairs...), at(days)).Tender
}

// daysTo returns the days at a steady temperature until the target is reached.
func daysTo(t *testing.T, species domain.Species, class domain.Class, c domain.Celsius, target float64) float64 {
	f := cold(species, class, c)
	f.Killed = at(-1)
	f.Protocol = Protocol{Key: "test", Aged: true, Target: target, Ceiling: 365}
	v := judge(t, f, steps(t, 1, float64(c)), at(0))
	if v.ReadyFrom == nil {
		// Above 40 °F nothing is ever ready: count the days by the sum instead.
		k1, _ := TenderRate(species, class)
		return daysFor(k1, target) / exposure.TenderPace(c)
	}
	return v.ReadyFrom.Sub(at(0)).Hours() / 24
}

func TestTender(t *testing.T) {
	const (
		d81 = "Dransfield et al. 1981, Meat Sci. 5:139-147"
		der = "derived from Dransfield et al. 1981 and 1992 (science.md A.3)"
		uw  = "Field & Means, UW B-513R; F derived (science.md A.2)"
	)
	beef, deer := domain.Beef, domain.Whitetail
	checks := []check{
		{"A1 beef half tender at 1 °C", daysTo(t, beef, "", 1, 0.5), 4.08, 0.02, der},
		{"A1 against the paper", daysTo(t, beef, "", 1, 0.5), 4.2, 0.15, d81},
		{"A2 beef 80 % at 1 °C", daysTo(t, beef, "", 1, 0.8), 9.5, 0.1, d81},
		{"A3 lamb 80 % at 1 °C", daysTo(t, domain.Lamb, "", 1, 0.8), 7.66, 0.05, d81},
		{"A4 a rate of 0.40 gives 80 % at 1 °C", daysFor(0.40, 0.8), 4.02, 0.01, d81 + " (pork; the paper's animals took 4.9 d)"},
		{"A5 beef 14 d at 2 °C", tenderAfter(t, beef, "", 14, 2), 0.924, 0.002, der},
		{"A6 beef 21 d at 2 °C", tenderAfter(t, beef, "", 21, 2), 0.979, 0.002, der},
		{"A7 deer 3 d at 1, 4 d at 4 °C", tenderAfter(t, deer, "", 3, 1, 4, 4), 0.817, 0.002, der},
		{"UW 7 d for deer at 2 °C", tenderAfter(t, deer, "", 7, 2), 0.796, 0.002, uw},
		{"UW 14 d for a bull elk at 2 °C", tenderAfter(t, domain.Elk, domain.Bull, 14, 2), 0.924, 0.002, uw},
		{"UW 3 d for pronghorn at 2 °C", tenderAfter(t, domain.Pronghorn, "", 3, 2), 0.727, 0.002, uw},
		{"A11 the order does not matter", tenderAfter(t, deer, "", 4, 4, 3, 1), tenderAfter(t, deer, "", 3, 1, 4, 4), 1e-6, "property: an integral"},
	}
	for c, days := range map[domain.Celsius]float64{0: 10.25, 2: 8.74, 4: 7.46, 5: 6.89, 7: 5.88, 10: 4.63} {
		checks = append(checks, check{"A9 beef", daysTo(t, beef, "", c, 0.8), days, 0.02, der})
	}
	for c, days := range map[domain.Celsius]float64{0: 8.30, 2: 7.08, 4: 6.04, 5: 5.58, 7: 4.76} {
		checks = append(checks, check{"A10 deer", daysTo(t, deer, "", c, 0.8), days, 0.02, der})
	}
	run(t, checks)
	for _, s := range []domain.Species{domain.Hog, domain.WildHog, domain.Bear} {
		if v := judge(t, cold(s, "", 1), steps(t, 3, 1), at(3)); v.Tenders {
			t.Errorf("%s is not aged, yet tenderness is shown", s)
		}
	}
}

// The clock of tenderness starts 24 h after the kill, or at the door if later.
func TestTenderStarts(t *testing.T) {
	f := cold(domain.Whitetail, "", 1)
	rate, _ := TenderRate(f.Species, f.Class)
	run(t, []check{
		{"before rigor is over", judge(t, f, steps(t, 9, 1), at(0.9)).Tender, 0, 0, "readiness.md section 4, common practice, no source"},
		{"five days later", judge(t, f, steps(t, 9, 1), at(6)).Tender, 1 - math.Exp(-5*rate), 1e-6, "readiness.md section 4"},
		{"degree-days of the same five", judge(t, f, steps(t, 9, 1), at(6)).DegreeDays, 5, 1e-6, "readiness.md section 6"},
	})
	f.Killed = at(-3)
	run(t, []check{{"killed long before the door", judge(t, f, steps(t, 9, 1), at(6)).Tender, 1 - math.Exp(-6*rate), 1e-6, "readiness.md section 4"}})
}
