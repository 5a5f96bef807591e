package cutting

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"coldrail/domain"
)

// Every part and treatment on the sheets is named, and no name is unused.
func TestSheetsAreWhole(t *testing.T) {
	treatments, parts := map[Treatment]bool{}, map[Part]bool{}
	for _, sheet := range []Sheet{game, beef, hog, lamb} {
		for _, c := range sheet.Parts {
			parts[c.Part] = true
			if partWords[c.Part] == "" {
				t.Errorf("%s has no words", c.Part)
			}
			for _, tr := range c.Treatments {
				treatments[tr] = true
				if treatmentWords[tr] == "" || !sheet.Allows(c.Part, tr) {
					t.Errorf("%s %s has no words or is not allowed", c.Part, tr)
				}
			}
		}
	}
	if len(treatments) != len(treatmentWords) || len(parts) != len(partWords) {
		t.Errorf("%d of %d treatments used, %d of %d parts", len(treatments), len(treatmentWords), len(parts), len(partWords))
	}
}

// What trade.md 6.3 and 6.4 ask of livestock, word by word.
func TestLivestockSheets(t *testing.T) {
	for _, tt := range []struct {
		species domain.Species
		line    Line
		at      string
		edit    func(*Order)
		src     string
	}{
		{domain.Beef, Line{Part: ShortLoin, Treatment: TBones, Thickness: "1"}, "", nil, "trade.md 6.3: T-bone or strip and fillet"},
		{domain.Beef, Line{Part: ShortLoin, Treatment: StripFillet, Thickness: "1"}, "", nil, "trade.md 6.3"},
		{domain.Beef, Line{Part: Brisket, Treatment: Halves}, "", nil, "trade.md 6.3"},
		{domain.Beef, Line{Part: Round, Treatment: JerkySlices, Thickness: "1/4"}, "", nil, "trade.md 6.3: round to jerky"},
		{domain.Beef, Line{Part: Backstrap, Treatment: WholePiece}, "part", nil, "a steer's loin is not called so"},
		{domain.Hog, Line{Part: Ham, Treatment: Smoked, Size: "halves"}, "", nil, "trade.md 6.4"},
		{domain.Hog, Line{Part: Belly, Treatment: Bacon, Thickness: "1/8"}, "", nil, "trade.md 6.4: bacon slice thickness"},
		{domain.Hog, Line{Part: Belly, Treatment: Bacon, Thickness: "1"}, "thickness", nil, "nobody slices bacon an inch thick"},
		{domain.Hog, Line{Part: Trim, Treatment: Links, Amount: "5", Flavour: "sage"}, "amount", nil, "trade.md 6.2: minimum per flavour"},
		{domain.Lamb, Line{Part: Rib, Treatment: Racks}, "", nil, "trade.md 6.4"},
		{domain.Goat, Line{Part: Leg, Treatment: BonedRolled}, "", nil, "trade.md 6.4"},
		{domain.Lamb, Line{Part: Leg, Treatment: JerkySlices}, "treatment", nil, "trade.md 6.4"},
		{domain.Bear, Line{Part: Hind, Treatment: Roasts}, "", nil, "common practice, no source: asked like deer"},
		{domain.WildHog, Line{Part: Ham, Treatment: Fresh}, "", nil, "common practice, no source: asked like hog"},
		{domain.WildHog, Line{Part: Ham, Treatment: Fresh}, "portion", func(o *Order) { o.Portion = Left }, "trade.md 3.2: shares are of livestock"},
		{domain.Hog, Line{Part: Ham, Treatment: Fresh}, "portion", func(o *Order) { o.Portion = LeftOne }, "trade.md 3.2: hogs to halves"},
	} {
		o := Order{OwnMeatOnly: true, Lines: []Line{tt.line}}
		if tt.edit != nil {
			tt.edit(&o)
		}
		err := o.Check(About{Species: tt.species})
		if tt.src == "" || (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s %+v: %v at %q, want %q (%s)", tt.species, tt.line, err, domain.As(err).At, tt.at, tt.src)
		}
	}
}

