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

// TestDaysUntil: days of the shop's calendar, whatever the hour and though the clocks
// change; New York's went back on 2026-11-01 (counting, no source needed).
func TestDaysUntil(t *testing.T) {
	ny, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	at := func(day, hour int) time.Time { return time.Date(2026, 11, day, hour, 0, 0, 0, ny) }
	for _, tt := range []struct {
		now, then time.Time
		want      int
	}{
		{at(19, 7), at(19, 23), 0}, {at(19, 23), at(20, 1), 1}, {at(19, 1), at(20, 23), 1}, {at(19, 20), at(21, 2), 2}, {at(19, 1), at(18, 23), -1},
		{at(0, 23), at(2, 0), 2}, {at(19, 20).UTC(), at(19, 23).UTC(), 0}, {at(19, 18).UTC(), at(19, 20).UTC(), 0},
	} {
		if got := DaysUntil(tt.now, tt.then, ny); got != tt.want {
			t.Errorf("from %s to %s: %d, want %d", tt.now, tt.then, got, tt.want)
		}
	}
}
