package plan

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

// Issue 3: no NaN or infinity leaves a package. Make's own range is tested where it
// is refused; these are the others that take numbers.
func TestNumbers(t *testing.T) {
	day := time.Date(2026, 11, 7, 0, 0, 0, 0, time.UTC)
	days := []Day{{Date: day, Cutters: []int{400}}}
	jobs := []Job{{ID: "a", ReadyFrom: day.AddDate(0, 0, 9)}}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -1} {
		for _, m := range []int{Minutes(Heavy, domain.Kilogram(x), nil), Minutes(Boned, 40, map[Work]Pace{Boned: {PerKg: x}})} {
			if m < 1 || m > MostMinutes {
				t.Errorf("%v kg, or minutes a kilogram: %d minutes", x, m)
			}
		}
		if full := (Plan{}).Full(days, jobs, 5, x); full.IsZero() != (x < 0) {
			t.Errorf("%v arrivals a day: full on %v", x, full)
		}
	}
}
