package billing

import (
	"testing"
	"time"
)

// Days on the wall's calendar, through both nights on which the clocks change in the
// US (15 USC 260a: second Sunday of March, first of November) and a leap day. By hand
// from the rule of trade.md 7.1 and 8, 2: the free days follow the day of the notice.
func TestStorageDays(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	at := func(day string) time.Time {
		if day == "" {
			return time.Time{}
		}
		when, err := time.ParseInLocation("2006-01-02 15:04", day, zone)
		if err != nil {
			t.Fatal(err)
		}
		return when.UTC() // as the records give it
	}
	held := func(from, to string) []Span { return []Span{{at(from), at(to)}} }
	for _, tt := range []struct {
		name           string
		told, approved string
		held           []Span
		now            string
		want           int
	}{
		{"nobody told", "", "2026-10-20 09:00", nil, "2026-12-20 09:00", 0},
		{"nobody approved", "2026-10-20 09:00", "", nil, "2026-12-20 09:00", 0},
		{"the last free day", "2026-10-20 09:00", "2026-10-21 09:00", nil, "2026-11-03 23:59", 0},
		{"its first minute over", "2026-10-20 09:00", "2026-10-21 09:00", nil, "2026-11-04 00:00", 1},
		{"told a minute before midnight", "2026-10-20 23:59", "2026-10-21 09:00", nil, "2026-11-04 00:00", 1},
		{"clocks go back on day 2", "2026-10-17 09:00", "2026-10-17 10:00", nil, "2026-11-02 00:30", 2},
		{"and late that evening", "2026-10-17 09:00", "2026-10-17 10:00", nil, "2026-11-01 23:30", 1},
		{"clocks go forward between", "2026-02-20 21:00", "2026-02-21 10:00", nil, "2026-03-09 00:30", 3},
		{"a leap day", "2028-02-10 09:00", "2028-02-10 09:30", nil, "2028-03-01 12:00", 6}, // 25 to 29 February, 1 March
		{"over the year", "2026-12-10 09:00", "2026-12-10 09:30", nil, "2027-01-02 12:00", 9},
		{"approved late: from the day after", "2026-10-20 09:00", "2026-12-01 09:00", nil, "2026-12-03 12:00", 2},
		{"approved that day", "2026-10-20 09:00", "2026-12-01 09:00", nil, "2026-12-01 23:00", 0},
		{"held for an hour of a day", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-05 10:00", "2026-11-05 11:00"), "2026-11-06 12:00", 2},
		{"held from one day to the third", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-04 23:59", "2026-11-06 00:01"), "2026-11-08 12:00", 2},
		{"held still", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-06 08:00", ""), "2026-11-30 12:00", 2},
		{"freed as the day began", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-05 08:00", "2026-11-07 00:00"), "2026-11-07 12:00", 2},
		{"four free days held: the last free day", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-01 08:00", "2026-11-05 00:00"), "2026-11-07 12:00", 0},
		{"four free days held: four days later", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-01 08:00", "2026-11-05 00:00"), "2026-11-08 12:00", 1},
		{"held since a free day, still", "2026-10-20 09:00", "2026-10-21 09:00", held("2026-11-01 08:00", ""), "2026-12-30 12:00", 0},
	} {
		c := StorageClock{StorageRule: StorageRule{On: true, AfterDays: 14, ADay: 200}, Told: at(tt.told), Approved: at(tt.approved), Held: tt.held}
		if got := c.Days(at(tt.now).In(zone)); got != tt.want {
			t.Errorf("%s: %d days, want %d", tt.name, got, tt.want)
		}
		if c.On = false; c.Days(at(tt.now).In(zone)) != 0 {
			t.Errorf("%s: it runs while it is off", tt.name)
		}
	}
}

// The clock starts at the first notice that arrived or the second that was tried
// (trade.md 8, 2).
func TestToldAt(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 11, n, 12, 0, 0, 0, time.UTC) }
	for name, tt := range map[string]struct {
		tries []Try
		want  time.Time
	}{
		"none":                  {nil, time.Time{}},
		"one busy line":         {[]Try{{day(1), false}}, time.Time{}},
		"two busy lines":        {[]Try{{day(1), false}, {day(3), false}, {day(4), true}}, day(3)},
		"spoken to first":       {[]Try{{day(1), true}, {day(3), false}}, day(1)},
		"spoken to at a second": {[]Try{{day(1), false}, {day(2), true}}, day(2)},
	} {
		if got := ToldAt(tt.tries); !got.Equal(tt.want) {
			t.Errorf("%s: %v, want %v", name, got, tt.want)
		}
	}
}

// The line is the days it lacks times the price, and its total is what is printed.
func TestStorageLine(t *testing.T) {
	now := time.Date(2026, 12, 10, 12, 0, 0, 0, time.UTC)
	c := StorageClock{StorageRule: StorageRule{On: true, AfterDays: 7, ADay: 150, Taxable: true}, Told: now.AddDate(0, 0, -20), Approved: now.AddDate(0, 0, -20)}
	l, ok := c.Line(now, 4)
	if !ok || l.Quantity != 9 || l.Total != 1350 || !l.Taxable || l.Why != "through Dec 10, first told Nov 20, 7 days free" { // 28 November to 10 December: 13 days
		t.Errorf("%+v, %v", l, ok)
	}
	if _, ok := c.Line(now, 13); ok {
		t.Error("what is billed is billed again")
	}
	for at, bad := range map[string]StorageRule{"after": {AfterDays: 0, ADay: 100}, "day": {AfterDays: 7, ADay: 0}} {
		if err := bad.Check(); err == nil {
			t.Errorf("%s passes", at)
		}
	}
}
