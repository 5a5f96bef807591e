package backup_test

import (
	"testing"
	"time"

	"coldrail/domain/backup"
)

var east, _ = time.LoadLocation("America/New_York")

func at(text string) time.Time {
	if text == "" {
		return time.Time{}
	}
	t, err := time.ParseInLocation("2006-01-02 15:04", text, east)
	if err != nil {
		panic(err)
	}
	return t
}

// The rule as it stands in the issue: once a night, and a warning past 26 hours.
func TestDueAndStanding(t *testing.T) {
	for _, tt := range []struct {
		name, on, good, tried, now string
		due                        bool
		stands                     backup.Standing
	}{
		{"never turned on", "", "", "", "2026-11-25 12:00", false, backup.Off},
		{"just turned on", "2026-11-25 12:00", "", "", "2026-11-25 12:00", true, backup.Fresh},
		{"made last night", "2026-11-01 12:00", "2026-11-25 02:04", "2026-11-25 02:01", "2026-11-25 12:00", false, backup.Fresh},
		{"a minute before the hour", "2026-11-01 12:00", "2026-11-24 02:04", "2026-11-24 02:01", "2026-11-25 01:59", false, backup.Fresh},
		{"the hour has come", "2026-11-01 12:00", "2026-11-24 02:04", "2026-11-24 02:01", "2026-11-25 02:00", true, backup.Fresh},
		{"failed just now", "2026-11-01 12:00", "2026-11-24 02:04", "2026-11-25 02:00", "2026-11-25 02:50", false, backup.Fresh},
		{"failed an hour ago", "2026-11-01 12:00", "2026-11-24 02:04", "2026-11-25 02:00", "2026-11-25 03:00", true, backup.Fresh},
		{"26 hours and a minute", "2026-11-01 12:00", "2026-11-24 02:00", "2026-11-25 03:50", "2026-11-25 04:01", false, backup.Old},
		{"on for 27 hours, never good", "2026-11-24 09:00", "", "2026-11-25 11:30", "2026-11-25 12:00", false, backup.Old},
		{"turned off and on again", "2026-11-25 12:00", "2026-11-25 02:04", "2026-11-25 02:01", "2026-11-25 12:01", true, backup.Fresh},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, now := backup.Past{OnSince: at(tt.on), Good: at(tt.good), Tried: at(tt.tried)}, at(tt.now)
			if due := p.Due(now, 2, east); due != tt.due {
				t.Errorf("due %t, want %t", due, tt.due)
			}
			if stands := p.Stands(now); stands != tt.stands {
				t.Errorf("stands %d, want %d", stands, tt.stands)
			}
		})
	}
}

// Two years of nights, thinned each morning as the program does it, must leave
// the last seven days, and reach back a month and a year.
func TestThin(t *testing.T) {
	var kept []time.Time
	first := at("2025-01-01 02:00")
	last := first
	for night := range 730 {
		last = first.AddDate(0, 0, night)
		kept = append(kept, last)
		gone := map[time.Time]bool{}
		for _, g := range backup.Thin(kept, east) {
			gone[g] = true
		}
		var stay []time.Time
		for _, k := range kept {
			if !gone[k] {
				stay = append(stay, k)
			}
		}
		kept = stay
	}
	if len(kept) > backup.Days+backup.Weeks+backup.Months {
		t.Errorf("%d copies stay, want at most %d", len(kept), backup.Days+backup.Weeks+backup.Months)
	}
	stays := map[time.Time]bool{}
	for _, k := range kept {
		stays[k] = true
	}
	for ago := range backup.Days {
		if !stays[last.AddDate(0, 0, -ago)] {
			t.Errorf("the copy of %d days ago is gone", ago)
		}
	}
	if oldest := kept[0]; last.Sub(oldest) < 330*24*time.Hour || last.Sub(oldest) > 366*24*time.Hour {
		t.Errorf("the oldest copy is of %s, want one of about a year before %s", oldest, last)
	}
	if gone := backup.Thin([]time.Time{last}, east); len(gone) != 0 {
		t.Errorf("the only copy goes: %v", gone)
	}
}
