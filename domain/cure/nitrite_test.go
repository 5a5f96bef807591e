package cure

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"coldrail/domain"
)

// handbook is where the sums of this file come from.
const handbook = "FSIS Directive 7620.3, Processing Inspectors' Calculations Handbook (rev. 1995), science.md H.5"

// published reads a table: the citation on the first line, a header, then rows.
func published(t *testing.T, name string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + name)
	if err != nil {
		t.Fatal(err)
	}
	cite, rest, _ := strings.Cut(string(text), "\n")
	rows, err := csv.NewReader(strings.NewReader(rest)).ReadAll()
	if err != nil || !strings.HasPrefix(cite, "# ") || len(rows) < 3 {
		t.Fatalf("%s: the table must begin with its citation and hold rows: %v", name, err)
	}
	return rows[1:]
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	n, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// lb and oz as grams and kilograms, since the sources weigh in pounds.
func lb(n float64) domain.Kilogram { return domain.Pounds(n) }
func ozGrams(n float64) float64    { return float64(domain.Pounds(n/16)) * 1000 }

func reckon(t *testing.T, c Cure) Reckoned {
	t.Helper()
	r, err := Reckon(c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestReckon(t *testing.T) {
	gallon := lb(8.33)
	for _, tt := range []struct {
		name    string
		in      Cure
		ppm     float64
		tol     float64
		verdict Verdict
		src     string
	}{
		{"H1 4 oz cure no. 1 in 100 lb", Cure{Method: Comminuted, Meat: lb(100), Grams: ozGrams(4), Fraction: 0.0625}, 156.25, 0.1, OK, handbook},
		{"H2 3 oz a gallon, 10 %", Cure{Method: Pumped, Pickle: gallon, Grams: ozGrams(3), Fraction: 0.0625, PickUp: 0.10}, 140.7, 0.5, OK, handbook + " (source: 140)"},
		{"H2 4 oz a gallon, 10 %", Cure{Method: Pumped, Pickle: gallon, Grams: ozGrams(4), Fraction: 0.0625, PickUp: 0.10}, 187.6, 0.5, OK, handbook + " (source: 188)"},
		{"H3 pickle of 462.1875 lb, 20 %", Cure{Method: Pumped, Pickle: lb(462.1875), Grams: ozGrams(800), Fraction: 0.0075, PickUp: 0.20}, 162.3, 0.5, OK, handbook + " (source: 162)"},
		{"H4 dry bacon", Cure{Method: BaconDry, Meat: lb(100), Grams: ozGrams(80), Fraction: 0.0040}, 200, 1e-9, OK, handbook},
		{"H5 cure of 5.88 %", Cure{Method: Immersed, Pickle: 1.266, Grams: 32, Fraction: 0.0588, PickUp: 0.10}, 148.6, 0.1, OK, handbook + " (UK cure)"},
		{"pumped bacon by H2 is over", Cure{Method: BaconPumped, Pickle: gallon, Grams: ozGrams(3), Fraction: 0.0625, PickUp: 0.10}, 140.7, 0.5, Over, handbook + ": 120 for pumped bacon"},
		{"bacon in pickle by H2 is over", Cure{Method: BaconImmersed, Pickle: gallon, Grams: ozGrams(3), Fraction: 0.0625, PickUp: 0.10}, 140.7, 0.5, Over, handbook + ": 120, the 200 is for products other than bacon"},
		{"the contract's example", Cure{Method: Comminuted, Meat: 45.36, Grams: 113.4, Fraction: 0.0625}, 156.25, 1e-9, OK, "readiness.md section 14, by hand from (1)"},
		{"5 oz typed for 4", Cure{Method: Comminuted, Meat: lb(100), Grams: ozGrams(5), Fraction: 0.0625}, 195.3, 0.1, Over, "trade.md scenario 25, by hand from (1)"},
		{"6 oz typed for 4", Cure{Method: Comminuted, Meat: lb(100), Grams: ozGrams(6), Fraction: 0.0625}, 234.4, 0.1, Refused, "21 CFR 172.170: 200 ppm, by hand from (1)"},
		{"3 oz is too little", Cure{Method: Comminuted, Meat: lb(100), Grams: ozGrams(3), Fraction: 0.0625}, 117.2, 0.1, Under, handbook + ": at least 120"},
		{"no cure at all", Cure{Method: Comminuted, Meat: 10, Fraction: 0.0625}, 0, 0, Under, "by hand from (1)"},
		{"dry ham", Cure{Method: DryCured, Meat: 10, Grams: 100, Fraction: 0.0625}, 625, 1e-9, OK, handbook + ": 625 dry cured"},
		{"dry ham, a gram more", Cure{Method: DryCured, Meat: 10, Grams: 101, Fraction: 0.0625}, 631.25, 1e-9, Over, handbook},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every expected number needs a source")
			}
			got := reckon(t, tt.in)
			if !(math.Abs(got.PPM-tt.ppm) <= tt.tol) || got.Verdict != tt.verdict {
				t.Errorf("got %v ppm, %s; want %v ± %v, %s (%s)", got.PPM, got.Verdict, tt.ppm, tt.tol, tt.verdict, tt.src)
			}
			if got.Words().String() == "" {
				t.Error("no words")
			}
		})
	}
}

