package plan

import (
	"slices"
	"testing"
	"time"

	"coldrail/domain"
)

// The pace of each kind of work lies within the range of trade.md 6.5 (common
// practice, no source); the shop's own replaces it.
func TestMinutes(t *testing.T) {
	for _, tt := range []struct {
		species domain.Species
		boneIn  bool
		kg      domain.Kilogram
		lo, hi  int
		src     string
	}{
		{domain.Whitetail, false, 40, 30, 50, "bone and cut a plain deer 30 to 50 min"},
		{domain.Whitetail, true, 40, 20, 30, "bone-in chops style 20 to 30 min"},
		{domain.Beef, false, 150, 90, 180, "a beef side 1.5 to 3 h; a side of 150 kg (330 lb) by readiness.md 3"},
		{domain.Hog, false, 80, 35, 60, "hog 35 to 60 min"},
		{domain.Lamb, false, 25, 20, 35, "lamb 20 to 35 min"},
	} {
		if m := Minutes(WorkOf(tt.species, tt.boneIn), tt.kg, nil); m < tt.lo || m > tt.hi {
			t.Errorf("%s: %d min, want %d to %d (%s)", tt.species, m, tt.lo, tt.hi, tt.src)
		}
	}
	if m := Minutes(Boned, 40, map[Work]Pace{Boned: {Minutes: 33}}); m != 33 {
		t.Errorf("the shop's own 33 min is not used: %d", m)
	}
	if m := Minutes(Heavy, 1500, nil); m != 1241 {
		t.Errorf("1,500 kg: %d min, want 1,241: by hand, 3,306.9 lb at 160 lb an hour, rounded up", m)
	}
}

// What a crew of four does as a line: 4 to 7 deer an hour (trade.md 6.5, common
// practice, no source).
func TestCrewAsALine(t *testing.T) {
	c := Crew{Works: Line}
	for d := range c.Week {
		c.Week[d] = Shift{Cutters: 4, Size: 480}
	}
	c.Week[0] = Shift{}
	c.Week[6] = Shift{Cutters: 2, Size: 480}
	days := c.Days(day(20), 3) // Friday to Sunday
	if len(days[0].Cutters) != 1 || days[0].Cutters[0] != 480 || days[1].Cutters[0] != 240 || len(days[2].Cutters) != 0 {
		t.Errorf("%+v: want one line of 480, half of it on Saturday, closed on Sunday", days)
	}
	if m := c.Takes(40, day(20), 3); 60/m < 4 || 60/m > 7 {
		t.Errorf("%d minutes a deer, want 4 to 7 an hour", m)
	}
	c.Works, c.Dates = Carcasses, map[time.Time]Shift{day(21): {Cutters: 1, Size: 9, Takes: Game}}
	if days := c.Days(day(20), 2); days[1].Cutters[0] != 9 || days[1].Takes != Game || c.Takes(40, day(20), 3) != 1 {
		t.Errorf("nine carcasses on the 21st, one each: %+v", days)
	}
}

// What the shop's words mean to the planner (readiness.md section 11).
// By hand: two with 480 minutes each, three deer of 40 begun: 400 and 440 are left. At
// 6:50 pm the day has five hours in whole quarters, whatever the calendar says.
// Carcasses are counted, not hours.
func TestLeftOfTheDay(t *testing.T) {
	day := func(cutters ...int) Day { return Day{Cutters: cutters} }
	for _, tt := range []struct {
		name  string
		works Works
		day   Day
		begun []int
		until time.Duration
		want  []int
	}{
		{"nothing begun", Each, day(480, 480), nil, 12 * time.Hour, []int{480, 480}},
		{"three begun", Each, day(480, 480), []int{40, 40, 40}, 12 * time.Hour, []int{400, 440}},
		{"more than there was", Line, day(60), []int{50, 50}, 12 * time.Hour, []int{0}},
		{"in the evening", Each, day(480, 120), nil, 5*time.Hour + 10*time.Minute, []int{300, 120}},
		{"begun carcasses", Carcasses, day(12), []int{1, 1}, time.Minute, []int{10}},
		{"closed", Each, day(), []int{40}, time.Hour, nil},
	} {
		given := slices.Clone(tt.day.Cutters)
		if left := (Crew{Works: tt.works}).Left(tt.day, tt.begun, tt.until); !slices.Equal(left.Cutters, tt.want) || !slices.Equal(tt.day.Cutters, given) {
			t.Errorf("%s: %v of %v, want %v", tt.name, left.Cutters, tt.day.Cutters, tt.want)
		}
	}
}

