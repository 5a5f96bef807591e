package statute

import (
	"testing"
	"time"

	"coldrail/domain"
)

// Annex E 6: a doe killed in a zone county, limit 72 hours after the kill. At 60
// hours 12 are left; at 73 it is over.
func TestOnTheRoad(t *testing.T) {
	loc, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	zone := Rule{Key: "zone", State: "WI", Topic: Transport, Covers: "game", Form: "whole", Starts: FromKill, Count: 72, Unit: Hours, Places: []string{"Alder"}}
	leaving := Rule{Key: "leaving", State: "MO", Topic: Transport, Covers: "game", Starts: FromLeaving, Count: 48, Unit: Hours}
	ban := Rule{Key: "ban", State: "WI", Topic: Transport, Covers: "game"}
	rules := []Rule{zone, leaving, ban, {Key: "else", State: "WI", Topic: Proof, Covers: "game"}}
	kill := time.Date(2026, 11, 16, 6, 30, 0, 0, loc)
	doe := Road{Species: domain.Whitetail, Form: domain.WholeHideOn, Home: "WI", State: "WI", County: "alder", Killed: kill}
	at := func(h float64) time.Time { return kill.Add(time.Duration(h * float64(time.Hour))) }
	day := time.Date(2026, 11, 16, 0, 0, 0, 0, loc)
	left := at(10)
	for _, tt := range []struct {
		name string
		edit func(*Road)
		now  time.Time
		want Standing
		none bool
		src  string
	}{
		{"60 hours", func(*Road) {}, at(60), InTime, false, "Annex E 6: 12 hours left"},
		{"72 hours to the minute", func(*Road) {}, at(72), InTime, false, "within 72 hours"},
		{"73 hours", func(*Road) {}, at(73), Over, false, "Annex E 6: no"},
		{"another county", func(r *Road) { r.County = "Birch" }, at(73), 0, true, "the rule names its counties"},
		{"boned", func(r *Road) { r.Form = domain.Boned }, at(73), 0, true, "the rule is for whole carcasses"},
		{"the day alone, early", func(r *Road) { r.Killed, r.DayOnly = day, true }, day.Add(60 * time.Hour), InTime, false, "even if killed at midnight"},
		{"the day alone, between", func(r *Road) { r.Killed, r.DayOnly = day, true }, day.Add(80 * time.Hour), Unsure, false, "killed at 6 it is over, at 9 it is not"},
		{"the day alone, late", func(r *Road) { r.Killed, r.DayOnly = day, true }, day.Add(97 * time.Hour), Over, false, "over even if killed at 24:00"},
		{"leaving told", func(r *Road) { r.State, r.Left = "MO", &left }, at(57), InTime, false, "47 of 48 hours after leaving"},
		{"leaving long ago", func(r *Road) { r.State, r.Left = "MO", &left }, at(59), Over, false, "49 hours after leaving"},
		{"leaving not told, early", func(r *Road) { r.State = "MO" }, at(47), InTime, false, "it left after the kill"},
		{"leaving not told, late", func(r *Road) { r.State = "MO" }, at(49), Unsure, false, "it may have left an hour ago"},
	} {
		r := doe
		tt.edit(&r)
		clocks, _, _ := OnTheRoad(rules, r, tt.now, loc)
		if (len(clocks) == 0) != tt.none || tt.src == "" {
			t.Errorf("%s: %d clocks (%s)", tt.name, len(clocks), tt.src)
		} else if !tt.none && clocks[0].At(tt.now) != tt.want {
			t.Errorf("%s: %v, want %v (%s)", tt.name, clocks[0].At(tt.now), tt.want, tt.src)
		}
	}
	if clocks, _, _ := OnTheRoad(rules, doe, at(60), loc); clocks[0].Until.Sub(at(60)) != 12*time.Hour {
		t.Errorf("%v left, want 12 h", clocks[0].Until.Sub(at(60)))
	}
}

// What counts nothing is read; a rule that names places wants the county.
func TestWhatElseIsRead(t *testing.T) {
	ban := Rule{Key: "ban", State: "GA", Topic: Transport, Covers: "game"}
	zone := Rule{Key: "zone", State: "WI", Topic: Transport, Covers: "game", Form: "whole", Starts: FromKill, Count: 72, Unit: Hours, Places: []string{"Alder"}}
	now := time.Date(2026, 11, 16, 12, 0, 0, 0, time.UTC)
	read := func(r Road) (keys []string, ask bool) {
		_, list, ask := OnTheRoad([]Rule{ban, zone}, r, now, time.UTC)
		for _, r := range list {
			keys = append(keys, r.Key)
		}
		return keys, ask
	}
	if keys, ask := read(Road{Species: domain.Whitetail, Form: domain.Whole, Home: "GA", State: "WI", Killed: now}); len(keys) != 1 || keys[0] != "ban" || !ask {
		t.Errorf("brought into GA without its county: %v, county asked %v", keys, ask)
	}
	if keys, ask := read(Road{Species: domain.Whitetail, Form: domain.Boned, Home: "OH", State: "WI", County: "Alder", Killed: now}); len(keys) != 1 || keys[0] != "zone" || ask {
		t.Errorf("boned out of Alder: %v, county asked %v", keys, ask)
	}
	if keys, _ := read(Road{Species: domain.Beef, Form: domain.Whole, Home: "GA", State: "WI", Killed: now}); len(keys) != 0 {
		t.Errorf("cattle: %v", keys)
	}
	if !(Rule{State: AnyState, Places: []string{"Alder"}}).At("OH", "Alder", "") {
		t.Error("a rule of any state misses a place it names")
	}
}
