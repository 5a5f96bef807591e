package batch

import (
	"math"
	"testing"

	"coldrail/domain"
)

// Issue 3: no NaN or infinity leaves a package; what is out of range is refused
// with its field named.
func TestNumbers(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -1, 50_001} {
		kg := domain.Kilogram(x)
		if shares, err := Split([]Input{{"26-0001-2", 5}}, 3, kg); shares != nil || domain.As(err).At != "packed" {
			t.Errorf("%v kg came out: %+v, %v", x, shares, err)
		}
		if shares, err := Split([]Input{{"26-0001-2", kg}}, 3, 4); shares != nil || domain.As(err).At != "weight" {
			t.Errorf("%v kg went in: %+v, %v", x, shares, err)
		}
		for _, p := range Products {
			if usual, low, high, ok := p.Expected(kg); ok || usual != 0 || low != 0 || high != 0 {
				t.Errorf("%v kg of %s: %v", x, p, usual)
			}
			for at, err := range map[string]error{"weight": CheckFinished(p, kg, 3, 1, 0), "packed": CheckFinished(p, 5, 3, kg, 0), "odd": CheckFinished(p, 5, 3, 1, kg)} {
				if err == nil || domain.As(err).At != at {
					t.Errorf("%s of %v kg: %v", at, x, err)
				}
			}
			if err := CheckLeast(p, kg); err == nil {
				t.Errorf("a batch of %v kg may be mixed", x)
			}
		}
	}
}
