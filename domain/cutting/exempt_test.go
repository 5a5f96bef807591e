package cutting

import (
	"testing"

	"coldrail/domain"
)

// Custom meat leaves only marked, quarter by quarter (9 CFR 316.16; trade.md 3.1).
func TestMayLeave(t *testing.T) {
	all := []string{"RH", "LF", "LH", "RF"}
	for _, tt := range []struct {
		species domain.Species
		form    domain.Form
		stamped []string
		may     bool
		src     string
	}{
		{domain.Beef, domain.Whole, all, true, "9 CFR 316.16"},
		{domain.Beef, domain.Whole, all[:3], false, "9 CFR 316.16: each part"},
		{domain.Hog, domain.Quarters, nil, false, "9 CFR 316.16: parts too"},
		{domain.Lamb, domain.Boned, nil, true, "9 CFR 317.16: the packs are labelled"},
		{domain.Whitetail, domain.Whole, nil, true, "9 CFR 317.16: the packs are labelled"},
	} {
		if err := MayLeave(tt.species, tt.form, tt.stamped); (err == nil) != tt.may {
			t.Errorf("%s %s with %v: %v (%s)", tt.species, tt.form, tt.stamped, err, tt.src)
		}
	}
}
