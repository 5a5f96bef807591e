package ui

import (
	"context"
	"math"
	"strconv"
	"strings"

	"coldrail/domain"
)

const metresPerFoot = 0.3048

// Distance writes the size of a room, such as "26 ft" or "8.0 m".
func Distance(ctx context.Context, m domain.Metre) string {
	if ShopOf(ctx).Metric {
		return number(float64(m), 1) + Joint + "m"
	}
	return number(float64(m)/metresPerFoot, 0) + Joint + "ft"
}

// DistanceUnit is the unit a room is measured in.
func DistanceUnit(ctx context.Context) string {
	if ShopOf(ctx).Metric {
		return "m"
	}
	return "ft"
}

// ReadDistance reads the size of a room, in feet or in metres in a metric shop,
// unless the person wrote the other unit.
func ReadDistance(ctx context.Context, field, typed string) (domain.Metre, error) {
	rest, unit := splitUnit(typed, "ft", "'", "m")
	n, err := strconv.ParseFloat(rest, 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0, notANumber(field, typed, domain.Say("a length in %s", DistanceUnit(ctx)))
	}
	m := domain.Metre(n * metresPerFoot)
	if unit == "m" || unit == "" && ShopOf(ctx).Metric {
		m = domain.Metre(n)
	}
	if m <= 0 || m > 100 {
		return 0, domain.Wrong(field, "%s cannot be right for a room. Measure again.", strings.TrimSpace(typed))
	}
	return m, nil
}
