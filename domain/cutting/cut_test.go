package cutting

import "testing"

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
