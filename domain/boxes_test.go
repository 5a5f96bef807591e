package domain

import "testing"

// A label reads back as what was printed, however a scanner or a hand writes it.
func TestBoxCode(t *testing.T) {
	n := NewShopNumber(26, 147)
	for _, typed := range []string{BoxCode(n, 2), string(n) + " box 2", string(n) + "/2", n.Digits() + "2", " " + string(n) + "-02 "} {
		if got, box, err := ParseBoxCode("boxes", typed); got != n || box != 2 || err != nil {
			t.Errorf("%q: %s box %d, %v", typed, got, box, err)
		}
	}
	for _, typed := range []string{"", "box", string(n), n.Digits() + "0", n.Digits() + "123", "26-0147-4 box 2", "9" + n.Digits()[1:] + "2"} {
		if got, box, err := ParseBoxCode("boxes", typed); err == nil || As(err).At != "boxes" {
			t.Errorf("%q passes as %s box %d (%v)", typed, got, box, err)
		}
	}
}
