package cutting

import (
	"fmt"
	"slices"
	"testing"

	"coldrail/domain"
)

func TestTotals(t *testing.T) {
	lines := []Packs{{"chops", 8, 4, 2}, {"burger", 12, 6, 1}, {"stew", 5, 2.5, 2}, {"sticks", 3, 1, 0}}
	boxes, all := Totals(lines)
	if want := []Total{{0, 3, 1}, {1, 12, 6}, {2, 13, 6.5}}; !slices.Equal(boxes, want) || all != (Total{0, 28, 13.5}) {
		t.Errorf("boxes %v, all %v", boxes, all)
	}
	for _, bad := range []Packs{{"", 1, 1, 1}, {"stew", 0, 1, 1}, {"stew", 501, 1, 1}, {"stew", 1, 0, 1}, {"stew", 1, 1501, 1}, {"stew", 1, 1, -1}} {
		if domain.As(bad.Check()).Kind != domain.Invalid {
			t.Errorf("%+v is taken", bad)
		}
	}
	if err := lines[0].Check(); err != nil {
		t.Error(err)
	}
}

func TestClose(t *testing.T) {
	kg := func(k domain.Kilogram) *domain.Kilogram { return &k }
	const src = "by hand from (1), readiness.md section 12"
	all := Weighed{Hanging: kg(40), Packed: 20, BoneFat: kg(15), Discard: kg(2), ShrinkLow: 1, ShrinkHigh: 2}
	for _, tt := range []struct {
		name   string
		edit   func(*Weighed)
		shown  bool
		adds   bool
		says   string
		source string
	}{
		// off = 40-20-15-2-1.5 = 1.5; tolerance 1.6 + 0.5 = 2.1
		{"within", func(*Weighed) {}, true, true, "The weights add up.", src},
		{"at the edge", func(w *Weighed) { w.Packed = 19.4 }, true, true, "The weights add up.", src},
		// off = 3 kg = 6.6 lb
		{"a tub missing", func(w *Weighed) { w.Packed = 18.5 }, true, false, "6.6 lb is missing. Check the tub and the neighbors.", src},
		{"the neighbour's tub", func(w *Weighed) { w.Packed = 24.5 }, true, false, "6.6 lb is too much. Check the tub and the neighbors.", src},
		{"bone not weighed", func(w *Weighed) { w.BoneFat = nil; w.ExpectedLow, w.ExpectedHigh = 18, 23 }, false, true, "44.1 lb packed; such an animal gives 39.7 lb to 50.7 lb.", src + ": shown only where every part was weighed"},
		{"bone not weighed, little packed", func(w *Weighed) { w.BoneFat = nil; w.ExpectedLow, w.ExpectedHigh = 22, 25 }, false, false, "44.1 lb packed; such an animal gives 48.5 lb to 55.1 lb. Check the tub and the neighbors.", src},
		{"bone not weighed, much packed", func(w *Weighed) { w.Hanging = nil; w.ExpectedLow, w.ExpectedHigh = 15, 18 }, false, false, "44.1 lb packed, more than the 33.1 lb to 39.7 lb such an animal gives. Check the tub and the neighbors.", src},
		{"nothing to compare", func(w *Weighed) { w.Discard = nil }, false, false, "Not every part was weighed, and nothing is known to compare with.", src},
	} {
		w := all
		tt.edit(&w)
		c := Close(w)
		if tt.source == "" || c.Shown != tt.shown || c.AddsUp != tt.adds || c.Words.String() != tt.says {
			t.Errorf("%s: %+v %q (%s)", tt.name, c, c.Words, tt.source)
		}
	}
}

func ExampleTotals() {
	boxes, all := Totals([]Packs{{"burger", 20, domain.Pounds(20), 1}, {"chops", 8, domain.Pounds(9), 2}})
	fmt.Printf("%d boxes, %d packs, %.0f lb\n", len(boxes), all.Packs, all.Net.Lb())
	// Output: 2 boxes, 28 packs, 29 lb
}