// Livestock is asked for what trade.md 6.3, 6.4 and 3.2 name before it is cut.
func TestLivestockGaps(t *testing.T) {
	has := func(gaps []domain.Words, says string) bool {
		return slices.ContainsFunc(gaps, func(w domain.Words) bool { return w.String() == says })
	}
	if g := (Order{}).Gaps(About{Species: domain.Beef}); !has(g, "What to do with the chuck.") {
		t.Errorf("beef: %v", g)
	}
	if g := (Order{Portion: Left}).Gaps(About{Species: domain.Hog}); !has(g, "Whose portion it is.") {
		t.Errorf("half a hog: %v", g)
	}
	if g := (Order{}).Gaps(About{Species: domain.Whitetail, Form: domain.Boned}); len(g) != 1 || g[0].String() != "What to do with the trim." {
		t.Errorf("boned meat has no backstraps to ask for: %v", g)
	}
	big := Order{OwnMeatOnly: true, Lines: []Line{{Part: Trim, Treatment: Sticks, Amount: "45"}, {Part: Trim, Treatment: Grind, Amount: "rest"}}}
	about := About{Species: domain.Whitetail, Expected: domain.Pounds(50), Usual: domain.Pounds(40)}
	if err := big.Check(about); err != nil || !has(big.Gaps(about), "What gives way if a part is lost.") {
		t.Errorf("more than usual, less than the most (trade.md 6.2): %v, %v", err, big.Gaps(about))
	}
}

// For any order on any sheet: one that passes with nothing left to ask leaves no
// meat without a place and never takes any twice.
func TestAnyWholeOrderAddsUp(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 62))
	pick := func(list []string) string { return list[rnd.IntN(len(list))] }
	passed := 0
	for range 60000 {
		species := domain.AllSpecies[rnd.IntN(len(domain.AllSpecies))]
		sheet := SheetOf(species)
		o := Order{OwnMeatOnly: true, Added: AddedMeat(pick([]string{"", "none", "pork", "beef"})), FallBack: "less stew"}
		for _, c := range sheet.Parts {
			for range 1 + rnd.IntN(6)/5 { // mostly one way, now and then two
				l := Line{Part: c.Part, Treatment: c.Treatments[rnd.IntN(len(c.Treatments))], Amount: pick([]string{"", "", "all", "rest", "half"})}
				if rnd.IntN(8) == 0 {
					l.Amount = strconv.Itoa(1 + rnd.IntN(20))
				}
				if l.Treatment.thick() {
					l.Thickness = pick([]string{"1", "1", "1", "1/4"})
				}
				o.Lines = append(o.Lines, l)
			}
		}
		about := About{Species: species, Months: pick([]string{"no", "no", "yes", ""}), Expected: domain.Pounds(float64(20 + rnd.IntN(60)))}
		if o.Check(about) != nil || len(o.Gaps(about)) > 0 {
			continue
		}
		passed++
		if o.Asked() > about.Expected {
			t.Fatalf("asks for %v of %v: %+v", o.Asked(), about.Expected, o)
		}
		for _, c := range sheet.Parts {
			mustAddUp(t, o, c.Part)
		}
	}
	if passed < 100 {
		t.Errorf("only %d of the orders passed: the test says nothing", passed)
	}
}

// mustAddUp: of one part exactly one line takes all or the rest, or two halves do.
func mustAddUp(t *testing.T, o Order, p Part) {
	t.Helper()
	takers, halves, lines := 0, 0, 0
	for _, l := range o.Lines {
		if l.Part != p {
			continue
		}
		lines++
		switch a, _ := ParseAmount("", l.Amount); a.Share {
		case All:
			takers++
			if o.hasTwo(p) {
				t.Fatalf("%s: all of it and something else: %+v", p, o)
			}
		case Rest:
			takers++
		case Half:
			halves++
		}
	}
	if lines > 0 && !(takers == 1 && halves < 2 || takers == 0 && halves == 2 && lines == 2) {
		t.Fatalf("%s: %d take the rest, %d halves of %d lines: %+v", p, takers, halves, lines, o)
	}
}

func (o Order) hasTwo(p Part) bool {
	n := 0
	for _, l := range o.Lines {
		if l.Part == p {
			n++
		}
	}
	return n > 1
}

