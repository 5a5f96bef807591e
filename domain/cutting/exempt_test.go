package cutting

import (
	"testing"

	"coldrail/domain"
)

// Custom meat leaves only marked, quarter by quarter (9 CFR 316.16; trade.md 3.1).
func TestMayLeave(t *testing.T) {
	whole, all := []Portion{WholeAnimal}, []string{"RH", "LF", "LH", "RF"}
	for _, tt := range []struct {
		species domain.Species
		form    domain.Form
		leaves  []Portion
		stamped []string
		may     bool
		src     string
	}{
		{domain.Beef, domain.Whole, whole, all, true, "9 CFR 316.16"},
		{domain.Beef, domain.Whole, whole, all[:3], false, "9 CFR 316.16: each part"},
		{domain.Hog, domain.Quarters, whole, nil, false, "9 CFR 316.16: parts too"},
		{domain.Lamb, domain.Boned, whole, nil, true, "9 CFR 317.16: the packs are labelled"},
		{domain.Beef, domain.Whole, []Portion{Left}, []string{"LF", "LH"}, true, "9 CFR 316.16: what leaves is marked"},
		{domain.Beef, domain.Whole, []Portion{LeftTwo}, []string{"LF", "LH"}, true, "trade.md 3.2: half of a side is of both its quarters"},
		{domain.Beef, domain.Whole, []Portion{LeftTwo}, []string{"LF", "RF", "RH"}, false, "trade.md 3.2"},
		{domain.Beef, domain.Whole, []Portion{RightOne, LeftOne}, []string{"LF", "LH"}, false, "9 CFR 316.16: each part"},
		{domain.Whitetail, domain.Whole, whole, nil, true, "9 CFR 317.16: the packs are labelled"},
	} {
		if err := MayLeave(tt.species, tt.form, QuartersOf(tt.leaves), tt.stamped); (err == nil) != tt.may {
			t.Errorf("%s %s %v with %v: %v (%s)", tt.species, tt.form, tt.leaves, tt.stamped, err, tt.src)
		}
	}
}
