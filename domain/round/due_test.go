package round

import (
	"testing"
	"time"

	"coldrail/domain"
)

// usualHours are 7 and 19 o'clock, two hours either way (trade.md 4.1, 4.3;
// common practice, no source).
var usualHours = Hours{Morning: 7 * 60, Evening: 19 * 60, Half: 2 * time.Hour}

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// Both clock changes of 2026 in the United States: 8 March and 1 November
// (15 USC 260a: second Sunday of March, first Sunday of November, at 2 o'clock).
func TestWindowsAcrossClockChanges(t *testing.T) {
	ny := zone(t, "America/New_York")
	for _, tt := range []struct {
		name     string
		from     time.Time
		due      []string // RFC 3339, UTC
		overhang time.Duration
	}{
		{"spring", time.Date(2026, 3, 7, 0, 0, 0, 0, ny), []string{"2026-03-07T12:00:00Z", "2026-03-08T00:00:00Z", "2026-03-08T11:00:00Z", "2026-03-08T23:00:00Z"}, 7 * time.Hour},
		{"autumn", time.Date(2026, 10, 31, 0, 0, 0, 0, ny), []string{"2026-10-31T11:00:00Z", "2026-10-31T23:00:00Z", "2026-11-01T12:00:00Z", "2026-11-02T00:00:00Z"}, 9 * time.Hour},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := Windows(tt.from, tt.from.AddDate(0, 0, 2), usualHours, ny)
			if len(got) != len(tt.due) {
				t.Fatalf("%d windows, want %d: %v", len(got), len(tt.due), got)
			}
			for i, w := range got {
				if s := w.Due.UTC().Format(time.RFC3339); s != tt.due[i] || w.Closes.Sub(w.Opens) != 4*time.Hour {
					t.Errorf("window %d due %s, %v long; want %s, 4 h", i, s, w.Closes.Sub(w.Opens), tt.due[i])
				}
			}
			// The night between: 21:00 to 05:00 is eight hours, one less in spring, one more in autumn.
			if night := got[1].Next.Sub(got[1].Closes); night != tt.overhang {
				t.Errorf("the night is %v long, want %v", night, tt.overhang)
			}
		})
	}
}

// Whatever the zone, a year has two windows for each of its days, closed days
// included, none touching the next; and asking piece by piece gives the same.
func TestWindowsOfAYear(t *testing.T) {
	for _, name := range []string{"America/New_York", "America/Anchorage", "Pacific/Honolulu", "Europe/Berlin", "Australia/Lord_Howe"} {
		z := zone(t, name)
		for _, hours := range []Hours{usualHours, {Morning: 60, Evening: 13 * 60, Half: 2 * time.Hour}} {
			from, to := time.Date(2026, 1, 1, 0, 0, 0, 0, z), time.Date(2027, 1, 1, 0, 0, 0, 0, z)
			whole := Windows(from, to, hours, z)
			if len(whole) != 730 {
				t.Errorf("%s: %d windows in 365 days", name, len(whole))
			}
			var pieces []Window
			for a := from; a.Before(to); a = a.Add(7 * time.Hour) {
				b := a.Add(7 * time.Hour)
				if b.After(to) {
					b = to
				}
				pieces = append(pieces, Windows(a, b, hours, z)...)
			}
			if len(pieces) != len(whole) {
				t.Fatalf("%s: %d windows piece by piece, %d at once", name, len(pieces), len(whole))
			}
			for i, w := range whole {
				if pieces[i] != w || !w.Closes.Before(w.Next) || i > 0 && whole[i-1].Next != w.Opens {
					t.Fatalf("%s: window %d does not follow: %+v", name, i, w)
				}
			}
		}
	}
}

