package domain

import "testing"

// A comma before every three digits of the dollars, as on a check (common practice,
// no source).
func TestCentsAreWritten(t *testing.T) {
	for cents, want := range map[Cents]string{
		0: "$0.00", 5: "$0.05", 18800: "$188.00", -4000: "−$40.00", 99999: "$999.99", 100000: "$1,000.00",
		824600: "$8,246.00", -100505: "−$1,005.05", 10_000_000_00: "$10,000,000.00", 123_456_789_01: "$123,456,789.01",
	} {
		if got := cents.String(); got != want {
			t.Errorf("%d: %s, want %s", cents, got, want)
		}
	}
}
