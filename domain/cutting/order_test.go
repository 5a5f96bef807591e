package cutting

import (
	"fmt"
	"testing"

	"coldrail/domain"
)

func whole() Order {
	return Order{OwnMeatOnly: true, Added: NoneAdded, Lines: []Line{
		{Part: Backstrap, Treatment: Chops, Thickness: "1", PerPack: "4"},
		{Part: Hind, Treatment: JerkySlices, Amount: "10"},
		{Part: Hind, Treatment: Steaks, Thickness: "3/4", Amount: "rest"},
		{Part: Shoulder, Treatment: Stew}, {Part: Neck, Treatment: Grind},
		{Part: Trim, Treatment: Summer, Amount: "15 lb"}, {Part: Trim, Treatment: Burger, Amount: "rest"},
	}}
}

func TestOrderCheck(t *testing.T) {
	add := func(lines ...Line) func(*Order) { return func(o *Order) { o.Lines = append(o.Lines, lines...) } }
	only := func(lines ...Line) func(*Order) { return func(o *Order) { o.Lines = lines } }
	const src = "trade.md 6.2, checks"
	for _, tt := range []struct {
		name  string
		about About
		edit  func(*Order)
		at    string
		src   string
	}{
		{"as taken", About{Expected: domain.Pounds(50)}, func(*Order) {}, "", src},
		{"loins both chops and whole", About{}, add(Line{Part: Backstrap, Treatment: WholePiece}), "amount", src},
		{"one loin chops, one whole", About{}, only(Line{Part: Backstrap, Treatment: Chops, Amount: "half"}, Line{Part: Backstrap, Treatment: WholePiece, Amount: "half"}), "", src + ": two backstraps"},
		{"three half loins", About{}, only(Line{Part: Backstrap, Treatment: Chops, Amount: "half"}, Line{Part: Backstrap, Treatment: WholePiece, Amount: "half"}, Line{Part: Backstrap, Treatment: Halves, Amount: "half"}), "amount", src + ": only two backstraps"},
		{"two halves and a rest", About{}, only(Line{Part: Hind, Treatment: Stew, Amount: "half"}, Line{Part: Hind, Treatment: Roasts, Amount: "half"}, Line{Part: Hind, Treatment: Cubed, Amount: "rest"}), "amount", "two halves are the whole"},
		{"two rests of the trim", About{}, add(Line{Part: Trim, Treatment: Grind, Amount: "rest"}), "amount", src + ": rest exactly once"},
		{"all and something else", About{}, add(Line{Part: Neck, Treatment: Roasts, Amount: "2"}), "amount", src},
		{"jerky from the shoulder", About{}, only(Line{Part: Shoulder, Treatment: JerkySlices}), "treatment", src + ": jerky needs hinds"},
		{"jerky, hinds lost", About{}, func(o *Order) { o.Lost = []Part{Hind} }, "part", src + ": jerky needs hinds"},
		{"chops from the neck", About{}, only(Line{Part: Neck, Treatment: Chops}), "treatment", "trade.md 6.2, the sheet"},
		{"a part no deer has", About{}, only(Line{Part: "brisket", Treatment: WholePiece}), "part", "trade.md 6.2, the sheet"},
		{"more than the deer gives", About{Expected: domain.Pounds(20)}, func(*Order) {}, "amount", src + ": sums of lb against the yield"},
		{"five pounds of sticks", About{}, add(Line{Part: Trim, Treatment: Sticks, Amount: "5"}), "amount", src + ": minimum per flavour"},
		{"saw through the spine, test zone", About{TestZone: true}, only(Line{Part: Backstrap, Treatment: BoneInChops, Thickness: "1"}), "zone", "trade.md 6.2: bone-in chops not from CWD zones"},
		{"pooled while held", About{Held: true}, func(o *Order) { o.OwnMeatOnly = false }, "pool", src + ": no pooled lines"},
		{"pooled from a zone", About{TestZone: true}, func(o *Order) { o.OwnMeatOnly = false }, "pool", src + ": no pooled lines"},
		{"pooled otherwise", About{}, func(o *Order) { o.OwnMeatOnly = false }, "", "trade.md 6.7"},
		{"wafer steaks", About{}, only(Line{Part: Hind, Treatment: Steaks, Thickness: "1/4"}), "thickness", "trade.md 6.2: steaks from 1/2 in"},
		{"some", About{}, only(Line{Part: Hind, Treatment: Stew, Amount: "some"}), "amount", "all, half, rest or pounds"},
		{"what to mix in", About{}, func(o *Order) { o.Added = "park" }, "added_meat", "trade.md section 9, 8"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			o := whole()
			tt.edit(&o)
			err := o.Check(tt.about)
			if tt.src == "" {
				t.Fatal("every case needs a source")
			}
			if (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
				t.Errorf("got %v at %q, want %q (%s)", err, domain.As(err).At, tt.at, tt.src)
			}
		})
	}
}

func TestGaps(t *testing.T) {
	if gaps := whole().Gaps(About{}); len(gaps) != 0 {
		t.Errorf("a whole order has gaps: %v", gaps)
	}
	if gaps := (Order{}).Gaps(About{}); len(gaps) != 5 {
		t.Errorf("an empty order owes backstraps, hinds, shoulders, neck and trim: %v", gaps)
	}
	for _, tt := range []struct {
		name string
		edit func(*Order)
		says string
	}{
		{"no fat", func(o *Order) { o.Added = Pork }, "How much fat goes into the burger."},
		{"half the shoulders", func(o *Order) { o.Lines[3].Amount = "half" }, "Where the rest of the shoulders goes."},
		{"parts lost", func(o *Order) { o.Lost = []Part{Ribs} }, "What gives way if a part is lost."},
		{"no thickness", func(o *Order) { o.Lines[0].Thickness = "" }, "How thick the chops, boneless are cut."},
		{"pork not asked", func(o *Order) { o.Added = "" }, "Whether pork or beef may be mixed in."},
		{"no rest", func(o *Order) { o.Lines[6].Amount = "12" }, "Where the rest of the trim goes."},
	} {
		o := whole()
		tt.edit(&o)
		if gaps := o.Gaps(About{}); len(gaps) != 1 || gaps[0].String() != tt.says {
			t.Errorf("%s: %v", tt.name, gaps)
		}
	}
}

func TestParseAmount(t *testing.T) {
	for _, tt := range []struct {
		typed string
		want  Amount
		ok    bool
	}{
		{"", Amount{Share: All}, true}, {" All ", Amount{Share: All}, true}, {"half", Amount{Share: Half}, true},
		{"REST", Amount{Share: Rest}, true}, {"10", Amount{ByWeight, domain.Pounds(10)}, true}, {"12.5 lb", Amount{ByWeight, domain.Pounds(12.5)}, true},
		{"0", Amount{}, false}, {"-3", Amount{}, false}, {"NaN", Amount{}, false}, {"1e9", Amount{}, false}, {"ten", Amount{}, false}, {"weight", Amount{}, false},
	} {
		if got, err := ParseAmount("amount", tt.typed); got != tt.want || (err == nil) != tt.ok {
			t.Errorf("%q: %v, %v", tt.typed, got, err)
		}
	}
}

func ExampleOrder_Check() {
	o := Order{OwnMeatOnly: true, Lines: []Line{{Part: Shoulder, Treatment: JerkySlices}}}
	fmt.Println(o.Check(About{}))
	// Output: Whole-slice jerky is cut from the hinds. Take it there, or ground jerky from the trim.
}
