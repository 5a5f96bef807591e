package billing

import (
	"slices"
	"testing"

	"coldrail/domain"
)

var season = []Item{
	{Code: "deer", Basis: PerAnimal, Price: 12500, Applies: Applies{Species: []domain.Species{domain.Whitetail}}},
	{Code: "skinning", Basis: PerAnimal, Price: 2500, Applies: Applies{Species: []domain.Species{domain.Whitetail}, Forms: []domain.Form{domain.WholeHideOn}}},
	{Code: "beef", Basis: LbHanging, Price: 110, Applies: Applies{Species: []domain.Species{domain.Beef}}},
	{Code: "summer", Basis: LbFinished, Price: 550, Applies: Applies{Treatments: []string{"summer-sausage"}}},
	{Code: "sticks", Basis: LbFinished, Price: 800, Applies: Applies{Treatments: []string{"sticks"}}},
	{Code: "vacuum", Basis: LbFinished, Price: 30, Applies: Applies{Species: []domain.Species{domain.Elk}}},
	{Code: "bone-in", Basis: Each, Price: 1000, Applies: Applies{Treatments: []string{"bone-in-chops"}}},
	{Code: "rush", Basis: Each, Price: 4000},
}

// What a price list charges without being asked. The prices are the middle of
// trade.md 7.1 (common practice).
func TestAsked(t *testing.T) {
	for _, tt := range []struct {
		name string
		a    Animal
		want domain.Cents
		src  string
	}{
		{"skinned deer", Animal{Species: domain.Whitetail, Form: domain.Whole}, 12500, "by hand"},
		{"hide on", Animal{Species: domain.Whitetail, Form: domain.WholeHideOn}, 15000, "by hand: 125 + 25"},
		{"sausage packed", Animal{Species: domain.Whitetail, Form: domain.Whole, Ordered: map[string]int{"summer-sausage": 1},
			Packed: map[string]domain.Kilogram{"summer-sausage": domain.Pounds(12)}}, 19100, "by hand: 125 + 12 x 5.50"},
		{"sausage to come", Animal{Species: domain.Whitetail, Form: domain.Whole, Ordered: map[string]int{"summer-sausage": 1}}, 12500, "billed when it is back"},
		{"by the finished pound of everything", Animal{Species: domain.Elk, Packed: map[string]domain.Kilogram{"steaks": domain.Pounds(60), "burger": domain.Pounds(40)}}, 3000, "by hand: 100 x 0.30"},
		{"two lines bone in", Animal{Species: domain.Elk, Ordered: map[string]int{"bone-in-chops": 2}}, 2000, "by hand: 2 x 10"},
		{"nobody ticked the rush", Animal{Species: domain.Hog}, 0, "charged only when ticked"},
	} {
		lines, err := Lines(season, Asked(season, tt.a), nil)
		if got := (Invoice{Lines: lines}).Total(); err != nil || got != tt.want || tt.src == "" {
			t.Errorf("%s: %v, %v; want %v (%s)", tt.name, got, err, tt.want, tt.src)
		}
	}
}

func TestRange(t *testing.T) {
	deer := Animal{Species: domain.Whitetail, Form: domain.Whole, Ordered: map[string]int{"summer-sausage": 1, "sticks": 1}}
	ends := func(list []Item, a Animal, most domain.Kilogram, rates ...Rate) (low, high domain.Cents, err error) {
		l, h, err := Range(list, a, nil, most)
		return Invoice{Lines: Taxed(rates, l)}.Total(), Invoice{Lines: Taxed(rates, h)}.Total(), err
	}
	low, high, err := ends(season, deer, domain.Pounds(50))
	if err != nil || low != 12500 || high != 12500+40000 { // by hand: 50 lb of sticks at 8.00, the dearer of the two
		t.Errorf("%v to %v, %v", low, high, err)
	}
	taxed := slices.Clone(season)
	for i := range taxed {
		taxed[i].Taxable = taxed[i].Basis == LbFinished
	}
	if low, high, err = ends(taxed, deer, domain.Pounds(50), Rate{PerMillion: 60_000}); err != nil || low != 12500 || high != 12500+40000+2400 { // by hand: 6 % of 400.00
		t.Errorf("with tax on what is made: %v to %v, %v", low, high, err)
	}
	deer.Packed = map[string]domain.Kilogram{"summer-sausage": domain.Pounds(10), "sticks": domain.Pounds(5)}
	if low, high, err = ends(season, deer, 0); err != nil || low != high || low != 12500+5500+4000 {
		t.Errorf("when all is packed: %v to %v, %v", low, high, err)
	}
	if _, _, err := ends(season, Animal{Species: domain.Beef}, 0); domain.As(err).Kind != domain.Refused {
		t.Errorf("beef that was never weighed: %v", err)
	}
}
