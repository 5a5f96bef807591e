package batch

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cure"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
)

func tag(n int) domain.ShopNumber { return domain.NewShopNumber(26, n) }

// The pool of trade.md 6.7 and Annex E 24: Tolliver 12, Finch 18, Beck 20 lb, and
// 12.5 lb of pork that is nobody's.
func TestSplitThePool(t *testing.T) {
	pool := []Input{{tag(1), domain.Pounds(12)}, {tag(2), domain.Pounds(18)}, {tag(3), domain.Pounds(20)}}
	for _, tt := range []struct {
		out   float64
		packs int
		want  []int
		exact []float64
		src   string
	}{
		{50, 50, []int{12, 18, 20}, []float64{12, 18, 20}, "trade.md 6.7"},
		{49.6, 49, []int{12, 18, 19}, []float64{11.904, 17.856, 19.84}, "trade.md Annex E 24: one pack split, 0.6 lb logged"},
	} {
		shares, err := Split(pool, tt.packs, domain.Pounds(tt.out))
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range shares {
			if s.Packs != tt.want[i] || math.Abs(s.Exact.Lb()-tt.exact[i]) > 0.001 || s.Number != pool[i].Number {
				t.Errorf("%+v, want %d packs of %v lb (%s)", s, tt.want[i], tt.exact[i], tt.src)
			}
		}
	}
}

// Ties: of two equal fractions the larger input, of two equal inputs the lower number.
func TestSplitTies(t *testing.T) {
	same := []Input{{tag(7), 10}, {tag(3), 10}, {tag(5), 10}}
	shares, err := Split(same, 4, 4)
	if err != nil || shares[1].Packs != 2 || shares[0].Packs != 1 || shares[2].Packs != 1 {
		t.Errorf("%+v, %v: the lowest number gets the odd pack", shares, err)
	}
	half := []Input{{tag(1), 5}, {tag(2), 15}} // 0.5 and 1.5 of two packs
	if shares, err = Split(half, 2, 2); err != nil || shares[0].Packs != 0 || shares[1].Packs != 2 {
		t.Errorf("%+v, %v: the larger input gets the odd pack", shares, err)
	}
}

// Whatever the inputs: the packs are all given out, the weights too, nobody gets
// for nothing, nobody is a whole pack off, and the order does not matter.
func TestSplitAlways(t *testing.T) {
	rnd := rand.New(rand.NewPCG(26, 11))
	for range 2000 {
		var inputs []Input
		for i := range 1 + rnd.IntN(12) {
			kg := domain.Kilogram(rnd.IntN(4)) * 5 // often nothing, often the same
			if rnd.IntN(2) == 0 {
				kg = domain.Kilogram(rnd.Float64() * 60)
			}
			inputs = append(inputs, Input{tag(i + 1), kg})
		}
		inputs[0].Kg = max(inputs[0].Kg, 1)
		packs, finished := rnd.IntN(300), domain.Kilogram(rnd.Float64()*200)
		shares, err := Split(inputs, packs, finished)
		if err != nil {
			t.Fatal(err)
		}
		sum, weight, all := 0, domain.Kilogram(0), domain.Kilogram(0)
		for _, in := range inputs {
			all += in.Kg
		}
		for i, s := range shares {
			sum += s.Packs
			weight += s.Exact
			if inputs[i].Kg < 0.0005 && s.Packs > 0 {
				t.Fatalf("%+v got packs for nothing", s)
			}
			if off := float64(s.Packs) - float64(packs)*float64(inputs[i].Kg/all); math.Abs(off) > 1.01 {
				t.Fatalf("%+v is %v packs off", s, off)
			}
		}
		if sum != packs || math.Abs(float64(weight-finished)) > 1e-9 {
			t.Fatalf("%d packs and %v kg given out of %d and %v", sum, weight, packs, finished)
		}
		mixed := slices.Clone(inputs)
		rnd.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		again, err := Split(mixed, packs, finished)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range shares {
			if !slices.ContainsFunc(again, func(o Share) bool { return o.Number == s.Number && o.Packs == s.Packs }) {
				t.Fatalf("in another order %s no longer gets %d packs", s.Number, s.Packs)
			}
		}
	}
}

func TestSplitRefuses(t *testing.T) {
	for _, tt := range []struct {
		at     string
		inputs []Input
		packs  int
	}{
		{"inputs", nil, 3}, {"inputs", []Input{{tag(1), 0}}, 3}, {"packs", []Input{{tag(1), 3}}, -1},
		{"weight", []Input{{tag(1), -1}}, 3}, {"weight", []Input{{tag(1), domain.Kilogram(math.NaN())}}, 3},
	} {
		if _, err := Split(tt.inputs, tt.packs, 1); domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt, err)
		}
	}
}

// good is an animal whose meat may go into any batch of sausage.
func good() Candidate {
	return Candidate{Number: tag(1), Species: domain.Whitetail, Owner: "w", Cut: true, Disease: animal.NotDetected, Ordered: true, PorkOK: true, BeefOK: true}
}

