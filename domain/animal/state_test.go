package animal

import "testing"

func TestAtDoor(t *testing.T) {
	if got := AtDoor(); got != (Tracks{Received, Unchecked, NotNeeded, NoOrder, Quoted}) {
		t.Errorf("got %+v", got)
	}
}

// What takes a place on a rail is in the house; what has left is in neither.
func TestInHouse(t *testing.T) {
	for _, p := range AllPhysical {
		if p.OnRail() && !p.InHouse() {
			t.Errorf("%s takes a place but is not in the house", p)
		}
	}
	for _, p := range []Physical{Expected, Released, Refused, Returned, Transferred, Destroyed, Condemned, Seized, Lost} {
		if p.InHouse() || p.OnRail() {
			t.Errorf("%s is not in the shop's keeping", p)
		}
	}
	if got := Physical("thawing").Words().String(); got != "thawing" {
		t.Errorf("an unknown state must show as it is stored, got %q", got)
	}
}
