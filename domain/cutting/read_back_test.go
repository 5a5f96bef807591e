package cutting

import (
	"slices"
	"testing"

	"coldrail/domain"
)

func TestLineIsReadBack(t *testing.T) {
	for _, tt := range []struct {
		line Line
		want string
	}{
		{Line{Part: Backstrap, Treatment: Chops, Thickness: "1", PerPack: "4"}, "chops, boneless, 1 in thick, 4 to a pack"},
		{Line{Part: Hind, Treatment: Roasts, Size: "3 lb", Amount: "half"}, "half: roasts, boneless, 3 lb each"},
		{Line{Part: Trim, Treatment: Summer, Amount: "15"}, "15 lb: summer sausage"},
		{Line{Part: Trim, Treatment: Burger, Amount: "rest"}, "the rest: burger"},
		{Line{Part: "belly", Treatment: "bacon, sliced", Amount: "one side"}, "one side: bacon, sliced"},
	} {
		if got := tt.line.Words().String(); got != tt.want {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
}

// A blank must never read as a yes (trade.md section 9, 8).
func TestAddedMeatIsSaid(t *testing.T) {
	said := map[string]bool{}
	for _, a := range []AddedMeat{"", NoneAdded, Pork, Beef} {
		said[a.Words().String()] = true
	}
	if len(said) != 4 || !said["Not asked yet whether pork or beef may be mixed in: add nothing."] {
		t.Errorf("%v", said)
	}
}

// By hand: 12 + 7 = 19 fits 20 kg, 5 more does not; 25 has a box of its own.
func TestFillBoxes(t *testing.T) {
	for _, tt := range []struct {
		lines []domain.Kilogram
		want  []int
		boxes int
	}{
		{nil, []int{}, 0}, {[]domain.Kilogram{3}, []int{1}, 1}, {[]domain.Kilogram{12, 7, 5}, []int{1, 1, 2}, 2},
		{[]domain.Kilogram{25, 1}, []int{1, 2}, 2}, {[]domain.Kilogram{10, 10, 0.1}, []int{1, 1, 2}, 2},
	} {
		if got, n := FillBoxes(tt.lines); !slices.Equal(got, tt.want) || n != tt.boxes {
			t.Errorf("%v: %v in %d, want %v in %d", tt.lines, got, n, tt.want, tt.boxes)
		}
	}
}
