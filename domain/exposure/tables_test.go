package exposure

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"coldrail/domain"
)

// published reads a paper's table: the citation on the first line, then a header,
// then numbers.
func published(t *testing.T, name string) (cite string, rows [][]float64) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + name)
	if err != nil {
		t.Fatal(err)
	}
	cite, rest, _ := strings.Cut(string(text), "\n")
	records, err := csv.NewReader(strings.NewReader(rest)).ReadAll()
	if err != nil || !strings.HasPrefix(cite, "# ") || len(records) < 2 {
		t.Fatalf("%s: the table must begin with its citation and hold rows: %v", name, err)
	}
	for _, r := range records[1:] {
		row := make([]float64, len(r))
		for i, field := range r {
			if row[i], err = strconv.ParseFloat(field, 64); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		rows = append(rows, row)
	}
	return cite, rows
}

func TestPublishedTables(t *testing.T) {
	for _, tt := range []struct {
		file string
		tol  float64 // the rounding of the table, relative for large numbers
		f    []func(float64) float64
	}{
		{"growth_rates.csv", 0.0016, []func(float64) float64{
			func(c float64) float64 { return KoutsoumanisRate(domain.Celsius(c), 5.7) },
			func(c float64) float64 { return GillJonesRate(domain.Celsius(c)) },
			func(c float64) float64 { return NeumeyerRate(domain.Celsius(c), 0.995) },
		}},
		{"dry_rates.csv", 0.0006, []func(float64) float64{func(c float64) float64 { return DryRate(domain.Celsius(c)) }}},
		{"pathogen_rates.csv", 0.001, []func(float64) float64{
			func(c float64) float64 { return EColiRate(domain.Celsius(c)) },
			func(c float64) float64 { return SalmonellaRate(domain.Celsius(c)) },
		}},
		{"mould_rates.csv", 0.006, []func(float64) float64{func(c float64) float64 { return Expansum.Rate(domain.Celsius(c)) }}},
		{"equivalent_age.csv", 0.006, []func(float64) float64{
			func(c float64) float64 { return KoutsoumanisRate(domain.Celsius(c), 5.7) / KoutsoumanisRate(2, 5.7) },
		}},
		{"side_cooling.csv", 0.06, []func(float64) float64{
			// Tau without the slower air of a walk-in, back to the time to 7 °C.
			func(kg float64) float64 { return Tau(domain.Kilogram(2*kg), domain.Whole) / slowAir * lagNumber },
		}},
	} {
		cite, rows := published(t, tt.file)
		for _, row := range rows {
			for i, f := range tt.f {
				if got, want := f(row[0]), row[i+1]; math.Abs(got-want) > tt.tol*math.Max(1, want/2) {
					t.Errorf("%s at %v: got %.4f, want %v (%s)", tt.file, row[0], got, want, cite)
				}
			}
		}
	}
}

