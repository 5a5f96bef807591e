package billing

import (
	"slices"
	"testing"

	"coldrail/domain"
)

var beef = Item{Code: "beef-cut", Label: "Beef, cut and wrapped", Basis: LbHanging, Price: 100, Applies: Applies{Species: []domain.Species{domain.Beef}}}

func TestCheckList(t *testing.T) {
	least := Item{Code: "beef-least", Label: "The least for a beef", Basis: AtLeast, Price: 30000, Applies: Applies{Species: []domain.Species{domain.Beef}}}
	with := func(i Item, edit func(*Item)) Item { edit(&i); return i }
	for _, tt := range []struct {
		name  string
		items []Item
		at    string
	}{
		{"good", []Item{beef, least}, ""},
		{"empty", nil, "items"},
		{"too long", slices.Repeat([]Item{beef}, maxItems+1), "items"},
		{"twice", []Item{beef, beef}, "label"},
		{"a word the bill keeps for itself", []Item{with(beef, func(i *Item) { i.Code = "tax" })}, "label"},
		{"a bad price", []Item{with(beef, func(i *Item) { i.Price = -1 })}, "price"},
		{"hide on, of no kind", []Item{with(beef, func(i *Item) { i.Species, i.Forms = nil, []domain.Form{domain.WholeHideOn} })}, "species"},
		{"the least of no kind", []Item{with(least, func(i *Item) { i.Species = nil })}, "species"},
		{"the least of the least", []Item{with(least, func(i *Item) { i.Minimum = 100 })}, "minimum"},
	} {
		if err := CheckList(tt.items); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// The least for an animal tops up the work, and nothing where the work reaches it.
func TestTheLeastForAnAnimal(t *testing.T) {
	list := []Item{beef, {Code: "beef-least", Label: "The least for a beef", Basis: AtLeast, Price: 30000, Taxable: true,
		Applies: Applies{Species: []domain.Species{domain.Beef}}}, {Code: "rush", Label: "Rush", Basis: Each, Price: 5000}}
	for _, tt := range []struct {
		lb    float64
		rush  bool
		lines int
		total domain.Cents
		src   string
	}{
		{200, false, 2, 30000, "by hand: 200.00, and 100.00 up to 300.00"},
		{200, true, 3, 30000, "by hand: 200.00 + 50.00 rush, and 50.00 up to 300.00"},
		{299.9, false, 2, 30000, "by hand: 299.90 and 0.10"},
		{300, false, 1, 30000, "by hand: 300.00 is the least already"},
		{590, false, 1, 59000, "by hand: well above it"},
	} {
		hanging := domain.Pounds(tt.lb)
		done := Asked(list, Animal{Species: domain.Beef})
		if tt.rush {
			done = append(done, Done{Code: "rush"})
		}
		lines, err := Lines(list, done, &hanging)
		i := Invoice{Lines: lines}
		if err != nil || len(lines) != tt.lines || i.Total() != tt.total || tt.src == "" {
			t.Errorf("%v lb: %+v, %v; want %v (%s)", tt.lb, lines, err, tt.total, tt.src)
		}
		for _, l := range lines {
			if want := tenths(l); int64(l.Total) != want {
				t.Errorf("%+v is not its quantity times its price", l)
			}
		}
	}
	lines, err := Lines(list, []Done{{Code: "rush"}}, nil)
	if err != nil || len(lines) != 1 {
		t.Errorf("a rush alone: %+v, %v", lines, err)
	}
}

func TestCodeFor(t *testing.T) {
	taken := func(code string) bool { return code == "rush" }
	for label, want := range map[string]string{"Cape, for a mount!": "cape-for-a-mount", "Rush": "rush-2", "Tax": "tax-2", "¡ü!": "price",
		"A name that is far too long for a code, longer than it": "a-name-that-is-far-too-long-for-a-code-l"} {
		if got := CodeFor(label, taken); got != want {
			t.Errorf("%s: %q, want %q", label, got, want)
		}
	}
}

func TestChanges(t *testing.T) {
	dearer, cape := beef, Item{Code: "cape", Label: "Cape", Basis: Each, Price: 5000}
	dearer.Price = 120
	got := Changes([]Item{beef, cape}, []Item{dearer, {Code: "rush", Label: "Rush", Basis: Each, Price: 1}})
	if len(got) != 3 || got[0].Was.Price != 100 || got[0].Now.Price != 120 || got[1].Was != nil || got[1].Label != "Rush" || got[2].Now != nil || got[2].Code != "cape" {
		t.Errorf("%+v", got)
	}
	if same := Changes([]Item{beef, cape}, []Item{cape, beef}); len(same) != 0 {
		t.Errorf("the order alone: %+v", same)
	}
}
