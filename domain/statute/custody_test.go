package statute

import (
	"testing"

	"coldrail/domain"
)

// Where a tag has to be (trade.md 2.3 and Annex D, Tag custody).
func TestWhereTheTagStays(t *testing.T) {
	rule := func(how Custody) []Rule { return []Rule{{Topic: Tag, Covers: "game", Custody: how}} }
	for _, tt := range []struct {
		name      string
		rules     []Rule
		s         domain.Species
		back, all bool
		may       bool
	}{
		{"Washington: returned with the meat", rule(GoesBack), domain.Whitetail, true, true, true},
		{"Washington: kept back", rule(GoesBack), domain.Whitetail, false, true, false},
		{"Washington: more boxes to come", rule(GoesBack), domain.Whitetail, false, false, true},
		{"Texas: while a part is here", rule(StaysPut), domain.Whitetail, true, false, false},
		{"Texas: with the last of it", rule(StaysPut), domain.Whitetail, true, true, true},
		{"livestock", rule(GoesBack), domain.Beef, false, true, true},
		{"no rule", nil, domain.Whitetail, false, true, true},
	} {
		if err := MayGoBack(tt.rules, tt.s, domain.Whole, tt.back, tt.all); (err == nil) != tt.may {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	if MayComeOff(rule(UntilCut), domain.Whitetail, domain.Whole, false) == nil || MayComeOff(rule(UntilCut), domain.Whitetail, domain.Whole, true) != nil {
		t.Error("South Carolina: it may come off once processing starts, and not before")
	}
}
