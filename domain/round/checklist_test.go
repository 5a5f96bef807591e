package round

import (
	"math"
	"slices"
	"strings"
	"testing"

	"coldrail/domain"
)

func f(t float64) *domain.Celsius { c := domain.Fahrenheit(t); return &c }
func n(i int) *int                { return &i }

func good() Answers {
	return Answers{Panel: f(35), Independent: f(36), MeatOld: f(36), MeatNew: f(60), NewHours: 5, Smell: SmellClean,
		FansRunning: n(2), Fans: n(2), Counted: n(41), Listed: n(41)}
}

// design.md: the short one is air, meat, fans, smell, count, twice a day.
func TestLists(t *testing.T) {
	var short []string
	for _, i := range Short() {
		short = append(short, i.Key)
	}
	if want := []string{"smell", "panel", "independent", "meat-old", "meat-new", "fans", "count"}; !slices.Equal(short, want) {
		t.Errorf("short list %v", short)
	}
	if len(Full()) != 13 {
		t.Errorf("%d items on the full list", len(Full()))
	}
	for _, i := range Full() {
		if i.Label.String() == "" || i.Limit.String() == "" || i.Do.String() == "" || find(i.Key).Key != i.Key {
			t.Errorf("%s has no label, limit or cure", i.Key)
		}
	}
}

func TestAnswersCheck(t *testing.T) {
	for _, tt := range []struct {
		name string
		at   string
		edit func(*Answers)
	}{
		{"all fine", "", func(*Answers) {}},
		{"an empty cooler", "", func(a *Answers) { a.MeatOld, a.MeatNew, a.Counted, a.Listed = nil, nil, n(0), n(0) }},
		{"meat not measured", ItemMeatOld, func(a *Answers) { a.MeatOld = nil }},
		{"panel not read", ItemPanel, func(a *Answers) { a.Panel = nil }},
		{"power-up junk", ItemPanel, func(a *Answers) { a.Panel = f(185) }},
		{"not a number", ItemPanel, func(a *Answers) { c := domain.Celsius(math.NaN()); a.Panel = &c }},
		{"no smell", ItemSmell, func(a *Answers) { a.Smell = "" }},
		{"three of two fans", ItemFans, func(a *Answers) { a.FansRunning = n(3) }},
		{"not counted", ItemCount, func(a *Answers) { a.Counted = nil }},
		{"damper than wet", ItemHumidity, func(a *Answers) { h := 101.0; a.Humidity = &h }},
		{"a line of another list", "checklist", func(a *Answers) { a.Right = map[string]bool{"radio": true} }},
	} {
		a := good()
		tt.edit(&a)
		if err := a.Check(); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

func TestFindings(t *testing.T) {
	wet := 90.0
	for _, tt := range []struct {
		name string
		edit func(*Answers)
		want []string // item verdict, worst first
		src  string
	}{
		{"all fine", func(*Answers) {}, nil, "readiness.md 7"},
		{"a warm room", func(a *Answers) { a.Panel, a.Independent = f(39), f(41) }, []string{"independent act", "panel watch"}, "readiness.md 7"},
		{"thermometers quarrel", func(a *Answers) { a.Panel, a.Independent = f(33), f(35.5) }, []string{"independent watch"}, "trade.md 4.1: ± 2 °F"},
		{"thermometers agree to 2 °F", func(a *Answers) { a.Panel, a.Independent = f(33), f(35) }, nil, "trade.md 4.1: ± 2 °F"},
		{"old meat at 40", func(a *Answers) { a.MeatOld = f(40) }, nil, "trade.md 6.1: ≤ 40 °F"},
		{"old meat at 41", func(a *Answers) { a.MeatOld = f(41) }, []string{"meat-old act"}, "trade.md 6.1: ≤ 40 °F"},
		{"new meat warm after a day", func(a *Answers) { a.NewHours = 25 }, []string{"meat-new act"}, "trade.md Annex C: ≤ 40 °F in 24 h"},
		{"a fan stands", func(a *Answers) { a.FansRunning = n(1) }, []string{"fans act"}, "trade.md 5.3"},
		{"one too many", func(a *Answers) { a.Counted = n(42) }, []string{"count act"}, "issue: a wrong count opens that rail"},
		{"sour", func(a *Answers) { a.Smell = SmellSour }, []string{"smell act"}, "trade.md 5.6"},
		{"cellar", func(a *Answers) { a.Smell = SmellMusty }, []string{"smell watch"}, "trade.md 5.6"},
		{"wet and dripping", func(a *Answers) { a.Humidity, a.Right = &wet, map[string]bool{ItemDrip: false, ItemDoor: true} }, []string{"drip act", "humidity watch"}, "trade.md 5.3, 5.5"},
	} {
		a := good()
		tt.edit(&a)
		var got []string
		for _, f := range a.Findings() {
			got = append(got, f.Item+" "+string(f.Verdict))
			if f.Do.String() == "" {
				t.Errorf("%s: %s says nothing to do", tt.name, f.Item)
			}
		}
		if tt.src == "" || !slices.Equal(got, tt.want) {
			t.Errorf("%s: got %v, want %v (%s)", tt.name, got, tt.want, tt.src)
		}
	}
}

// Every edge of the bands of readiness.md section 7, from both sides.
func TestJudgeAir(t *testing.T) {
	for _, tt := range []struct {
		f    float64
		want Verdict
	}{{28.9, Act}, {29, Watch}, {31.9, Watch}, {32, Fine}, {38, Fine}, {38.1, Watch}, {40, Watch}, {40.1, Act}, {45, Act}, {45.1, Act}} {
		v, do := JudgeAir(domain.Fahrenheit(tt.f))
		if v != tt.want || (v == Fine) != (do.Format == "") || strings.Contains(do.String(), "incident:") != (tt.f > 45) {
			t.Errorf("%v °F: %s %q, want %s", tt.f, v, do, tt.want)
		}
	}
}

// What is said of warm air changes above each of its edges and nowhere else.
func TestAirEdges(t *testing.T) {
	for freezer, judge := range map[bool]func(domain.Celsius) (Verdict, domain.Words){false: JudgeAir, true: JudgeFreezerAir} {
		var found []domain.Celsius
		from := domain.Fahrenheit(-5)
		if !freezer {
			from = domain.Fahrenheit(35)
		}
		for f := from.F(); f < 60; f++ {
			_, at := judge(domain.Fahrenheit(f))
			if _, over := judge(domain.Fahrenheit(f + 1)); over.String() != at.String() {
				found = append(found, domain.Fahrenheit(f))
			}
		}
		edges := AirEdges(freezer)
		if len(found) != len(edges) {
			t.Fatalf("freezer %v: it changes above %v, the edges are %v", freezer, found, edges)
		}
		for i := range found {
			if math.Abs(float64(found[i]-edges[i])) > 0.01 {
				t.Errorf("freezer %v: it changes above %v, not above %v", freezer, found[i], edges[i])
			}
		}
	}
}
