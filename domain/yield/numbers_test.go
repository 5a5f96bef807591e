package yield

import (
	"math"
	"testing"

	"coldrail/domain"
)

// Issue 3: no NaN or infinity leaves a package; what is out of range is refused
// with its field named.
func TestNumbers(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, 0, -1, 0.999, 1500.1, 1, 1500} {
		in := x >= 1 && x <= 1500
		for _, s := range domain.AllSpecies {
			e, err := FromHanging(s, "", domain.Kilogram(x))
			if (err == nil) != in || err != nil && domain.As(err).At != "hanging_kg" || in && !(e.Typical > 0 && e.Typical <= e.Clean && e.Clean < domain.Kilogram(x)) {
				t.Errorf("%s of %v kg hanging: %+v, %v", s, x, e, err)
			}
			e, err = FromFieldDressed(s, domain.Kilogram(x))
			if err == nil && !(in && e.Typical > 0 && e.Clean < domain.Kilogram(x)) || err != nil && domain.As(err).At != "field_dressed_kg" {
				t.Errorf("%s of %v kg field-dressed: %+v, %v", s, x, e, err)
			}
			for _, f := range domain.Forms {
				if v := Shrink(s, f, x); !(v >= 0 && v < 0.3) {
					t.Errorf("%s hanging %v days loses %v", s, x, v)
				}
			}
		}
	}
}
