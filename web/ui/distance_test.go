package ui

import (
	"math"
	"testing"

	"coldrail/domain"
)

// 1 ft = 0.3048 m exactly (NIST SP 811, appendix B.8).
func TestReadDistance(t *testing.T) {
	us, metric := WithShop(t.Context(), Shop{}), WithShop(t.Context(), Shop{Metric: true})
	for _, tt := range []struct {
		typed      string
		us, metric float64 // metres; zero: refused
	}{
		{"10", 3.048, 10}, {"10 ft", 3.048, 3.048}, {"3 m", 3, 3}, {"3,5", 1.0668, 3.5}, {"12'", 3.6576, 3.6576},
		{"", 0, 0}, {"far", 0, 0}, {"-3", 0, 0}, {"0", 0, 0}, {"NaN", 0, 0}, {"1e9", 0, 0},
	} {
		for name, ctx := range map[string]struct {
			want float64
		}{"us": {tt.us}, "metric": {tt.metric}} {
			in := us
			if name == "metric" {
				in = metric
			}
			got, err := ReadDistance(in, "length", tt.typed)
			if (err != nil) != (ctx.want == 0) || err != nil && domain.As(err).At != "length" || err == nil && math.Abs(float64(got)-ctx.want) > 1e-9 {
				t.Errorf("%s %q: %v, %v, want %v m", name, tt.typed, got, err, ctx.want)
			}
		}
	}
	if got := Distance(us, 3.048); got != "10\u00a0ft" {
		t.Errorf("Distance: %s", got)
	}
	if got := Distance(metric, 3.048); got != "3.0\u00a0m" {
		t.Errorf("Distance: %s", got)
	}
}
