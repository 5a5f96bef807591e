package domain_test

import (
	"testing"

	"coldrail/domain"
)

// Whose work needs what: the counter asks, calls and writes letters (trade.md 1.1);
// nobody in the cooler or at the table needs more than the owner's name.
func TestPrivateSeenBy(t *testing.T) {
	for _, c := range []struct {
		roles []string
		want  bool
	}{
		{[]string{"counter"}, true}, {[]string{"lead"}, true}, {[]string{"owner"}, true}, {[]string{"cutter", "counter"}, true},
		{[]string{"cooler"}, false}, {[]string{"cutter"}, false}, {[]string{"cooler", "cutter"}, false}, {nil, false},
	} {
		for _, p := range []domain.Private{domain.Names, domain.Phones, domain.Addresses, domain.Licences} {
			if got := p.SeenBy(c.roles); got != c.want {
				t.Errorf("%v see %s: %v, want %v", c.roles, p, got, c.want)
			}
			if p.Words().String() == "" {
				t.Errorf("%s has no words", p)
			}
		}
		if domain.Private("birthday").SeenBy(c.roles) {
			t.Errorf("%v see a group nobody put in the table", c.roles)
		}
	}
	if domain.Phones.Logged() || !domain.Licences.Logged() || !domain.Addresses.Logged() || !domain.Names.Logged() {
		t.Error("licence numbers, addresses and names are written down, phones are not")
	}
}