func TestMayJoin(t *testing.T) {
	pool := Batch{Product: Sticks, Kind: Pooled, Pork: true, Game: true}
	own := Batch{Product: Sticks, Kind: Own, Owner: "w", Game: true}
	held := func(k hold.Kind) func(*Candidate) {
		return func(c *Candidate) { c.Holds = []hold.Hold{{Kind: k, OpenedAt: time.Unix(1, 0), OpenedBy: "AK"}} }
	}
	for _, tt := range []struct {
		name   string
		b      Batch
		change func(*Candidate)
		at     string // "" is allowed
	}{
		{"pool, all yes", pool, func(*Candidate) {}, ""},
		{"own, all yes", own, func(*Candidate) {}, ""},
		{"no test needed", pool, func(c *Candidate) { c.Disease = animal.NotNeeded }, ""},
		{"sample pending, pool", pool, held(hold.TestPending), "test"},
		{"sample pending, own batch waits too", own, held(hold.TestPending), "test"},
		{"pending and somebody closed the hold", own, func(c *Candidate) { c.Disease = animal.Pending }, "test"},
		{"detected", own, func(c *Candidate) { c.Disease = animal.Detected }, "test"},
		{"test wanted, pool", pool, func(c *Candidate) { c.Disease = animal.Wanted }, "test"},
		{"test wanted, own", own, func(c *Candidate) { c.Disease = animal.Wanted }, ""},
		{"a bill unpaid stops no sausage", pool, held(hold.Payment), ""},
		{"quality in question", own, held(hold.Quality), "hold"},
		{"still hanging", own, func(c *Candidate) { c.Cut = false }, "table"},
		{"bad at the door, pool", pool, func(c *Candidate) { c.Damaged = true }, "door"},
		{"bad at the door, own", own, func(c *Candidate) { c.Damaged = true }, ""},
		{"own meat only, pool", pool, func(c *Candidate) { c.OwnOnly = true }, "consent"},
		{"own meat only, own", own, func(c *Candidate) { c.OwnOnly = true }, ""},
		{"somebody else's in an own batch", own, func(c *Candidate) { c.Owner = "x" }, "owner"},
		{"no pork", pool, func(c *Candidate) { c.PorkOK = false }, "pork"},
		{"no beef", Batch{Product: Sticks, Kind: Pooled, Beef: true, Game: true}, func(c *Candidate) { c.BeefOK = false }, "beef"},
		{"a hog in game", pool, func(c *Candidate) { c.Species = domain.Hog }, "apart"},
		{"not ordered", pool, func(c *Candidate) { c.Ordered = false }, "order"},
	} {
		c := good()
		tt.change(&c)
		err := MayJoin(tt.b, c)
		if (err == nil) != (tt.at == "") || err != nil && (domain.As(err).Kind != domain.Refused || domain.As(err).At != tt.at) {
			t.Errorf("%s: %v, want %q (trade.md 6.7, 2.4, Annex E 8 and 18)", tt.name, err, tt.at)
		}
	}
}

func TestCleanFirst(t *testing.T) {
	pork := Passage{Thing: Thing{Batch: 1}, Pork: true, Game: true}
	lena := Passage{Thing: Thing{Number: tag(5)}, Own: true, Game: true}
	plain := Passage{Thing: Thing{Batch: 2}, Game: true}
	for _, tt := range []struct {
		name  string
		since []Passage
		next  Passage
		want  string
	}{
		{"own meat after pork (Annex E 18)", []Passage{pork}, lena, "own meat"},
		{"a pool after own meat", []Passage{lena}, plain, "first pounds"},
		{"no pork after pork", []Passage{pork}, plain, "Pork"},
		{"pork after no pork", []Passage{plain}, pork, ""},
		{"the same again", []Passage{lena}, lena, ""},
		{"the same again, after others", []Passage{pork, plain}, plain, "Pork"},
		{"game after beef", []Passage{{Thing: Thing{Batch: 3}, Beef: true}}, Passage{Thing: Thing{Batch: 4}, Beef: true, Game: true}, "livestock"},
		{"beef, then none", []Passage{{Thing: Thing{Batch: 3}, Beef: true, Game: true}}, plain, "Beef"},
		{"clean", nil, lena, ""},
	} {
		if got := CleanFirst(tt.since, tt.next).String(); (got == "") != (tt.want == "") || !strings.Contains(got, tt.want) {
			t.Errorf("%s: %q (common practice, no source)", tt.name, got)
		}
	}
}