func TestWaitingJob(t *testing.T) {
	today := day(20)
	for _, tt := range []struct {
		name string
		w    Waiting
		want Job
	}{
		{"ageing", Waiting{ReadyFrom: day(24), CutBy: day(30), Promise: day(29), AfterCut: 1}, Job{Earliest: today, ReadyFrom: day(24), CutBy: day(30), Promise: day(28), Run: Game}},
		{"cut first", Waiting{AtOnce: true, ReadyFrom: day(24), CutBy: day(30)}, Job{Earliest: today, CutBy: today, Run: Game}},
		{"not cold", Waiting{Chilling: true, CutBy: day(30), Livestock: true}, Job{Earliest: day(21), CutBy: day(30), Run: Livestock}},
		{"promised its hanging", Waiting{LongHang: true, ReadyFrom: day(24), CutBy: day(30)}, Job{Earliest: day(24), ReadyFrom: day(24), CutBy: day(30), Run: Game}},
		{"paid rush", Waiting{Rush: true, ReadyFrom: day(22), CutBy: day(30), Promise: day(29), AfterCut: 1}, Job{Earliest: today, ReadyFrom: day(22), CutBy: day(30), Promise: day(22), Run: Game}},
	} {
		if got := tt.w.Job(today); got != tt.want {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
	}
}

// Livestock and game keep to their days, and a job that no day takes says so.
func TestRunsKeepToTheirDays(t *testing.T) {
	days := []Day{{Date: day(20), Cutters: []int{480}, Takes: Livestock}, {Date: day(21), Cutters: []int{480}, Takes: Game}}
	jobs := []Job{
		{ID: "deer", Earliest: day(20), CutBy: day(20), DroppedOff: day(1), Minutes: 40, Run: Game},
		{ID: "beef", Earliest: day(21), CutBy: day(21), DroppedOff: day(1), Minutes: 120, Run: Livestock},
	}
	p, err := Make(days, jobs)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, days, jobs, p)
	if len(p.Left) != 1 || p.Left[0].ID != "beef" || p.Left[0].Why.String() != "None of the days from 2026-11-21 on takes its kind." {
		t.Errorf("%+v", p)
	}
}

// A crew that would stand idle is told, and cuts as they come once the day says so.
func TestIdleAndFull(t *testing.T) {
	days := []Day{{Date: day(20), Cutters: []int{480}}, {Date: day(21), Cutters: []int{480}}}
	jobs := []Job{{ID: "a", Earliest: day(20), ReadyFrom: day(21), CutBy: day(30), DroppedOff: day(1), Minutes: 40}}
	p, _ := Make(days, jobs)
	if idle, n := p.Idle(days, jobs); !idle.Equal(day(20)) || n != 1 {
		t.Errorf("idle on %s, %d wait; want the 20th and one", idle, n)
	}
	if full := Full(jobs, day(20)); !full.Equal(day(20)) {
		t.Errorf("full on %s: the rooms fill on the 20th, one is ready on the 21st", full)
	}
	if full := Full(jobs, day(21)); !full.IsZero() {
		t.Errorf("full on %s, though all is ready by then", full)
	}
	if full := Full(jobs, time.Time{}); !full.IsZero() {
		t.Errorf("full on %s, though the rooms do not fill", full)
	}
	days[0].AsTheyCome = true
	if p, _ = Make(days, jobs); !p.Placed[0].Date.Equal(day(20)) || p.BeforeReady != 0 {
		t.Errorf("as they come: %+v", p)
	}
}

// Behind, by hand: one carcass a day from Friday on, Sunday closed. Three have to be cut
// by Saturday: in two days that takes two a day.
// One that is not cold before its last day is late whatever the crew does.
func TestBehind(t *testing.T) {
	days := []Day{{Date: day(20), Cutters: []int{1}}, {Date: day(21), Cutters: []int{1}}, {Date: day(22)}, {Date: day(23), Cutters: []int{1}}, {Date: day(24), Cutters: []int{1}}}
	job := func(id string, earliest, cutBy int) Job {
		return Job{ID: id, Earliest: day(earliest), CutBy: day(cutBy), DroppedOff: day(1), Minutes: 1}
	}
	for _, tt := range []struct {
		name string
		jobs []Job
		want Behind
		is   bool
	}{
		{"nothing hangs", nil, Behind{}, false},
		{"one a day is enough", []Job{job("a", 20, 20), job("b", 20, 21), job("c", 20, 23)}, Behind{Until: day(20), Cut: 1, Need: 1}, false},
		{"three by Saturday", []Job{job("a", 20, 21), job("b", 20, 21), job("c", 20, 21)}, Behind{Late: 1, Until: day(21), Cut: 1, Need: 2}, true},
		{"not cold in time", []Job{job("a", 21, 20), job("b", 20, 20)}, Behind{Late: 1, Until: day(20), Cut: 1, Need: 1}, false},
		{"more than the listed days take", []Job{job("a", 20, 20), job("b", 20, 20), job("c", 20, 20), job("d", 20, 20), job("e", 20, 20)}, Behind{Late: 4, Until: day(20), Cut: 1, Need: 5}, true},
	} {
		p, err := Make(days, tt.jobs)
		if err != nil {
			t.Fatal(err)
		}
		if got, is := p.Behind(days, tt.jobs); got != tt.want || is != tt.is {
			t.Errorf("%s: %+v %t, want %+v %t", tt.name, got, is, tt.want, tt.is)
		}
	}
}
