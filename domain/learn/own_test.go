package learn

import (
	"math"
	"math/rand/v2"
	"testing"
)

var any1 = Range{-1e9, 1e9}

// Definition 7 against worked figures.
func TestQuantiles(t *testing.T) {
	for _, tt := range []struct {
		name              string
		values            []float64
		low, median, high float64
		src               string
	}{
		{"one to eleven", []float64{11, 1, 10, 2, 9, 3, 8, 4, 7, 5, 6}, 2, 6, 10, "by hand: x(1+10p), the 2nd, 6th and 10th"},
		{"one to ten", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, 1.9, 5.5, 9.1, "R 4, quantile(1:10, c(.1,.5,.9)), its default type 7 (from memory): 1.9 5.5 9.1"},
		{"one animal", []float64{3}, 3, 3, 3, "definition: every point is the one"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every expected number needs a source")
			}
			o := Of(tt.values, any1)
			for _, c := range [][2]float64{{o.Low, tt.low}, {o.Median, tt.median}, {o.High, tt.high}} {
				if math.Abs(c[0]-c[1]) > 1e-12 {
					t.Errorf("%+v, want %v %v %v (%s)", o, tt.low, tt.median, tt.high, tt.src)
				}
			}
		})
	}
}

// The ranks of the 95 % interval of a median.
func TestRanks(t *testing.T) {
	const src = "Campbell & Gardner (1988), BMJ 296:1454-1456, table of ranks for the median (from memory)"
	for n, want := range map[int]int{6: 1, 10: 2, 20: 6, 50: 18, 100: 40} {
		if got := rank(n); got != want {
			t.Errorf("%d animals: the %dth, want the %dth (%s)", n, got, want, src)
		}
	}
	for n := 1; n < 6; n++ {
		if rank(n) != 1 {
			t.Errorf("%d animals: only the extremes are left, by definition", n)
		}
	}
}

// Data made with known constants: the fit returns them within its own stated error
// as often as it says, and one weight in twenty typed wrong does not move it out.
func TestFitReturnsTheConstants(t *testing.T) {
	const trials, animals = 2000, 24
	for _, tt := range []struct {
		name            string
		constant, noise float64
		wrong           float64 // part of the entries mistyped tenfold
		possible        Range
	}{
		{"yield 0.52", 0.52, 0.05, 0, any1},
		{"shrink 1.2 times the table", 1.2, 0.4, 0, any1},
		{"minutes 37", 37, 8, 0, any1},
		{"yield with one in twenty mistyped tenfold", 0.52, 0.05, 0.05, Possible(Yield, "")},
	} {
		t.Run(tt.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(7, 12))
			inside, far := 0, 0.0
			for range trials {
				values := make([]float64, animals)
				for i := range values {
					values[i] = tt.constant + tt.noise*random.NormFloat64()
					if random.Float64() < tt.wrong {
						values[i] *= 10
					}
				}
				o := Of(values, tt.possible)
				if o.From <= tt.constant && tt.constant <= o.To {
					inside++
				}
				far = max(far, math.Abs(o.Median-tt.constant)/tt.noise)
			}
			if share := float64(inside) / trials; share < Sure {
				t.Errorf("inside its own interval in %.1f %% of %d shops, stated %.0f %% or more", 100*share, trials, 100*Sure)
			}
			if far > 1.5 {
				t.Errorf("the worst median lies %.2f standard deviations off", far)
			}
		})
	}
}

// The mould fit returns the pace and the first day its data were made with.
func TestGrowthReturnsTheConstants(t *testing.T) {
	const pace, from = 0.65, 12.5
	random := rand.New(rand.NewPCG(3, 9))
	var paces, firsts []float64
	for range 40 {
		var spots []Spot
		for day := 13.0; day < 28; day += 2 { // growth plain to see: at the edge of seeing, what is missed pulls the pace down
			length := FirstLength + pace*(day-from)
			spots = append(spots, Spot{day, max(0, length+0.3*random.NormFloat64())})
		}
		p, f, ok := Growth(spots)
		if !ok {
			t.Fatal("nothing fitted")
		}
		paces, firsts = append(paces, p), append(firsts, f)
	}
	p, f := Of(paces, Range{0, 10}), Of(firsts, Range{0, 60})
	if !(p.From <= pace && pace <= p.To) || !(f.From <= from && from <= f.To) {
		t.Errorf("pace %+v, want %v inside; first day %+v, want %v inside", p, pace, f, from)
	}
	exact, first, ok := Growth([]Spot{{10, 0}, {14, 1}, {16, 2.6}})
	if !ok || math.Abs(exact-0.8) > 1e-12 || math.Abs(first-14) > 1e-12 {
		t.Errorf("%v from day %v: want 0.8 from day 14 (readiness.md section 9)", exact, first)
	}
	for _, none := range [][]Spot{nil, {{10, 1}}, {{10, 1}, {10, 2}}, {{10, 2}, {12, 1}}} {
		if _, _, ok := Growth(none); ok {
			t.Errorf("%v fits a line", none)
		}
	}
}

func TestInUse(t *testing.T) {
	yes, no := true, false
	for _, tt := range []struct {
		count  int
		chosen *bool
		want   bool
	}{{19, nil, false}, {20, nil, true}, {20, &no, false}, {20, &yes, true}, {19, &yes, false}} {
		if got := (Own{Count: tt.count}).InUse(tt.chosen); got != tt.want {
			t.Errorf("%d animals, chosen %v: in use %v (readiness.md section 12: after 20)", tt.count, tt.chosen, got)
		}
	}
	o := Of([]float64{0.5, 0.52, 5, math.NaN(), math.Inf(1)}, Range{0.1, 1})
	if o.Count != 2 || o.LeftOut != 3 {
		t.Errorf("%+v: three of five cannot be", o)
	}
	if (Of(nil, any1) != Own{}) {
		t.Error("nothing says something")
	}
}
