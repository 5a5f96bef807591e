package cutting

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

var now = time.Date(2026, 11, 20, 7, 0, 0, 0, time.UTC)

// ready is an animal nothing stands against, dropped off n days ago.
func ready(running, daysAgo int) Candidate {
	return Candidate{
		Number: domain.NewShopNumber(26, running), Received: now.AddDate(0, 0, -daysAgo), Identified: true, TagComplete: true,
		OrderComplete: true, DeepTemp: 2, Condition: Ready, CutBy: now.AddDate(0, 0, 5),
	}
}

func TestGates(t *testing.T) {
	for _, tt := range []struct {
		name string
		edit func(*Candidate)
		says string
		src  string
	}{
		{"identity", func(c *Candidate) { c.Identified = false }, "Not certain", "trade.md 6.1"},
		{"tag", func(c *Candidate) { c.TagComplete = false }, "Tag or register", "trade.md 6.1"},
		{"hold", func(c *Candidate) { c.Holds = []domain.Words{domain.Say("test result not in")} }, "Held: test result not in.", "trade.md 6.1"},
		{"order", func(c *Candidate) { c.OrderComplete = false }, "order is not complete", "trade.md 6.1"},
		{"share-mate", func(c *Candidate) { c.MatesWaiting = true }, "other owner", "trade.md 6.1"},
		{"warm inside", func(c *Candidate) { c.DeepTemp = domain.Fahrenheit(41) }, "41 °F deep, 40 °F is needed", "trade.md 6.1: ≤ 40 °F"},
		{"not a number is not cold", func(c *Candidate) { c.DeepTemp = domain.Celsius(math.NaN()) }, "Not cold", "habit 4: refuse rather than guess"},
		{"stop", func(c *Candidate) { c.Condition = Stop }, "lead has to decide", "readiness.md 11: stays on the lead's list"},
		{"look", func(c *Candidate) { c.Condition = Look }, "Look at it first", "readiness.md 11: not planned"},
	} {
		c := ready(1, 3)
		tt.edit(&c)
		queue, barred := Next([]Candidate{c}, now, time.UTC)
		if tt.src == "" || len(queue) != 0 || len(barred) != 1 || len(barred[0].Why) != 1 || !strings.Contains(barred[0].Why[0].String(), tt.says) {
			t.Errorf("%s: queue %v, barred %v, want %q (%s)", tt.name, queue, barred, tt.says, tt.src)
		}
	}
	c := ready(1, 3)
	c.DeepTemp = domain.Fahrenheit(40)
	if queue, _ := Next([]Candidate{c}, now, time.UTC); len(queue) != 1 {
		t.Error("40 °F is cold enough")
	}
}

// Where condition and last day stand beside it, a list says of the reasons only what they
// do not: the promise, the rush, a gate.
func TestSaysMore(t *testing.T) {
	for _, tt := range []struct {
		edit func(*Candidate)
		want []string
	}{
		{func(*Candidate) {}, nil},
		{func(c *Candidate) { c.Condition = CutFirst }, nil},
		{func(c *Candidate) { c.Condition = Past }, nil},
		{func(c *Candidate) { c.Condition = Hanging }, nil},
		{func(c *Candidate) { c.Condition = Stop }, nil},
		{func(c *Candidate) { c.CutBy = now }, nil},
		{func(c *Candidate) { c.RushPaid = true }, []string{"Paid to go first."}},
		{func(c *Candidate) { c.Condition, c.OrderComplete = Stop, false }, []string{"The order is not complete. Call the owner."}},
	} {
		c := ready(1, 3)
		tt.edit(&c)
		queue, barred := Next([]Candidate{c}, now, time.UTC)
		var more []string
		for _, why := range append(queue, barred...)[0].Why {
			if SaysMore(why) {
				more = append(more, why.String())
			}
		}
		if !slices.Equal(more, tt.want) {
			t.Errorf("%+v: %q, want %q", c, more, tt.want)
		}
	}
}

