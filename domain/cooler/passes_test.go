package cooler

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"coldrail/domain"
)

// The last columns of the worked case: when each limit is passed.
func TestWarmupPassesTable(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/warmup_passes.csv")
	if err != nil {
		t.Fatal(err)
	}
	cite, rows, _ := strings.Cut(string(text), "\n")
	records, err := csv.NewReader(strings.NewReader(rows)).ReadAll()
	if err != nil || !strings.HasPrefix(cite, "# ") || len(records) != 6 {
		t.Fatalf("the table must begin with its citation and hold 5 rows: %v", err)
	}
	for _, r := range records[1:] {
		deer, _ := strconv.Atoi(r[0])
		fan, _ := strconv.ParseFloat(r[1], 64)
		w := worked(deer, fan)
		for i, got := range []float64{hoursOf(w.Passes(5).Air), hoursOf(w.Passes(4.4).Meat), hoursOf(w.Passes(7).Meat)} {
			if r[2+i] == "" {
				continue
			}
			want, err := strconv.ParseFloat(r[2+i], 64)
			if err != nil || !(math.Abs(got-want) <= max(0.06, 0.011*want)) {
				t.Errorf("%s deer, %s W, column %d: %.3f h, want %s (%s)", r[0], r[1], i, got, r[2+i], cite)
			}
		}
	}
	run(t, []check{
		{"F1 lumped deer, h", 40 * meatHeat / (3.6 * 8 * 0.10 * math.Pow(40, 0.667)), 3.92, 0.02, "science.md F.3 by hand: 8 W/m2K on 0.10 kg^0.667"},
		{"heat of lean beef against ours, kJ/kgK", meatHeat, 3.4, 0.21, "James & James 2002 Table 13.2: 3.2 to 3.6 for lean meat; 3.3 for bone-in deer is common practice"},
	})
}

// Any room that Check lets through gives numbers at any hour, keeps its energy,
// and is never cooler for being warmer outside.
func TestAnyRoom(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		w := Warmup{UA: r.Float64() * 200, Fan: r.Float64() * 2000, Air: 20 + r.Float64()*2000, Outside: domain.Celsius(r.Float64()*80 - 30),
			StartAir: domain.Celsius(r.Float64()*30 - 10), StartMeat: domain.Celsius(r.Float64()*40 - 2), Animals: r.IntN(60), Animal: domain.Kilogram(1 + r.Float64()*400)}
		if err := w.Check(); err != nil {
			t.Fatal(err)
		}
		warmer := w
		warmer.Outside += 5
		const steps, last = 4000, 12.0
		in := 0.0
		for i := range steps {
			mid := w.After(last * (float64(i) + 0.5) / steps)
			in += (w.Fan + w.UA*float64(w.Outside-mid.Air)) * 3.6 * last / steps
		}
		end, hot := w.After(last), warmer.After(last)
		kept := w.Air*float64(end.Air-w.StartAir) + float64(w.Animal)*float64(w.Animals)*meatHeat*float64(end.Meat-w.StartMeat)
		if !(math.Abs(in-kept) <= 0.01*math.Max(math.Abs(in), 500)) {
			t.Errorf("F8 %+v: %v kJ came in, %v kJ are there", w, in, kept)
		}
		if !(hot.Air >= end.Air-1e-9 && hot.Meat >= end.Meat-1e-9) {
			t.Errorf("%+v: five degrees more outside cool it", w)
		}
		half, rest := w.After(6), w
		rest.StartAir, rest.StartMeat = half.Air, half.Meat
		if again := rest.After(6); math.Abs(float64(again.Air-end.Air)) > 1e-6 || w.Animals > 0 && math.Abs(float64(again.Meat-end.Meat)) > 1e-6 {
			t.Errorf("%+v: six and six hours give %v, twelve give %v", w, again, end)
		}
	}
	for _, edge := range []Warmup{{UA: 10_000, Fan: 50_000, Air: 0.1, Outside: 60, StartAir: -40, StartMeat: -40, Animals: 10_000, Animal: 1500},
		{Air: 1e6, Outside: -40, StartAir: 60, StartMeat: 60, Animals: 1, Animal: 1}} {
		if s := edge.After(72); edge.Check() != nil || math.IsNaN(float64(s.Air+s.Meat+s.Surface)) || math.IsInf(float64(s.Air+s.Meat+s.Surface), 0) {
			t.Errorf("%+v: %+v", edge, s)
		}
	}
}