func TestCarcassHeat(t *testing.T) {
	const lumped = "lumped deer by hand, science.md F.3"
	deer := Carcass{3.92, 35}
	cool, warm := history(t, 0, 2), history(t, 0, 15)
	run(t, []check{
		{"F2 35 to 7 °C in 2 °C air", float64(live(cool, 0, deer, 7.39)[0].Deep), 7, 0.02, lumped},
		{"35 to 10 °C", float64(live(cool, 0, deer, 5.55)[0].Deep), 10, 0.03, lumped},
		{"35 to 5 °C", float64(live(cool, 0, deer, 9.40)[0].Deep), 5, 0.02, lumped},
		{"35 to 4.4 °C is when it is chilled", live(cool, 0, deer, 20)[0].Chilled.Hours(), 10.27, 0.03, lumped},
		{"2 to 5 °C in 15 °C air", float64(live(warm, 0, Carcass{3.92, 2}, 1.03)[0].Deep), 5, 0.02, lumped},
		{"F7 125 kg side from 100 kg", 19 * Tau(250, domain.Whole) / Tau(200, domain.Whole), 22.0, 0.1, "Kerens & Visser 1978 in James & James 2002 p. 105"},
		{"deer of 40 kg to 7 °C at 2 °C: ten to fifteen hours", deerTo7(t), 12.5, 2.5, "common practice, no source (science.md F.2)"},
		{"hide on doubles it", Tau(40, domain.WholeHideOn) / Tau(40, domain.Whole), 2, 1e-12, "common practice, no source"},
		{"boned", Tau(40, domain.Boned), 20, 0, "common practice, no source"},
		{"a quarter of 80 kg is a side of 40 kg", Tau(80, domain.Quarters), Tau(40, domain.Whole), 1e-12, "readiness.md section 3"},
		{"surface", float64(Surface(2, 12)), 5, 1e-12, "readiness.md section 3, common practice, no source"},
		{"killed 23 h ago", float64(DeepAtDoor(noon, after(23), 2)), 35, 0, "readiness.md section 3, common practice, no source"},
		{"killed 25 h ago", float64(DeepAtDoor(noon, after(25), 2)), 10, 0, "readiness.md section 3, common practice, no source"},
		{"killed 25 h ago, warm room", float64(DeepAtDoor(noon, after(25), 12)), 12, 0, "readiness.md section 3, common practice, no source"},
	})
	if Tau(0.5, domain.Whole) != Tau(1, domain.Whole) || Tau(1501, domain.Whole) != Tau(1500, domain.Whole) {
		t.Error("a weight outside 1 to 1500 kg does not count as the nearer end")
	}
}

// deerTo7 is when the bone of a warm 40 kg deer is at 7 °C in a 2 °C walk-in.
func deerTo7(t *testing.T) float64 {
	h, meat := history(t, 0, 2), Carcass{Tau(40, domain.Whole), 38.5}
	at := 0.0
	for live(h, 0, meat, at)[0].Deep > 7 {
		at += 0.1
	}
	return at
}

func TestScreens(t *testing.T) {
	steady := func(c, hours float64) Dose { return live(history(t, 0, c).OfMeat(), 0, Carcass{}, hours)[0].Dose }
	both := live(history(t, 0, 3, 72-1e-6, 3, 72, 5, 168, 5).OfMeat(), 0, Carcass{}, 168)[0].Dose
	cold, warm := steady(4.4, 10), steady(4.5, 10)
	run(t, []check{
		{"C4 12 h at 10 °C", poured(steady(10, 12), EColi), 0.238, 0.005, "Huang 2011, Food Microbiol. 28:770-776, derived"},
		{"D1 3 d at 3 and 4 d at 5 °C", both.Of(DegreeDays), 29, 0.001, "degree-days by definition (science.md D1)"},
		{"the edge itself does not count", cold.Above()[0].Hours(), 0, 0, "readiness.md section 6"},
		{"above the edge", warm.Above()[0].Hours(), 10, 1e-9, "readiness.md section 6"},
		{"not above the next", warm.Above()[1].Hours(), 0, 0, "readiness.md section 6"},
		{"below freezing there are no degree-days", poured(steady(-1, 24), DegreeDays), 0, 0, "readiness.md section 6"},
		{"half of it", poured(steady(2, 24), Wet.Times(0.5)), KoutsoumanisRate(2, 5.7) / 2, 1e-9, "definition of a share"},
	})
	// A straight rise from 2 to 12 °C in ten hours passes each edge once.
	rise := live(history(t, 0, 2, 10, 12).OfMeat(), 0, Carcass{}, 10)[0].Dose
	for i, want := range []float64{7.6, 7, 5, 2, 0} {
		if got := rise.Above()[i].Hours(); math.Abs(got-want) > 1e-6 {
			t.Errorf("above %v °C: %v h, want %v (straight line by hand)", Edges[i], got, want)
		}
	}
}

func poured(d Dose, s Sum) float64 { return d.Of(s) }