func TestRank(t *testing.T) {
	with := func(running, daysAgo int, edit func(*Candidate)) Candidate {
		c := ready(running, daysAgo)
		edit(&c)
		return c
	}
	none := func(*Candidate) {}
	in := func(days int) time.Time { return time.Date(2026, 11, 20+days, 0, 0, 0, 0, time.UTC) }
	for _, tt := range []struct {
		name          string
		first, second Candidate
		src           string
	}{
		{"cut-first before past", with(2, 1, func(c *Candidate) { c.Condition = CutFirst }), with(1, 20, func(c *Candidate) { c.Condition = Past }), "trade.md 6.1, (1) and (2)"},
		{"past before a promise today", with(2, 1, func(c *Candidate) { c.Condition = Past }), with(1, 9, func(c *Candidate) { c.Promise = in(0) }), "trade.md 6.1, (2) and (3)"},
		{"cut-by today before a promise today", with(2, 1, func(c *Candidate) { c.CutBy = now }), with(1, 9, func(c *Candidate) { c.Promise = in(0) }), "readiness.md 11, (1) and (2)"},
		{"promise with no day to spare before rush", with(2, 1, func(c *Candidate) { c.Promise, c.AfterCut = in(2), 2 }), with(1, 9, func(c *Candidate) { c.RushPaid = true }), "trade.md 6.1, (3) and (4)"},
		{"rush before a promise with days to spare", with(2, 1, func(c *Candidate) { c.RushPaid = true }), with(1, 9, func(c *Candidate) { c.Promise, c.AfterCut = in(9), 2 }), "see Next: or the rush buys nothing"},
		{"the tighter promise", with(2, 1, func(c *Candidate) { c.Promise, c.AfterCut = in(6), 3 }), with(1, 9, func(c *Candidate) { c.Promise, c.AfterCut = in(5), 1 }), "trade.md 6.1, (3): slack counts, not the day"},
		{"ready before still ageing", with(2, 1, none), with(1, 9, func(c *Candidate) { c.Condition = Hanging }), "readiness.md 11, (3)"},
		{"the earlier cut-by", with(2, 1, func(c *Candidate) { c.CutBy = in(2) }), with(1, 9, none), "readiness.md 11, (1)"},
		{"what was begun", with(2, 8, func(c *Candidate) { c.Begun = true }), with(1, 9, none), "common practice, no source"},
		{"the earlier cut-by before what was begun", with(2, 8, func(c *Candidate) { c.CutBy = in(2) }), with(1, 9, func(c *Candidate) { c.Begun = true }), "readiness.md 11, (1)"},
		{"the earlier drop-off", with(2, 9, none), with(1, 8, none), "trade.md 6.1, (7)"},
		{"front of the rail", with(2, 9, none), with(1, 9, func(c *Candidate) { c.Reach = 3 }), "trade.md 6.1, (8)"},
		{"livestock first", with(2, 9, func(c *Candidate) { c.Livestock = true }), with(1, 9, none), "trade.md 6.1, (9)"},
		{"else the number", with(1, 9, none), with(2, 9, none), "the same queue on every machine"},
	} {
		for _, candidates := range [][]Candidate{{tt.first, tt.second}, {tt.second, tt.first}} {
			queue, _ := Next(candidates, now, time.UTC)
			if tt.src == "" || len(queue) != 2 || queue[0].Number != tt.first.Number {
				t.Errorf("%s: %v (%s)", tt.name, queue, tt.src)
			}
			for _, c := range queue {
				if len(c.Why) == 0 {
					t.Errorf("%s: %s has no reason", tt.name, c.Number)
				}
			}
		}
	}
}

// Days are the shop's: at 22:00 in New York it is already tomorrow in UTC.
func TestDaysAreTheShops(t *testing.T) {
	ny, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	c := ready(1, 3)
	c.Promise = time.Date(2026, 11, 21, 0, 0, 0, 0, time.UTC) // a plain date, as Postgres gives it
	queue, _ := Next([]Candidate{c}, time.Date(2026, 11, 21, 3, 0, 0, 0, time.UTC), ny)
	if got := queue[0].Why[len(queue[0].Why)-1].String(); got != "Days to spare to the promise: 1." {
		t.Errorf("got %q", got)
	}
}