func TestLimits(t *testing.T) {
	rows := published(t, "nitrite_limits.csv")
	if len(rows) != len(Methods) {
		t.Errorf("%d limits published, %d methods", len(rows), len(Methods))
	}
	for _, r := range rows {
		if m := Method(r[0]); m.Limit() != number(t, r[1]) {
			t.Errorf("%s: limit %v, published %s", m, m.Limit(), r[1])
		}
	}
}

// Judged is the whole ppm, half up; what is given is not rounded. At 100 kg and
// 6.25 % a gram is 0.625 ppm, so the grams for each edge are exact on paper.
func TestJudgedAfterRounding(t *testing.T) {
	for _, tt := range []struct {
		ppm  float64
		want Verdict
	}{
		{119.49, Under}, {119.5, OK}, {120, OK}, {156.49, OK}, {156.5, Over}, {200.49, Over}, {200.5, Refused},
	} {
		r := reckon(t, Cure{Method: Comminuted, Meat: 100, Grams: tt.ppm / 0.625, Fraction: 0.0625})
		if r.Verdict != tt.want || math.Abs(r.PPM-tt.ppm) > 1e-9 {
			t.Errorf("%v ppm: %s (%v), want %s (readiness.md section 13)", tt.ppm, r.Verdict, r.PPM, tt.want)
		}
	}
	for _, m := range Methods[1:] { // only comminuted meat has a least and a never
		low := Cure{Method: m, Meat: 100, Pickle: 100, Grams: 1, Fraction: 0.0625, PickUp: 1}
		if r := reckon(t, low); r.Verdict != OK {
			t.Errorf("%s with a trace of cure: %s, want ok", m, r.Verdict)
		}
		low.Grams = 100_000
		if r := reckon(t, low); r.Verdict != Over {
			t.Errorf("%s with far too much: %s, want over", m, r.Verdict)
		}
	}
}

// The sources give two sums for immersion. The first, with the pick-up as
// observed, decides (readiness.md section 13); the second, nitrite over meat and
// pickle together, is from memory and would say more of the same pickle.
func TestImmersionByMethodOne(t *testing.T) {
	c := Cure{Method: Immersed, Pickle: 50, Meat: 100, Grams: 500, Fraction: 0.0625, PickUp: 0.10}
	one, two := 500*0.0625*0.10*1000/50, 500*0.0625*1000/(50+100)
	if got := reckon(t, c).PPM; math.Abs(got-one) > 1e-9 || math.Abs(got-two) < 1 {
		t.Errorf("%v ppm, want method 1's %v, not method 2's %v (from memory)", got, one, two)
	}
}

func TestAtLimit(t *testing.T) {
	hundred := Cure{Method: Comminuted, Meat: lb(100), Fraction: 0.0625}
	grams, err := AtLimit(hundred)
	if oz := grams / ozGrams(1); err != nil || math.Abs(oz-3.994) > 0.001 {
		t.Errorf("%v oz in 100 lb, %v; want 3.994 (science.md H.1, derived)", oz, err)
	}
	perKilogram, _ := AtLimit(Cure{Method: Comminuted, Meat: 1, Fraction: 0.0625})
	if math.Abs(perKilogram-2.50) > 0.005 || math.Abs(perKilogram*0.45359237-1.13) > 0.005 {
		t.Errorf("%v g/kg, want 2.50, and 1.13 g/lb (science.md H.1, derived; the source rounds to 1.12)", perKilogram)
	}
	// What is reckoned to be at the limit is at the limit, by every method.
	for _, m := range Methods {
		c := Cure{Method: m, Meat: 37, Pickle: 41, Fraction: 0.0588, PickUp: 0.13}
		c.Grams, err = AtLimit(c)
		if r := reckon(t, c); err != nil || math.Abs(r.PPM-m.Limit()) > 1e-9 || r.Verdict != OK {
			t.Errorf("%s: %+v, %v", m, r, err)
		}
	}
}

