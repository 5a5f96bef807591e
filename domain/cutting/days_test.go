package cutting

import (
	"testing"

	"coldrail/domain"
)

// Annex E 17: a fawn marked "age 14 days"; the ceiling of a fawn is 5 (readiness.md
// section 10).
func TestSettleDays(t *testing.T) {
	for _, tt := range []struct {
		name        string
		days        Days
		ceiling     int
		told, leads bool
		want        Days
		kind        domain.Kind
	}{
		{"nothing wished", Days{}, 5, false, false, Days{}, 0},
		{"within", Days{Wanted: 5}, 5, false, false, Days{Wanted: 5, Settled: 5}, 0},
		{"no ceiling known", Days{Wanted: 14}, 0, false, false, Days{Wanted: 14, Settled: 14}, 0},
		{"too many", Days{Wanted: 14}, 5, false, true, Days{}, domain.Invalid},
		{"shortened and told", Days{Wanted: 14}, 5, true, false, Days{Wanted: 14, Settled: 5}, 0},
		{"a reason, by nobody who may", Days{Wanted: 14, Why: "cold and dry"}, 5, false, false, Days{}, domain.Refused},
		{"a reason of the lead", Days{Wanted: 14, Why: "cold and dry"}, 5, false, true, Days{Wanted: 14, Settled: 14, Why: "cold and dry"}, 0},
		{"a year", Days{Wanted: 365}, 0, false, true, Days{}, domain.Invalid},
	} {
		got, err := tt.days.Settle(tt.ceiling, tt.told, tt.leads)
		if tt.kind != 0 {
			if domain.As(err).Kind != tt.kind || domain.As(err).At != "days" {
				t.Errorf("%s: %v", tt.name, err)
			}
		} else if err != nil || got != tt.want {
			t.Errorf("%s: %+v, %v; want %+v", tt.name, got, err, tt.want)
		}
		if (got.Words().Format == "") != (got.Wanted == 0) {
			t.Errorf("%s: says %q", tt.name, got.Words())
		}
	}
}