func TestState(t *testing.T) {
	w := Windows(time.Date(2026, 11, 7, 0, 0, 0, 0, time.UTC), time.Date(2026, 11, 8, 0, 0, 0, 0, time.UTC), usualHours, time.UTC)[0]
	at := func(hour, min int) time.Time { return time.Date(2026, 11, 7, hour, min, 0, 0, time.UTC) }
	for _, tt := range []struct {
		name  string
		now   time.Time
		saved []Saved
		want  State
		src   string
	}{
		{"before", at(4, 59), nil, Waiting, "7:00 less two hours"},
		{"opens", at(5, 0), nil, Open, "trade.md 4.3"},
		{"last moment", at(9, 0), nil, Open, "trade.md 4.3"},
		{"over", at(9, 1), nil, Missed, "trade.md 4.3: recorded as missed"},
		{"walked in time", at(7, 30), []Saved{{WalkedAt: at(7, 10), ArrivedAt: at(7, 11)}}, Done, "trade.md 4.3"},
		{"walked in time, sent at noon", at(12, 1), []Saved{{WalkedAt: at(8, 59), ArrivedAt: at(12, 0)}}, Done, "design.md: turns missed into done"},
		{"walked late", at(12, 0), []Saved{{WalkedAt: at(9, 30), ArrivedAt: at(9, 31)}}, Late, "trade.md 4.3: keeps its true time"},
		{"walked too early", at(12, 0), []Saved{{WalkedAt: at(4, 0), ArrivedAt: at(4, 1)}}, Missed, "trade.md 4.3: not in its window"},
		{"the evening's walk", at(20, 0), []Saved{{WalkedAt: at(17, 30), ArrivedAt: at(17, 31)}}, Missed, "the evening window opens at 17:00"},
		{"on paper", at(20, 0), []Saved{{WalkedAt: at(7, 0), ArrivedAt: at(19, 0), OnPaper: true}}, OnPaper, "design.md: shows as done on paper"},
		{"on paper and walked", at(20, 0), []Saved{{WalkedAt: at(7, 0), OnPaper: true}, {WalkedAt: at(7, 5)}}, Done, "a true walk counts more"},
		{"on paper and late", at(20, 0), []Saved{{WalkedAt: at(10, 0)}, {WalkedAt: at(7, 0), OnPaper: true}}, OnPaper, "made in its window"},
		{"late on paper", at(20, 0), []Saved{{WalkedAt: at(10, 0), OnPaper: true}}, Late, "paper does not widen the window"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := w.State(tt.saved, tt.now); tt.src == "" || got != tt.want {
				t.Errorf("got %s, want %s (%s)", got, tt.want, tt.src)
			}
		})
	}
}

func TestHoursCheck(t *testing.T) {
	for _, tt := range []struct {
		name  string
		hours Hours
		at    string
	}{
		{"default", usualHours, ""},
		{"turned round", Hours{Morning: 19 * 60, Evening: 7 * 60, Half: time.Hour}, "hours"},
		{"touching by day", Hours{Morning: 8 * 60, Evening: 12 * 60, Half: 2 * time.Hour}, "half"},
		{"touching in the night that loses an hour", Hours{Morning: 5 * 60, Evening: 24*60 - 60, Half: 150 * time.Minute}, "half"},
		{"no window", Hours{Morning: 7 * 60, Evening: 19 * 60}, "half"},
	} {
		if err := tt.hours.Check(); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

func TestSavedCheck(t *testing.T) {
	arrived := time.Date(2026, 11, 7, 8, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		name   string
		walked time.Time
		ok     bool
	}{
		{"twelve hours ago", arrived.Add(-12 * time.Hour), true},
		{"clock nine minutes fast", arrived.Add(9 * time.Minute), true},
		{"clock eleven minutes fast", arrived.Add(11 * time.Minute), false},
		{"no time", time.Time{}, false},
	} {
		if err := (Saved{WalkedAt: tt.walked, ArrivedAt: arrived}).Check(); (err == nil) != tt.ok {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

func TestMissedInARow(t *testing.T) {
	for _, tt := range []struct {
		states []State
		want   int
	}{
		{nil, 0},
		{[]State{Missed, Done, Missed}, 1},
		{[]State{Done, Missed, Late, Open, Waiting}, 2},
		{[]State{Missed, Missed, OnPaper}, 0},
	} {
		if got := MissedInARow(tt.states); got != tt.want {
			t.Errorf("%v: %d, want %d", tt.states, got, tt.want)
		}
	}
	for _, s := range []State{Waiting, Open, Done, Late, Missed, OnPaper} {
		if s.Words().String() == string(s) && s != Done && s != Missed {
			t.Errorf("%s has no words", s)
		}
	}
}
