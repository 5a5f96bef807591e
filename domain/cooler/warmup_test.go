package cooler

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// worked is the room of science.md F.4.
func worked(animals int, fan float64) Warmup {
	return Warmup{UA: 12.26, Fan: fan, Air: 134, Outside: 25, StartAir: 2, StartMeat: 2, Animals: animals, Animal: 40}
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

func hoursOf(d *time.Duration) float64 {
	if d == nil {
		return math.NaN()
	}
	return d.Hours()
}

func TestWarmup(t *testing.T) {
	const der = "worked case of science.md F.4 and F.5, derived"
	on, off, two := worked(12, 150), worked(12, 0), worked(2, 150)
	// F3, F4: the heat that goes into the meat at a given air, by hand.
	heat := func(w Warmup, air float64) float64 {
		return (w.Fan + w.UA*(25-air)) * 3.6 / (12 * 40 * meatHeat)
	}
	lumped := Warmup{UA: 0, Air: 1e6, StartAir: 2, Outside: 2, StartMeat: 35, Animals: 1, Animal: 40}
	run(t, []check{
		{"F3 meat, fans on, air 7.33 °C, K/h", heat(on, 7.33), 0.833, 0.005, der},
		{"F4 meat, fans off, air 5.48 °C, K/h", heat(off, 5.48), 0.544, 0.005, der},
		{"F5 air after 4 h", float64(on.After(4).Air), 8.68, 0.05, der},
		{"F5 meat after 4 h", float64(on.After(4).Meat), 4.81, 0.05, der},
		{"F6 two deer, meat past 5 °C", hoursOf(two.Passes(5).Meat), 2.20, 0.05, der},
		{"air past 40 °F, min", hoursOf(on.Passes(4.4).Air) * 60, 18, 1, "readiness.md section 7a"},
		{"surface past 41 °F, min", hoursOf(on.Passes(5).Surface) * 60, 50, 3, "readiness.md section 7a"},
		{"meat past 40 °F, h", hoursOf(on.Passes(4.4).Meat), 3.5, 0.05, der},
		{"F1 time constant of one deer, h", 40 * meatHeat / (3.6 * lumped.exchange()), 5.24, 0.02,
			"as F.3 with 7.0 W/K in place of 8 W/m2K: 132/(3.6*7.0)"},
		{"lumped deer cools as an exponential", float64(lumped.After(7).Meat), 2 + 33*math.Exp(-7/5.238), 0.02, "equation (2) alone, by hand"},
		{"walls of the worked room", RoomUA(Polyurethane, 3.0, 3.6, 2.4), 12.26, 0.01, der},
		{"polystyrene walls", RoomUA(Polystyrene, 3.0, 3.6, 2.4), 18.1, 0.05, "53.3 m2 at 0.34 W/m2K"},
		{"air of the worked room", RoomAir(3.0, 3.6, 2.4), 134, 0.5, der},
		{"six deer and 450 W pass 60 °F in about two hours", hoursOf(worked(6, 450).Passes(domain.Fahrenheit(60)).Air), 2, 0.5,
			"common practice, no source"},
		{"a lightly loaded room rises about 15 °C in two hours", float64(worked(2, 150).After(2).Air) - 2, 15, 4,
			"common practice, no source"},
	})
}

// The paper table: air and meat at five hours, five loads.
func TestWarmupTable(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/warmup_worked_case.csv")
	if err != nil {
		t.Fatal(err)
	}
	cite, rows, _ := strings.Cut(string(text), "\n")
	records, err := csv.NewReader(strings.NewReader(rows)).ReadAll()
	if err != nil || !strings.HasPrefix(cite, "# ") || len(records) != 26 {
		t.Fatalf("the table must begin with its citation and hold 25 rows: %v, %d", err, len(records)-1)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, r := range records[1:] {
		got := worked(int(number(r[0])), number(r[1])).After(number(r[2]))
		if math.Abs(float64(got.Air)-number(r[3])) > 0.06 {
			t.Errorf("%s deer, %s W, %s h: air %.2f, want %s (%s)", r[0], r[1], r[2], got.Air, r[3], cite)
		}
		if r[4] != "" && math.Abs(float64(got.Meat)-number(r[4])) > 0.06 {
			t.Errorf("%s deer, %s W, %s h: meat %.2f, want %s (%s)", r[0], r[1], r[2], got.Meat, r[4], cite)
		}
	}
}

// F8: what has come in is in the air and the meat, for any room.
func TestWarmupKeepsItsEnergy(t *testing.T) {
	for _, w := range []Warmup{
		worked(12, 150), worked(0, 150), worked(40, 0),
		{UA: 0, Fan: 300, Air: 50, Outside: 10, StartAir: 8, StartMeat: -1, Animals: 3, Animal: 250},
		{UA: 90, Fan: 0, Air: 900, Outside: -30, StartAir: 30, StartMeat: 2, Animals: 1, Animal: 1},
	} {
		const steps, last = 20_000, 30.0
		in := 0.0
		for i := range steps {
			mid := w.After(last * (float64(i) + 0.5) / steps)
			in += (w.Fan + w.UA*float64(w.Outside-mid.Air)) * 3.6 * last / steps
		}
		end := w.After(last)
		kept := w.Air*float64(end.Air-w.StartAir) + float64(w.Animal)*float64(w.Animals)*meatHeat*float64(end.Meat-w.StartMeat)
		if w.Animals == 0 {
			kept = w.Air * float64(end.Air-w.StartAir)
		}
		if math.Abs(in-kept) > 0.001*math.Max(math.Abs(in), 100) {
			t.Errorf("%+v: %v kJ came in, %v kJ are there", w, in, kept)
		}
	}
}

func TestPasses(t *testing.T) {
	cold := worked(3, 0)
	cold.Outside = -10
	if p := cold.Passes(4.4); p.Air != nil || p.Meat != nil || p.Surface != nil {
		t.Errorf("a room in the frost warms: %+v", p)
	}
	if p := worked(0, 150).Passes(5); p.Air == nil || p.Meat != nil || p.Surface != nil {
		t.Errorf("an empty room has no meat: %+v", p)
	}
	if p := worked(3, 150).Passes(1); hoursOf(p.Air) != 0 || hoursOf(p.Meat) != 0 {
		t.Errorf("already above: %+v", p)
	}
	// Warm meat in cold air outside in the frost: the air rises and falls again.
	hump := Warmup{UA: 20, Air: 100, Outside: -10, StartAir: 0, StartMeat: 20, Animals: 4, Animal: 40}
	if p := hump.Passes(5); p.Air == nil || p.Air.Hours() > 3 {
		t.Errorf("the hump was not seen: %+v", p)
	}
	// More animals buy time, running fans cost it.
	for n := 1; n < 40; n++ {
		if a, b := worked(n, 150).Passes(4.4).Meat, worked(n+1, 150).Passes(4.4).Meat; *a >= *b {
			t.Errorf("%d deer last %v, %d last %v", n, *a, n+1, *b)
		}
		if a, b := worked(n, 150).Passes(4.4).Meat, worked(n, 0).Passes(4.4).Meat; *a >= *b {
			t.Errorf("%d deer: fans on %v, off %v", n, *a, *b)
		}
	}
}

func TestWarmupRefuses(t *testing.T) {
	for at, w := range map[string]Warmup{
		"animals": worked(-1, 0), "fan_w": worked(1, math.NaN()), "ua_w_per_k": {UA: -1, Air: 1, Animal: 40},
		"air_kj_per_k": {UA: 1, Animal: 40}, "animal_kg": {UA: 1, Air: 1}, "ambient_c": {UA: 1, Air: 1, Animal: 40, Outside: 61},
	} {
		if e := domain.As(w.Check()); e.At != at || e.Kind != domain.Invalid {
			t.Errorf("%+v: %v at %q, want Invalid at %q", w, e, e.At, at)
		}
	}
	if err := worked(12, 150).Check(); err != nil {
		t.Error(err)
	}
}

// The surface of a warming room lies between its air and its meat.
func TestSurfaceLiesBetween(t *testing.T) {
	for h := 0.0; h <= 72; h += 0.5 {
		s := worked(12, 150).After(h)
		if s.Surface < s.Meat || s.Surface > s.Air || s.Surface != exposure.Surface(s.Air, s.Meat) {
			t.Fatalf("after %v h: %+v", h, s)
		}
	}
}
