package cutting

import (
	"slices"
	"testing"

	"coldrail/domain"
)

func TestTreatmentIn(t *testing.T) {
	for cut, want := range map[string]Treatment{
		"summer-sausage": Summer, "Summer sausage": Summer, " Breakfast sausage, 1 lb": Breakfast, "Jerky, ground": JerkyGround,
		"Hind roasts, boneless": Roasts, "Chops, bone in": BoneInChops, "bone-in-chops": BoneInChops, "Burger": Burger, "Meatballs": "meatballs",
	} {
		if got := TreatmentIn(cut); got != want {
			t.Errorf("%q is %s, want %s", cut, got, want)
		}
	}
}

// Sausage comes back after the rest (trade.md 8, 1: two notices, two collections).
func TestToCome(t *testing.T) {
	got := ToCome(map[string]int{"steaks": 1, "summer-sausage": 1, "sticks": 2}, map[string]domain.Kilogram{"sticks": 4})
	if !slices.Equal(got, []Treatment{Summer}) {
		t.Errorf("still to come: %v", got)
	}
}
