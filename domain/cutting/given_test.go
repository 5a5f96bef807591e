package cutting

import "testing"

// What a programme takes is held against the name the cutter gave the packs. That
// there are programmes of either kind: trade.md 1.11; which cuts are ground: common
// practice, no source.
func TestTakes(t *testing.T) {
	whole, ground := Takes{WholeCuts: true}, Takes{GroundOnly: true}
	if whole.Check() != nil || ground.Check() != nil || (Takes{WholeCuts: true, GroundOnly: true}).Check() == nil {
		t.Error("either kind alone can be given, and both alone leave nothing")
	}
	for _, tt := range []struct {
		cut           string
		whole, ground bool
	}{
		{"Hind roasts", true, false}, {"stew", true, false}, {"backstrap chops", true, false}, {"shanks", true, false},
		{"grind", false, true}, {"Burger", false, true}, {"summer sausage", false, true}, {"chili-grind", false, true}, {"Ground venison", false, true},
	} {
		if whole.Accepts(tt.cut) != tt.whole || ground.Accepts(tt.cut) != tt.ground || !(Takes{}).Accepts(tt.cut) {
			t.Errorf("%s: whole cuts %v, ground %v", tt.cut, whole.Accepts(tt.cut), ground.Accepts(tt.cut))
		}
	}
	if (Takes{true, true}).Check() == nil || whole.Check() != nil || ground.Refuses("stew", "Full Plate") == nil {
		t.Error("a programme that takes nothing passes, or one that takes something does not")
	}
}
