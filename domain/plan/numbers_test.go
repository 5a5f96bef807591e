package plan

import (
	"math"
	"testing"

	"coldrail/domain"
)

// Issue 3: no NaN or infinity leaves a package. Make's own range is tested where it
// is refused; these are the others that take numbers.
func TestNumbers(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -1} {
		for _, m := range []int{Minutes(Heavy, domain.Kilogram(x), nil), Minutes(Boned, 40, map[Work]Pace{Boned: {PerKg: x}})} {
			if m < 1 || m > MostMinutes {
				t.Errorf("%v kg, or minutes a kilogram: %d minutes", x, m)
			}
		}
	}
}
