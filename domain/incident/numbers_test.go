package incident

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Issue 3: no NaN or infinity leaves a package, and what is no number stops the
// animal instead of letting it through.
func TestNumbers(t *testing.T) {
	h, err := exposure.NewHistory([]exposure.Reading{{At: noon, C: 2}, {At: after(3), C: 9}})
	if err != nil {
		t.Fatal(err)
	}
	mild := Outcomes(h, Meat{Tau: 5, Deep: 2}, noon, after(1))
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64} {
		c := domain.Celsius(x)
		for _, m := range []Meat{{Tau: x, Deep: 2}, {Tau: 5, Deep: c}} {
			o := Outcomes(h, m, noon, after(3))
			for _, v := range []float64{float64(o.Air), float64(o.Surface), float64(o.Deep), o.Growth} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%+v: %+v leaves the package", m, o)
				}
			}
		}
		if got, why := Judge(Meat{Tau: 5, Deep: c}, &mild, nil, 3*time.Hour); got != Stopped || why.String() == "" {
			t.Errorf("%v at the bone: %s", x, got)
		}
		if got, _ := Judge(Meat{Tau: 5, Deep: 2}, &mild, &c, 3*time.Hour); got != Stopped && !(x < 5) {
			t.Errorf("measured at %v: %s", x, got)
		}
		for _, f := range []Failure{
			{exposure.Reading{At: noon, C: c}, exposure.Reading{At: after(3), C: 9}, room},
			{exposure.Reading{At: noon, C: 2}, exposure.Reading{At: after(3), C: c}, room},
		} {
			early, late, _ := f.Moments()
			if early.Before(noon) || late.Before(early) || late.After(after(3)) || f.Words().String() == "" {
				t.Errorf("%v: failed between %v and %v", x, early, late)
			}
			for _, r := range f.Air(noon) {
				if !(r.C >= exposure.MinCelsius && r.C <= exposure.MaxCelsius) {
					t.Errorf("%v: an air of %v", x, r.C)
				}
			}
			if _, _, err := f.Cases(h); err != nil {
				t.Errorf("%v: %v", x, err)
			}
		}
	}
}
