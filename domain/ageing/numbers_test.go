package ageing

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

// Issue 3: no NaN or infinity leaves a package. Judge has its own test
// (TestNoVerdictWithoutNumbersAndReasons); these are the others that take numbers.
func TestNumbers(t *testing.T) {
	f, readings := anyAnimal(7, 0)
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 0, -1} {
		for _, v := range []float64{TenderFraction(x, 5), TenderFraction(0.2, x), TenderFraction(x, x)} {
			if !(v >= 0 && v <= 1) {
				t.Errorf("tender by %v: %v leaves the package", x, v)
			}
		}
		c := domain.Celsius(x)
		if g := DoorTemperature(c, 13*time.Hour, false); g.Words().String() == "" || g == Clean && !(x <= 4.4) {
			t.Errorf("%v at the door is %s", x, g.Words())
		}
		list, err := WindowsAt(f, record(t, f, readings), at(11), 2, c)
		if in := x >= -40 && x <= 60; (err == nil) != in || !in && (domain.As(err).At != "air" || list != nil) {
			t.Errorf("air of %v to come: %v", x, err)
		}
		ahead := f
		ahead.AirAhead = &c
		if _, err := Judge(ahead, record(t, f, readings), at(11)); (err == nil) != (x >= -40 && x <= 60) {
			t.Errorf("air of %v to come: judged, %v", x, err)
		}
	}
}
