package register

import (
	"testing"
	"time"
)

// Once a night, also in the nights in which clocks change (15 USC 260a: 2026-03-08
// and 2026-11-01 in the United States).
func TestCheckDue(t *testing.T) {
	east, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	at := func(text string) time.Time {
		if text == "" {
			return time.Time{}
		}
		v, err := time.ParseInLocation("2006-01-02 15:04", text, east)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, tt := range []struct {
		last, now string
		due, old  bool
	}{
		{"", "2026-11-25 12:00", true, false},
		{"2026-11-25 03:04", "2026-11-25 12:00", false, false},
		{"2026-11-24 03:04", "2026-11-25 02:59", false, false},
		{"2026-11-24 03:04", "2026-11-25 03:00", true, false},
		{"2026-11-22 03:04", "2026-11-24 06:00", true, true},
		{"2026-03-07 03:04", "2026-03-08 03:00", true, false},
		{"2026-10-31 03:04", "2026-11-01 02:30", false, false},
		{"2026-10-31 03:04", "2026-11-01 03:00", true, false},
	} {
		if due, old := CheckDue(at(tt.last), at(tt.now), east), CheckOld(at(tt.last), at(tt.now)); due != tt.due || old != tt.old {
			t.Errorf("last %s, now %s: due %v, old %v", tt.last, tt.now, due, old)
		}
	}
}
