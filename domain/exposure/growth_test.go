package exposure

import (
	"math"
	"testing"

	"coldrail/domain"
)

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

const perHour = 1 / naturals // log10/day back to a natural rate per hour

func TestRates(t *testing.T) {
	const (
		k  = "Koutsoumanis et al. 2006, AEM 72:124-134, derived"
		g  = "Gill & Jones 1992, Food Microbiol. 9:335-343, derived"
		n  = "Neumeyer et al. 1997, IJFM 38:45-54"
		hu = "Huang 2011, Food Microbiol. 28:770-776, derived"
	)
	run(t, []check{
		{"B1 rate", KoutsoumanisRate(0, 5.7), 0.584, 0.002, k},
		{"B1 doubling h", math.Ln2 / (KoutsoumanisRate(0, 5.7) * perHour), 12.4, 0.05, k},
		{"B2 5 °C", KoutsoumanisRate(5, 5.7), 1.011, 0.003, k},
		{"B2 10 °C", KoutsoumanisRate(10, 5.7), 1.718, 0.003, k},
		{"B3 ratio", KoutsoumanisRate(5, 5.7) / KoutsoumanisRate(0, 5.7), 1.732, 0.005, k},
		{"B3 against observed odour 14.5 d and 8 d", KoutsoumanisRate(5, 5.7) / KoutsoumanisRate(0, 5.7), 14.5 / 8, 0.15 * 14.5 / 8,
			"James & James 2002 Fig. 10.1 p. 209, after Ingram & Roberts"},
		{"B8 0 °C", GillJonesRate(0) / doublings, 0.0729, 0.0005, g},
		{"B8 10 °C", GillJonesRate(10) / doublings, 0.3600, 0.0005, g},
		{"B9 dry", NeumeyerRate(10, 0.947), 0, 0, n},
		{"B10 stressed animal, pH 6.2", KoutsoumanisRate(0, 6.2), 0.731, 0.003, k},
		{"B.3 Neumeyer at aw 0.955", NeumeyerRate(0, 0.955) / NeumeyerRate(0, 0.995), 0.167, 0.001, n},
		{"C1 4 °C", EColiRate(4) * perHour, 0, 0.0003, hu},
		{"C1 7 °C", EColiRate(7) * perHour, 0.01102, 0.0003, hu},
		{"C1 10 °C", EColiRate(10) * perHour, 0.0456, 0.0003, hu + " (0.04563)"},
		{"C1 20 °C", EColiRate(20) * perHour, 0.3313, 0.0003, hu},
		{"C4 12 h at 10 °C", EColiRate(10) / 2, 0.238, 0.005, hu},
		{"C8 10 °C", SalmonellaRate(10) * perHour, 0.0709, 0.0005, "EFSA 2014, EFSA Journal 12(3):3601, derived"},
		{"A8 ten times", TenderPace(30) / TenderPace(1), 10, 1e-12, "Dransfield et al. 1992, Meat Sci. 31:57-73"},
		{"Q10", TenderPace(12) / TenderPace(2), 2.212, 0.001, "derived from Dransfield et al. 1992"},
		{"E1 best", Expansum.Rate(23.9), 2.4, 1e-12, "Judet-Correia et al. 2010, IJFM 142:106-113"},
		{"E1 coldest", Expansum.Rate(-4.4), 0, 0, "Judet-Correia et al. 2010"},
		{"E1 warmest", Expansum.Rate(32.5), 0, 0, "Judet-Correia et al. 2010"},
		{"E2 0 °C", Expansum.Rate(0), 0.105, 0.005, "Judet-Correia et al. 2010, derived"},
		{"E2 5 °C", Expansum.Rate(5), 0.455, 0.005, "Judet-Correia et al. 2010, derived"},
		{"E2 10 °C", Expansum.Rate(10), 0.995, 0.005, "Judet-Correia et al. 2010, derived"},
		{"E3 days to 3 mm at 2 °C", 3 / Expansum.Rate(2), 13.8, 0.2, "Judet-Correia et al. 2010, derived"},
		{"E4 0 °C", Cardinal{0.24, -9, 20.1, 26.4}.Rate(0), 0.0342, 0.0005, "Rosso 1993, J. Theor. Biol. 162:447, derived"},
		{"E4 5 °C", Cardinal{0.24, -9, 20.1, 26.4}.Rate(5), 0.0800, 0.0005, "Rosso 1993, derived"},
		{"E5 speed-up", Expansum.Rate(5) / Expansum.Rate(0), 4.3, 0.1, "Judet-Correia et al. 2010, derived"},
	})
}

func TestRateLimits(t *testing.T) {
	const def = "definition, readiness.md sections 4 to 6 and 9"
	same := func(name string, got, want float64) check { return check{name, got, want, 0, def} }
	run(t, []check{
		same("frozen, wet", WetRate(-1.51), 0),
		same("just not frozen, wet", WetRate(-1.5), KoutsoumanisRate(-1.5, 5.7)),
		same("frozen, dry", DryRate(-1.51), 0),
		same("frozen, tender", TenderPace(-1.51), 0),
		same("at 3 °C the first model", WetRate(3), KoutsoumanisRate(3, 5.7)),
		same("above 3 °C the larger", WetRate(3.01), GillJonesRate(3.01)),
		same("warm counts as 25", WetRate(40), WetRate(25)),
		same("warm and dry counts as 25", DryRate(40), DryRate(25)),
		same("hot counts as 30", TenderPace(45), TenderPace(30)),
		same("E. coli below 6", EColiRate(5.99), 0),
		same("Salmonella below 5.2", SalmonellaRate(5.19), 0),
		same("Salmonella above 36", SalmonellaRate(50), SalmonellaRate(36)),
		same("mould in the reference room", MouldPace(1.7), 1),
	})
	for c := -40.0; c <= 60; c += 0.05 {
		at := domain.Celsius(c)
		if low, mid, high := LeastRate(at), WetRate(at), MostRate(at); low > mid || mid > high {
			t.Fatalf("at %v °C the range %v %v %v is not a range", c, low, mid, high)
		}
		if 0.2*MostRate(at) < DryRate(at) {
			t.Fatalf("at %v °C the dry range is upside down", c)
		}
		for r, rate := range rates {
			if r != mould && rate(at) > rate(at+0.05)+1e-12 {
				t.Fatalf("rate %d falls from %v °C up: warmer must never be slower", r, c)
			}
		}
	}
}