// trade.md 3.2: quarters of one half are broken once for both owners.
func TestMates(t *testing.T) {
	quarter := func(p Portion, tr Treatment) Order {
		return Order{Portion: p, Lines: []Line{{Part: ShortLoin, Treatment: tr, Thickness: "1"}}}
	}
	for _, tt := range []struct {
		a, b Order
		ok   bool
		src  string
	}{
		{quarter(LeftOne, TBones), quarter(LeftTwo, StripFillet), false, "section 9, 17: A wanted T-bones, B wanted fillet, same loin"},
		{quarter(LeftOne, TBones), quarter(LeftTwo, TBones), true, "they agree"},
		{quarter(LeftOne, TBones), quarter(LeftTwo, Grind), true, "grind comes of either"},
		{quarter(LeftOne, TBones), quarter(RightOne, StripFillet), true, "another side, another loin"},
		{quarter(Left, TBones), quarter(Right, StripFillet), true, "halves are broken apart"},
	} {
		if err := CheckMates(tt.a, tt.b); (err == nil) != tt.ok || tt.src == "" {
			t.Errorf("%s and %s: %v (%s)", tt.a.Portion, tt.b.Portion, err, tt.src)
		}
	}
}

// Whatever was ordered, the portions ordered and those not asked make the whole
// animal, each bit of it once.
func TestPortionsMakeTheWhole(t *testing.T) {
	all := beef.Portions()
	for set := 1; set < 1<<len(all); set++ {
		var ordered []Portion
		clash := false
		for i, p := range all {
			if set>>i&1 == 1 {
				clash = clash || slices.ContainsFunc(ordered, p.Overlaps)
				ordered = append(ordered, p)
			}
		}
		if clash {
			continue // an order takes the place of those it overlaps
		}
		var sum domain.Kilogram
		for _, p := range append(ordered, NotAsked(ordered)...) {
			sum += p.share()
		}
		if sum != 1 {
			t.Errorf("%v with %v is %v of an animal", ordered, NotAsked(ordered), sum)
		}
	}
}

func TestSheetCode(t *testing.T) {
	number := domain.NewShopNumber(26, 147)
	for v := range 40 {
		n, got, err := ParseSheetCode("card", SheetCode(number, v+1))
		if err != nil || n != number || got != v+1 {
			t.Errorf("version %d reads back as %s %d, %v", v+1, n, got, err)
		}
	}
	for _, bad := range []string{"", "2601473", number.Digits(), number.Digits() + "V", number.Digits() + "V0", "2601470V1", number.Digits() + "-2"} {
		if _, _, err := ParseSheetCode("card", bad); err == nil {
			t.Errorf("%q passes for a cut sheet", bad)
		}
	}
}

// Cattle count as 30 months or older until the kill entry says otherwise: then nothing
// through the spine leaves an order complete, and once they are known to be, it is
// refused (9 CFR 310.22; trade.md 6.3). Other animals are not asked.
func TestThirtyMonths(t *testing.T) {
	bones := []Line{{Part: ShortLoin, Treatment: TBones, Thickness: "1"}, {Part: Rib, Treatment: PrimeRoast}, {Part: Neck, Treatment: NeckBones}}
	for _, tt := range []struct {
		species  domain.Species
		months   string
		lines    []Line
		refused  int
		passes   bool
		mustKnow string
	}{
		{domain.Beef, "", bones, 3, true, "its kill is not entered"},
		{domain.Beef, "yes", bones, 3, false, "its spine is taken out"},
		{domain.Beef, "no", bones, 0, true, ""},
		{domain.Beef, "yes", []Line{{Part: Rib, Treatment: Steaks, Thickness: "1"}}, 0, true, "30 months or older: the spine"},
		{domain.Hog, "", []Line{{Part: Loin, Treatment: BoneInChops, Thickness: "1"}}, 0, true, ""},
	} {
		o, a := Order{OwnMeatOnly: true, Lines: tt.lines}, About{Species: tt.species, Months: tt.months}
		refused := o.SpineLines(a)
		said := a.AgeWords().String()
		if len(refused) > 0 {
			said += refused[0].String()
		}
		if len(refused) != tt.refused || (o.Check(a) == nil) != tt.passes || !strings.Contains(said, tt.mustKnow) || (tt.mustKnow == "") != (said == "") {
			t.Errorf("%s, months %q: %d refused, %v, %q", tt.species, tt.months, len(refused), o.Check(a), said)
		}
	}
}
