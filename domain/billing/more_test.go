package billing

import (
	"math/rand/v2"
	"testing"

	"coldrail/domain"
)

func TestMore(t *testing.T) {
	deer := []domain.Species{domain.Whitetail}
	list := []Item{
		{Code: "deer", Label: "Deer", Basis: PerAnimal, Price: 12500, Applies: Applies{Species: deer}},
		{Code: "summer", Label: "Summer sausage", Basis: LbFinished, Price: 550, Minimum: 2500, Taxable: true, Applies: Applies{Treatments: []string{"summer-sausage"}}},
		{Code: "least", Label: "The least for a deer", Basis: AtLeast, Price: 16000, Applies: Applies{Species: deer}},
	}
	packed := func(lb float64) Animal {
		return Animal{Species: domain.Whitetail, Ordered: map[string]int{"summer-sausage": 1}, Packed: map[string]domain.Kilogram{"summer-sausage": domain.Pounds(lb)}}
	}
	for _, tt := range []struct {
		name       string
		first, now float64 // pounds of sausage at the bill, and since
		part       bool
		bill, rest []domain.Cents
		src        string
	}{
		{"all later", 0, 12, true, []domain.Cents{12500}, []domain.Cents{6600}, "by hand: 12 x 5.50"},
		{"some, then the rest", 6, 12, false, []domain.Cents{12500, 3300, 200}, []domain.Cents{3300, -200}, "by hand: 125 + 33 and 2 up to 160; then 33 more, and the 2 back"},
		{"within the minimum", 2, 3, false, []domain.Cents{12500, 2500, 1000}, nil, "by hand: 16.50 is within the 25.00 charged"},
		{"beyond the minimum", 2, 6, false, []domain.Cents{12500, 2500, 1000}, []domain.Cents{800, -800}, "by hand: 33.00 less 25.00; 158.00 is 2.00 short, 8.00 of the 10.00 go back"},
		{"the least waits for the last part", 0, 3, true, []domain.Cents{12500}, []domain.Cents{2500, 1000}, "by hand: 125 + 25 minimum, 10 up to 160"},
		{"nothing since", 12, 12, false, []domain.Cents{12500, 6600}, nil, "nothing came"},
		{"taken back out", 12, 6, false, []domain.Cents{12500, 6600}, nil, "less than billed is a credit, which the lead gives"},
	} {
		done := Asked(list, packed(tt.first))
		if tt.part {
			done = WithoutLeast(list, done)
		}
		billed, err := Lines(list, done, nil)
		if err != nil {
			t.Fatal(err)
		}
		rest, err := More(list, Asked(list, packed(tt.now)), nil, billed)
		if err != nil || !totals(billed, tt.bill) || !totals(rest, tt.rest) || tt.src == "" {
			t.Errorf("%s: billed %+v, then %+v, %v (%s)", tt.name, billed, rest, err, tt.src)
		}
	}
}

func totals(lines []Line, want []domain.Cents) bool {
	if len(lines) != len(want) {
		return false
	}
	for i, l := range lines {
		if l.Total != want[i] {
			return false
		}
	}
	return true
}

// However the work is split over bills: no line is negative but the least given
// back, nothing is billed twice, and the parts come to the whole but for a cent of
// rounding a part.
func TestPartsComeToTheWhole(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	list := []Item{{Code: "summer", Label: "Summer sausage", Basis: LbFinished, Price: 537, Minimum: 1500, Applies: Applies{Treatments: []string{"summer-sausage"}}}}
	for range 500 {
		a := Animal{Ordered: map[string]int{"summer-sausage": 1}, Packed: map[string]domain.Kilogram{}}
		var billed []Line
		parts := 1 + r.IntN(4)
		for range parts {
			a.Packed["summer-sausage"] += domain.Pounds(0.1 + r.Float64()*20)
			more, err := More(list, Asked(list, a), nil, billed)
			if err != nil {
				t.Fatal(err)
			}
			billed = append(billed, more...)
		}
		whole, err := Lines(list, Asked(list, a), nil)
		if err != nil {
			t.Fatal(err)
		}
		got, want := Invoice{Lines: billed}.Total(), Invoice{Lines: whole}.Total()
		if off := got - want; off < -domain.Cents(parts) || off > domain.Cents(parts) {
			t.Fatalf("%d parts come to %v, the whole to %v: %+v", parts, got, want, billed)
		}
	}
}

func TestLater(t *testing.T) {
	a := Animal{Species: domain.Whitetail, Ordered: map[string]int{"summer-sausage": 1}, Packed: map[string]domain.Kilogram{"steaks": 5}}
	if got := Later(season, a, []string{"summer-sausage"}, false); len(got) != 1 || got[0].Code != "summer" {
		t.Errorf("%+v", got)
	}
	if got := Later(season, a, []string{"bacon"}, false); len(got) != 0 {
		t.Errorf("bacon has no price here: %+v", got)
	}
	if got := Later(season, a, nil, true); len(got) != 1 {
		t.Errorf("while it is packed: %+v", got)
	}
	elk := Animal{Species: domain.Elk, Ordered: map[string]int{"sticks": 1}}
	if got := Later(season, elk, []string{"sticks"}, false); len(got) != 2 { // sticks, and vacuum on everything finished
		t.Errorf("%+v", got)
	}
}

// What is ticked by the finished pound needs its pounds.
func TestTickedByThePound(t *testing.T) {
	list := []Item{{Code: "pork", Label: "Pork added", Basis: LbFinished, Price: 300}}
	if _, err := Lines(list, []Done{{Code: "pork"}}, nil); domain.As(err).At != "much-pork" {
		t.Errorf("billed at nothing: %v", err)
	}
	lines, err := Lines(list, []Done{{Code: "pork", Finished: domain.Pounds(5)}}, nil)
	if err != nil || len(lines) != 1 || lines[0].Total != 1500 {
		t.Errorf("%+v, %v", lines, err)
	}
}