func TestReckonRefuses(t *testing.T) {
	dry := Cure{Method: DryCured, Meat: 10, Grams: 20, Fraction: 0.0625}
	wet := Cure{Method: Pumped, Pickle: 10, Grams: 20, Fraction: 0.0625, PickUp: 0.1}
	for _, tt := range []struct {
		at     string
		in     Cure
		change func(*Cure)
	}{
		{"method", dry, func(c *Cure) { c.Method = "boiled" }},
		{"meat_kg", dry, func(c *Cure) { c.Meat = 0.99 }}, {"meat_kg", dry, func(c *Cure) { c.Meat = 1500.1 }},
		{"meat_kg", dry, func(c *Cure) { c.Meat = domain.Kilogram(math.NaN()) }},
		{"cure_g", dry, func(c *Cure) { c.Grams = -0.1 }}, {"cure_g", dry, func(c *Cure) { c.Grams = 10_001 }},
		{"cure_g", dry, func(c *Cure) { c.Grams = math.NaN() }},
		{"cure_nitrite_fraction", dry, func(c *Cure) { c.Fraction = 0 }}, {"cure_nitrite_fraction", dry, func(c *Cure) { c.Fraction = 6.25 }},
		{"pickle_kg", wet, func(c *Cure) { c.Pickle = 0 }}, {"pickle_kg", wet, func(c *Cure) { c.Pickle = domain.Kilogram(math.Inf(1)) }},
		{"pump_fraction", wet, func(c *Cure) { c.PickUp = 0 }}, {"pump_fraction", wet, func(c *Cure) { c.PickUp = 10 }},
	} {
		tt.change(&tt.in)
		r, err := Reckon(tt.in)
		if e := domain.As(err); e.Kind != domain.Invalid || e.At != tt.at || r != (Reckoned{}) {
			t.Errorf("%+v: %v at %q, want %q", tt.in, err, e.At, tt.at)
		}
	}
}

func TestBlend(t *testing.T) {
	for _, tt := range []struct {
		name                string
		target, a, b, lb, x float64 // lb of a and b in a hundred
	}{
		{"lean 3 % and pork fat 50 % to 20 %", 0.20, 0.03, 0.50, 63.83, 36.17},
		{"venison 2 % and pork fat 70 % to 15 %", 0.15, 0.02, 0.70, 80.88, 19.12},
		{"90/10 and 50/50 to 80/20", 0.20, 0.10, 0.50, 75, 25},
	} {
		a, b, err := Blend(tt.target, tt.a, tt.b)
		if err != nil || math.Abs(100*a-tt.lb) > 0.005 || math.Abs(100*b-tt.x) > 0.005 {
			t.Errorf("%s: %v, %v, %v; want %v and %v (Pearson square, exact arithmetic, science.md H.2)", tt.name, a, b, err, tt.lb, tt.x)
		}
		// The fat comes out as wanted, and the shares are a whole.
		if math.Abs(a*tt.a+b*tt.b-tt.target) > 1e-12 || math.Abs(a+b-1) > 1e-12 {
			t.Errorf("%s: the mix has %v fat", tt.name, a*tt.a+b*tt.b)
		}
		add, err := ToAdd(lb(50), tt.target, tt.a, tt.b)
		if err != nil || math.Abs(add.Lb()/(50+add.Lb())-b) > 1e-9 {
			t.Errorf("%s: %v to add, %v", tt.name, add, err)
		}
	}
	for _, tt := range []struct {
		at           string
		target, a, b float64
	}{{"target_fat", 0.8, 0.1, 0.5}, {"target_fat", 0.05, 0.1, 0.5}, {"added_fat", 0.1, 0.1, 0.1}, {"lean_fat", 0.2, -0.1, 0.5},
		{"added_fat", 0.2, 0.1, 1.5}, {"target_fat", math.NaN(), 0.1, 0.5}} {
		if _, _, err := Blend(tt.target, tt.a, tt.b); domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt, err)
		}
	}
	if _, err := ToAdd(0, 0.2, 0.1, 0.5); domain.As(err).At != "meat" {
		t.Error("nothing was mixed with something")
	}
	if _, err := ToAdd(10, 0.5, 0.1, 0.5); domain.As(err).At != "target_fat" {
		t.Error("a mix of the second meat alone divides by nothing")
	}
}
