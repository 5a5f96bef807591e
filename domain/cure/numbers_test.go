package cure

import (
	"math"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

// Issue 3: no NaN or infinity leaves a package; what is out of range is refused
// with its field named, and never counts as met.
func TestNumbers(t *testing.T) {
	noon := time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64} {
		c := domain.Celsius(x)
		if v := LogKill([]Held{{c, time.Hour}, {domain.Fahrenheit(140), math.MaxInt64}}); math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("log kill at %v: %v", x, v)
		}
		if _, err := DwellAt(c); err == nil || domain.As(err).At != "temperature" {
			t.Errorf("dwell at %v: %v", x, err)
		}
		for what, met := range map[string]func() (bool, error){
			"temperature": func() (bool, error) { return FreezingMet(domain.Hog, 100, c, 99) },
			"centre":      func() (bool, error) { return CentreFreezingMet(domain.Hog, c, 999*time.Hour) },
			"heat":        func() (bool, error) { return HeatingMet(c, 999*time.Hour) },
			"thickness":   func() (bool, error) { return FreezingMet(domain.Hog, domain.Millimetre(x), -30, 99) },
			"days":        func() (bool, error) { return FreezingMet(domain.Hog, 100, -30, x) },
		} {
			if ok, err := met(); ok || err == nil || domain.As(err).At == "" {
				t.Errorf("%s of %v: met %v, %v", what, x, ok, err)
			}
		}
		probes := []Probe{{noon, c, c}, {noon.Add(time.Hour), c, c}}
		for _, r := range []Result{Cooked(probes, NeedFor(nil)), Cooled(probes, true), Cooled(probes, false)} {
			if text := r.Words.String(); r.Met || text == "" || strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("probes of %v: %+v, %s", x, r.Met, text)
			}
		}
		for _, in := range [][3]float64{{x, 0, 1}, {0.2, x, 1}, {0.2, 0, x}} {
			a, b, err := Blend(in[0], in[1], in[2])
			if err == nil || domain.As(err).At == "" || a != 0 || b != 0 {
				t.Errorf("%v: %v and %v, %v", in, a, b, err)
			}
		}
		if kg, err := ToAdd(domain.Kilogram(x), 0.2, 0, 1); err == nil || kg != 0 {
			t.Errorf("%v kg of lean: %v", x, kg)
		}
		if g, err := AtLimit(Cure{Method: Pumped, Pickle: 10, Fraction: 0.0625, PickUp: x}); err == nil || g != 0 || domain.As(err).At != "pump_fraction" {
			t.Errorf("pick-up of %v: %v, %v", x, g, err)
		}
	}
	const least = 5e-324
	if g, err := AtLimit(Cure{Method: Comminuted, Meat: 10, Fraction: least}); g != 0 || domain.As(err).At != "cure_nitrite_fraction" {
		t.Errorf("a trace of nitrite: %v g, %v", g, err)
	}
	if kg, err := ToAdd(1500, least, 1, 0); kg != 0 || domain.As(err).At != "target_fat" {
		t.Errorf("a trace of fat: %v, %v", kg, err)
	}
}
