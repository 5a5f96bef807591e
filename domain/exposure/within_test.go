package exposure

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

// odd is what may come in and is no temperature, weight or share.
var odd = []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 1e-320, -273.15, -273, -40, 0, 60, 1500}

func finiteAll(t *testing.T, what string, in any, values ...float64) {
	t.Helper()
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%s of %v: %v leaves the package", what, in, values)
		}
	}
}

// Issue 3: no NaN or infinity leaves a package.
func TestRatesAreNumbers(t *testing.T) {
	for _, x := range odd {
		c := domain.Celsius(x)
		finiteAll(t, "rate", x, KoutsoumanisRate(c, 5.7), KoutsoumanisRate(2, x), GillJonesRate(c), NeumeyerRate(c, 0.99), NeumeyerRate(2, x),
			WetRate(c), LeastRate(c), MostRate(c), DryRate(c), EColiRate(c), SalmonellaRate(c), MouldPace(c), TenderPace(c),
			Expansum.Rate(c), Cardinal{x, -4, 24, 32}.Rate(2), Cardinal{2, c, 24, 32}.Rate(2), Cardinal{2, -4, c, 32}.Rate(2), Cardinal{2, -4, 24, c}.Rate(2))
		finiteAll(t, "temperature", x, float64(Surface(c, 2)), float64(Surface(2, c)), float64(Surface(c, -c)), float64(DeepAtDoor(noon, after(30), c)), float64(Within(c)))
		for _, f := range domain.Forms {
			finiteAll(t, "tau", x, Tau(domain.Kilogram(x), f))
		}
	}
	// A broken figure counts as the warm end for growth, and makes nothing tender.
	broken := domain.Celsius(math.NaN())
	if WetRate(broken) != WetRate(60) || EColiRate(broken) != EColiRate(60) || TenderPace(broken) != 0 || MouldPace(broken) != 0 || Tau(domain.Kilogram(broken), domain.Whole) != Tau(1500, domain.Whole) {
		t.Error("what is no number makes meat look better")
	}
}

func TestLivesAreNumbers(t *testing.T) {
	for _, x := range odd {
		_, err := NewHistory([]Reading{{noon, domain.Celsius(x)}})
		if in := x >= -40 && x <= 60; (err == nil) != in || !in && domain.As(err).At != "readings[0].c" {
			t.Errorf("a reading of %v: %v", x, err)
		}
		h, err := NewHistory([]Reading{{noon, 2}, {after(5), 9}, {after(50), 3}})
		if err != nil {
			t.Fatal(err)
		}
		for _, in := range []Record{h, h.OfMeat(), NewRoom(h)} {
			for _, meat := range []Carcass{{x, 20}, {5, domain.Celsius(x)}, {x, domain.Celsius(x)}} {
				for _, m := range Live([]Stay{{noon, in}}, meat, noon, after(20), after(100)) {
					sums := []float64{float64(m.Deep), m.Chilled.Hours()}
					for _, s := range []Sum{Wet, Least, Most, Dry, EColi, Salmonella, MouldDays, TenderDays, DegreeDays, Wet.Times(x), Wet.Times(x).Times(x)} {
						sums = append(sums, m.Dose.Of(s), m.Dose.Plus(m.Dose).Minus(Dose{}).sum[s.rate])
					}
					for _, d := range m.Dose.Above() {
						if d < 0 || d > 100*time.Hour {
							t.Errorf("%v above an edge", d)
						}
					}
					finiteAll(t, "life", meat, sums...)
				}
			}
		}
		for _, a := range []Ahead{{noon, domain.Celsius(x), 20, 5}, {noon, 2, domain.Celsius(x), 5}, {noon, 2, 20, x}, {noon, domain.Celsius(x), 2, 0}} {
			since, until, ok := a.Cold(24 * time.Hour)
			when, reached := a.When(Wet.Times(x), 1, noon, 24*time.Hour)
			if at, sure := a.When(Wet, x, noon, 24*time.Hour); sure && (at.Before(noon) || at.After(after(24))) {
				t.Errorf("%+v: %v log at %v", a, x, at)
			}
			if ok && (since.Before(noon) || since.After(after(24)) || !until.IsZero() && until.Before(since)) || reached && (when.Before(noon) || when.After(after(24))) {
				t.Errorf("%+v: cold from %v to %v, reached %v", a, since, until, when)
			}
		}
	}
	h, _ := NewHistory([]Reading{{time.Time{}, 2}, {noon, 3}, {time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC), 4}})
	far := time.Date(290000, 1, 1, 0, 0, 0, 0, time.UTC)
	finiteAll(t, "history", far, float64(h.At(far)), float64(h.Mean(time.Time{}, far)), float64(h.Coldest(time.Time{}, far)))
	if h.Gaps(time.Time{}, far) < 0 || h.Stale(far) < 0 {
		t.Error("a span runs over")
	}
}
