package round

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

func TestIceCheck(t *testing.T) {
	for _, tt := range []struct {
		f      float64
		passes bool
		src    string
	}{
		{32, true, "ice point, by definition of the scale"},
		{30, true, "trade.md 4.1: 32 °F ± 2 °F"},
		{34, true, "trade.md 4.1: 32 °F ± 2 °F; Annex E 13 passes at 34"},
		{34.1, false, "beyond ± 2 °F"},
		{29.5, false, "beyond ± 2 °F"},
	} {
		c := IceCheck{At: evening, Reading: domain.Fahrenheit(tt.f)}
		if tt.src == "" || c.Passes() != tt.passes || c.Check(evening) != nil {
			t.Errorf("%v °F: passes %v (%s)", tt.f, c.Passes(), tt.src)
		}
	}
	// Annex E 13: hand device 41, ice 34: best estimate 39 °F, watch; panel 35 apart.
	c := IceCheck{At: evening, Reading: domain.Fahrenheit(34)}
	best := c.True(domain.Fahrenheit(41))
	if v, _ := JudgeAir(best); math.Abs(best.F()-39) > 1e-9 || v != Watch || !Apart(domain.Fahrenheit(35), best) {
		t.Errorf("best estimate %v °F", best.F())
	}
	for _, bad := range []domain.Celsius{40, -30, domain.Celsius(math.NaN())} {
		if domain.As(IceCheck{At: evening, Reading: bad}.Check(evening)).At != "reading" {
			t.Errorf("%v is not ice water", bad)
		}
	}
	if (IceCheck{At: evening.Add(time.Hour)}).Check(evening) == nil {
		t.Error("a check in the future was taken")
	}
}

func TestStands(t *testing.T) {
	at := func(f float64, ago time.Duration) *IceCheck {
		return &IceCheck{At: evening.Add(-ago), Reading: domain.Fahrenheit(f)}
	}
	for _, tt := range []struct {
		last *IceCheck
		want ThermometerState
		src  string
	}{
		{nil, IceDue, "trade.md 4.1: before first use"},
		{at(32, 6*24*time.Hour), InService, "trade.md 4.1: weekly minimum [C]"},
		{at(33, 8*24*time.Hour), IceDue, "trade.md 4.1: weekly minimum [C]"},
		{at(36, time.Hour), OutOfService, "trade.md 4.1: fail, tag out"},
		{at(36, 30*24*time.Hour), OutOfService, "a failure does not wear off"},
	} {
		if got := Stands(tt.last, evening); got != tt.want || tt.src == "" || got.Words().String() == "" {
			t.Errorf("%+v: %s, want %s (%s)", tt.last, got, tt.want, tt.src)
		}
	}
}

// One of the three is always the list's number, and not always the same one.
func TestGuesses(t *testing.T) {
	places := map[int]bool{}
	for listed := range 40 {
		for turn := -3; turn < 9; turn++ {
			g, found := Guesses(listed, turn), false
			for i, n := range g {
				if n == listed {
					found = true
					places[i] = true
				}
			}
			if !found || g[0] < 0 || g[1] != g[0]+1 || g[2] != g[1]+1 {
				t.Fatalf("%d listed, turn %d: %v", listed, turn, g)
			}
		}
	}
	if len(places) != 3 {
		t.Errorf("the right number stands only at %v", places)
	}
}

func TestWalkCheckStep(t *testing.T) {
	w := Walk{From: evening, To: evening.Add(10 * time.Minute), Arrived: evening.Add(6 * time.Hour)}
	for _, tt := range []struct {
		name string
		at   time.Time
		ok   bool
	}{
		{"its first step", evening, true},
		{"the next rail", evening.Add(12 * time.Minute), true},
		{"one that comes out of order", evening.Add(-5 * time.Minute), true},
		{"after three hours", evening.Add(3*time.Hour + time.Minute), false},
		{"long before", evening.Add(-3 * time.Hour), false},
		{"in the future", evening.Add(7 * time.Hour), false},
	} {
		if err := w.CheckStep(tt.at); (err == nil) != tt.ok {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	old := Walk{From: evening, To: evening, Arrived: evening.Add(8 * 24 * time.Hour)}
	if old.CheckPaper() == nil || (Walk{From: evening, To: evening, Arrived: evening.Add(2 * 24 * time.Hour)}).CheckPaper() != nil {
		t.Error("a sheet is typed in within a week or not at all")
	}
}

// trade.md 4.1: never closed by its author alone if there is more than one person.
func TestCloses(t *testing.T) {
	for _, tt := range []struct {
		by, finder, doer string
		people           int
		want             bool
	}{
		{"a", "a", "a", 1, true}, {"a", "a", "a", 2, false}, {"b", "a", "a", 2, true}, {"b", "a", "b", 2, true}, {"a", "a", "b", 2, true},
	} {
		if got := Closes(tt.by, tt.finder, tt.doer, tt.people); got != tt.want {
			t.Errorf("%+v: %v", tt, got)
		}
	}
}

// Every item has words for what was found and for what to do.
func TestActionWords(t *testing.T) {
	value, expected := 4.0, 3
	for _, item := range append([]string{ItemMissing, ItemExtra}, keys()...) {
		a := Action{Item: item, Rail: "R1", Number: "26-0001-1", Value: &value, Expected: &expected}
		if a.Found().String() == "" || a.Do().String() == "" || a.Found().String() == item {
			t.Errorf("%s: %q, %q", item, a.Found(), a.Do())
		}
	}
	if s := (Action{Item: ItemCount, Rail: "R1", Value: &value, Expected: &expected}).Found().String(); s != "R1: 4 counted, 3 on the list" {
		t.Error(s)
	}
	warm := 12.0
	if s := (Action{Item: ItemPanel, Freezer: true, Value: &warm}).Do().String(); s == (Action{Item: ItemPanel, Value: &warm}).Do().String() {
		t.Error("a freezer is judged like a cooler")
	}
	if CheckDone("reset") == nil || CheckDone("breaker reset") != nil {
		t.Error("a word alone says nothing")
	}
}

func keys() []string {
	var list []string
	for _, i := range Full() {
		list = append(list, i.Key)
	}
	return list
}

// trade.md 4.1: a freezer's log has temperature, frost and door; the long list
// wants every line answered.
func TestFullLists(t *testing.T) {
	found := map[string]bool{}
	for _, i := range FrozenFull() {
		found[i.Key] = true
	}
	if !found[ItemFrost] || !found[ItemDoor] || found[ItemMeatOld] || found[ItemHumidity] {
		t.Errorf("a freezer's long list: %v", found)
	}
	a := good()
	a.Right = map[string]bool{ItemFrost: true, ItemDrip: true, ItemFloor: true, ItemDoor: false}
	if domain.As(a.CheckFull()).At != ItemLight {
		t.Error("the light was not looked at")
	}
	a.Right[ItemLight] = true
	if err := a.CheckFull(); err != nil {
		t.Error(err)
	}
	a.Counted = nil
	if err := a.CheckRoom(); err != nil {
		t.Errorf("by steps the count comes later: %v", err)
	}
}
