package learn

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

// at is an hour of a day of November 2026 in the shop's zone.
func at(t *testing.T, day, hour int) *time.Time {
	t.Helper()
	when := time.Date(2026, 11, day, hour, 0, 0, 0, eastern(t))
	return &when
}

func eastern(t *testing.T) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

// threeDeer are a small season, made by hand: one gone home, one in boxes and late,
// one hanging whose day is past.
func threeDeer(t *testing.T) []Passed {
	kg := domain.Kilogram(40)
	promised := func(d int) *time.Time { day := time.Date(2026, 11, d, 0, 0, 0, 0, time.UTC); return &day }
	return []Passed{
		{Kind: "deer", Received: *at(t, 1, 18), Hung: at(t, 1, 20), Tabled: at(t, 6, 8), Boxed: at(t, 7, 20), Home: at(t, 9, 10), Promised: promised(7),
			Hanging: &kg, Packed: 20, Minutes: 60, Cutters: []string{"SB"}, YieldTold: true},
		{Kind: "deer", Received: *at(t, 1, 23), Hung: at(t, 2, 9), Tabled: at(t, 7, 8), Boxed: at(t, 10, 20), Promised: promised(8),
			Hanging: &kg, Packed: 24, Minutes: 90, Cutters: []string{"SB", "MT"}, YieldTold: true},
		{Kind: "elk", Received: *at(t, 2, 9), Promised: promised(9)},
	}
}

// By hand from threeDeer: Nov 1 in 2; Nov 2 in 1; tables on the 6th and 7th; one
// home on the 9th. The clocks went back on Nov 1, 2026, at 2 am: that day has 25
// hours (US Energy Policy Act of 2005: first Sunday in November).
func TestDayCounts(t *testing.T) {
	days := DayCounts(threeDeer(t), *at(t, 10, 21), eastern(t))
	if len(days) != 10 {
		t.Fatalf("%d days, want Nov 1 to 10", len(days))
	}
	for n, want := range map[int]DayCount{0: {In: 2, Hanging: 2, House: 2}, 1: {In: 1, Hanging: 3, House: 3}, 5: {Hanging: 2, House: 3}, 6: {Hanging: 1, House: 3}, 8: {Out: 1, Hanging: 1, House: 2}, 9: {Hanging: 1, House: 2}} {
		got := days[n]
		if want.Day = got.Day; got != want || got.Day.Day() != n+1 || got.Day.Hour() != 0 {
			t.Errorf("day %d: %+v, want %+v", n+1, got, want)
		}
	}
	if DayCounts(nil, *at(t, 10, 21), eastern(t)) != nil {
		t.Error("a season without animals has no days")
	}
}

// What came less what left is what is here, on any day of any season.
func TestNobodyIsLostBetweenDays(t *testing.T) {
	list := threeDeer(t)
	for n := range 200 {
		a := list[n%3]
		a.Received = a.Received.Add(time.Duration(n*7) * time.Hour)
		a.Home, a.Tabled = nil, nil
		if n%2 == 0 {
			left := a.Received.Add(time.Duration(n%90) * time.Hour)
			a.Gone = &left
		}
		list = append(list, a)
	}
	in, out := 0, 0
	for _, d := range DayCounts(list, at(t, 30, 1).AddDate(0, 3, 0), eastern(t)) {
		in, out = in+d.In, out+d.Out
		if d.House != in-out || d.Hanging < 0 || d.Hanging > d.House {
			t.Fatalf("%+v after %d in and %d out", d, in, out)
		}
	}
	if in != len(list) {
		t.Errorf("%d came by the days, %d by the list", in, len(list))
	}
}

func TestSeasonsNumbers(t *testing.T) {
	list, near := threeDeer(t), func(got, want float64) bool { return math.Abs(got-want) < 1e-9 }
	stages := StageDays(list)
	// By hand: to the table 4.5 days (Nov 1, 8 pm to Nov 6, 8 am) and 4 days 23 hours.
	if s := stages[ToTable]; s.Count != 2 || !near(s.Low, 4.5+0.1*(4+23.0/24-4.5)) {
		t.Errorf("to the table %+v", s)
	}
	if s := stages[ToHome]; s.Count != 1 || !near(s.Median, 14.0/24+1) {
		t.Errorf("to home %+v; by hand 38 hours", s)
	}
	kinds, cutters := Yields(list)
	// By hand: 20/40 and 24/40; only the first was cut by one person.
	if k := kinds["deer"]; k.Count != 2 || !near(k.Median, 0.55) || cutters["SB"].Count != 1 || !near(cutters["SB"].Median, 0.5) || len(cutters) != 1 {
		t.Errorf("%+v %+v", kinds, cutters)
	}
	if p := Paces(list)["SB"]; p.Count != 1 || !near(p.Median, domain.Kilogram(40).Lb()) {
		t.Errorf("%+v; by hand 40 kg in an hour", p)
	}
	l := Late(list, *at(t, 12, 9), eastern(t))
	// By hand: the first on its day, the second two days late, the third overdue.
	if l.Promised != 3 || l.OnTime != 1 || l.Late != 1 || l.Overdue != 1 || !near(l.Days.Median, 2) {
		t.Errorf("%+v", l)
	}
	if k := Keys(map[string]Own{"a": {Count: 1}, "b": {Count: 9}}); k[0] != "b" {
		t.Errorf("%v", k)
	}
}