func TestTrace(t *testing.T) {
	day := time.Date(2026, 11, 19, 8, 0, 0, 0, time.UTC)
	at := func(h int) time.Time { return day.Add(time.Duration(h) * time.Hour) }
	b := func(n int) Thing { return Thing{Batch: n} }
	a := func(n int) Thing { return Thing{Number: tag(n)} }
	run := func(h int, machine string, th Thing) Run { return Run{Machine: machine, At: at(h), Thing: th} }
	clean := func(h int, machine string, l Level) Run { return Run{Machine: machine, At: at(h), Clean: l} }
	joined := []Joined{{tag(1), 10, at(0)}, {tag(2), 10, at(0)}, {tag(9), 13, at(8)}}
	for _, tt := range []struct {
		name string
		runs []Run
		want string
	}{
		{"its own batch", nil, "B10"},
		{"what followed on the grinder, not what came before",
			[]Run{run(1, "grinder", b(9)), run(2, "grinder", b(10)), run(3, "grinder", b(11)), run(4, "grinder", b(12))}, "B10 B11 B12"},
		{"a full clean-out ends it", []Run{run(2, "grinder", b(10)), clean(3, "grinder", Full), run(4, "grinder", b(11))}, "B10"},
		{"a prion soak too", []Run{run(2, "grinder", b(10)), clean(3, "grinder", Prion), run(4, "grinder", b(11))}, "B10"},
		{"a rinse does not", []Run{run(2, "grinder", b(10)), clean(3, "grinder", Rinse), run(4, "grinder", b(11))}, "B10 B11"},
		{"another machine is another machine", []Run{run(2, "grinder", b(10)), run(3, "stuffer", b(11))}, "B10"},
		{"carried on into the next machine", []Run{run(2, "grinder", b(10)), run(3, "grinder", b(11)), clean(4, "grinder", Full),
			run(5, "stuffer", b(11)), run(6, "stuffer", b(12)), run(7, "grinder", b(14))}, "B10 B11 B12"},
		{"the animal's own run, before its batch", []Run{run(-2, "saw", a(1)), run(-1, "saw", a(3))}, "A3 B10"},
		{"an animal reached carries it into its batch", []Run{run(2, "saw", a(1)), run(3, "saw", a(9))}, "B10 A9 B13"},
		{"typed in any order", []Run{run(4, "grinder", b(12)), clean(3, "grinder", Full), run(2, "grinder", b(10))}, "B10"},
	} {
		var got []string
		for _, touch := range Trace(tag(1), tt.runs, joined) {
			if touch.Thing.Batch != 0 {
				got = append(got, fmt.Sprintf("B%d", touch.Thing.Batch))
			} else {
				got = append(got, strings.TrimLeft("A"+strings.TrimLeft(touch.Thing.Number.Short(), "0"), " "))
			}
		}
		if s := strings.Join(got, " "); s != tt.want {
			t.Errorf("%s: %s, want %s (trade.md 2.5)", tt.name, s, tt.want)
		}
	}
}

func TestProducts(t *testing.T) {
	const trade = "trade.md Annex C and 6.7, common practice, no source"
	for _, tt := range []struct {
		p    Product
		want float64
	}{{Brats, 0.98}, {Breakfast, 0.98}, {Summer, 0.88}, {Sticks, 0.62}, {JerkyGround, 0.42}, {JerkySlices, 0.42}} {
		if usual, low, high, ok := tt.p.Expected(100); !ok || math.Abs(float64(usual)-100*tt.want) > 1e-9 || !(low <= usual && usual <= high) {
			t.Errorf("%s: %v of 100, %v to %v (%s)", tt.p, usual, low, high, trade)
		}
	}
	for _, p := range Products {
		if !p.Known() || p.Words().String() == "" || p.Fresh() != (len(p.Methods()) == 0) {
			t.Errorf("%s has no words, or a cure that is none", p)
		}
		for _, m := range p.Methods() {
			if m.Limit() == 0 || (p == Bacon) != strings.HasPrefix(string(m), "bacon") || (m == cure.Comminuted) == (p == HamCured || p == HamSmoked || p == JerkySlices || p == Bacon) {
				t.Errorf("%s by %s", p, m)
			}
		}
	}
	if CheckLeast(Summer, domain.Pounds(10)) != nil || domain.As(CheckLeast(Summer, domain.Pounds(9.9))).At != "least" {
		t.Error("10 lb is the least for a flavour (trade.md 6.2, common practice)")
	}
	if Small(Own, domain.Pounds(24)).String() == "" || Small(Own, domain.Pounds(25)).String() != "" || Small(Pooled, 5).String() != "" {
		t.Error("25 lb is the usual least for own meat (trade.md 6.7, common practice)")
	}
	for _, tt := range []struct {
		at          string
		p           Product
		packs       int
		packed, odd domain.Kilogram
	}{{"", Summer, 20, 20, 1}, {"packs", Summer, 0, 20, 0}, {"packed", Summer, 20, 0, 0}, {"odd", Summer, 20, 20, -1}, {"packed", Summer, 20, 27, 0}, {"", HamCured, 20, 27, 0}} {
		if err := CheckFinished(tt.p, 25, tt.packs, tt.packed, tt.odd); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%+v: %v", tt, err)
		}
	}
}

// The packs of a batch are told by their name on the bill and on the owner's page,
// so the name has to lead back to what the order called it.
func TestNamesLeadBackToTheOrder(t *testing.T) {
	for _, p := range Products {
		if got := string(cutting.TreatmentIn(p.Words().String() + ", jalapeno")); !slices.Contains(p.Treatments(), got) {
			t.Errorf("packs of %s are read as %q, want one of %v", p, got, p.Treatments())
		}
	}
}
