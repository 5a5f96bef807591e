package domain

import (
	"testing"
	"time"
)

// TestDayOfAge: readiness.md section 1, days of 24 hours from the kill; the first is
// day 1 (counting, no source needed).
func TestDayOfAge(t *testing.T) {
	killed := time.Date(2026, 11, 7, 7, 0, 0, 0, time.UTC)
	for hours, want := range map[float64]int{0: 1, 23.9: 1, 24: 2, 14*24 - 0.1: 14, 14*24 + 0.1: 15} {
		if got := DayOfAge(killed, killed.Add(time.Duration(hours*float64(time.Hour)))); got != want {
			t.Errorf("%g h after the kill: day %d, want %d", hours, got, want)
		}
	}
}