func TestNextIsDeterministic(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	conditions := []Condition{Stop, Look, CutFirst, Chilling, Past, Ready, Nearly, Hanging}
	candidates := make([]Candidate, 60)
	for i := range candidates {
		c := ready(i+1, r.IntN(4))
		c.Condition, c.RushPaid, c.Livestock = conditions[r.IntN(len(conditions))], r.IntN(5) == 0, r.IntN(4) == 0
		if r.IntN(2) == 0 {
			c.Promise = now.AddDate(0, 0, r.IntN(6))
		}
		candidates[i] = c
	}
	queue, barred := Next(candidates, now, time.UTC)
	if len(queue)+len(barred) != len(candidates) {
		t.Fatalf("%d in, %d + %d out", len(candidates), len(queue), len(barred))
	}
	want := fmt.Sprint(queue, barred)
	for range 20 {
		r.Shuffle(len(candidates), func(i, j int) { candidates[i], candidates[j] = candidates[j], candidates[i] })
		if q, b := Next(candidates, now, time.UTC); fmt.Sprint(q, b) != want {
			t.Fatal("another order in gives another queue out")
		}
	}
}

// A list cut short hides the least pressing: what is stopped comes first, then what is
// held, then what has the least time left, by the hour, then the number. Common practice,
// no source.
func TestBarredMostPressingFirst(t *testing.T) {
	barred := func(running, days int, edit func(*Candidate)) Candidate {
		c := ready(running, 3)
		c.OrderComplete, c.CutBy = false, now.AddDate(0, 0, days)
		edit(&c)
		return c
	}
	none, held := func(*Candidate) {}, func(c *Candidate) { c.Holds = []domain.Words{domain.Say("test result not in")} }
	in := []Candidate{
		barred(1, 9, none), barred(2, 2, none), barred(3, 9, held), barred(4, 2, held), barred(5, -1, none),
		barred(6, 9, func(c *Candidate) { c.Condition = Stop }), barred(7, 0, func(c *Candidate) { c.CutBy = time.Time{} }),
		barred(8, 2, func(c *Candidate) { c.CutBy = c.CutBy.Add(-time.Hour) }), barred(9, 2, none),
	}
	_, out := Next(in, now, time.UTC)
	var got []string
	for _, c := range out {
		got = append(got, c.Number.Short())
	}
	if want := "0006 0004 0003 0007 0005 0008 0002 0009 0001"; strings.Join(got, " ") != want {
		t.Errorf("%v, want %s", got, want)
	}
}

func TestCheckPick(t *testing.T) {
	queue, _ := Next([]Candidate{ready(1, 5), ready(2, 4)}, now, time.UTC)
	for _, tt := range []struct {
		picked domain.ShopNumber
		why    string
		at     string
	}{
		{queue[0].Number, "", ""}, {queue[1].Number, "owner waits", ""}, {queue[1].Number, "", "why"}, {domain.NewShopNumber(26, 9), "x", "gate"},
	} {
		if err := CheckPick(queue, tt.picked, tt.why); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s %q: %v", tt.picked, tt.why, err)
		}
	}
}

func ExampleNext() {
	tight := ready(12, 3)
	tight.Promise, tight.AfterCut = now.AddDate(0, 0, 2), 2
	held := ready(7, 20)
	held.Holds = []domain.Words{domain.Say("test result not in")}
	queue, barred := Next([]Candidate{ready(5, 9), held, tight}, now, time.UTC)
	for _, c := range queue {
		fmt.Println(c.Number.Short(), c.Why[0])
	}
	fmt.Println(barred[0].Number.Short(), barred[0].Why[0])
	// Output:
	// 0012 Has to be cut today to keep the promise.
	// 0005 Ready to cut.
	// 0007 Held: test result not in.
}
