package cure

import (
	"math"

	"coldrail/domain"
)

// Blend returns the shares of two meats that together have the fat wanted, by the
// Pearson square:
//
//	parts of a = |target − b|,  parts of b = |target − a|,  shares = parts / their sum
//
// All three are fractions of fat from 0 to 1; the target lies between the two,
// which must differ. Outside the field is named and nothing is computed. Exact
// arithmetic; how fat a trim is stays a guess until it is measured.
func Blend(target, a, b float64) (shareA, shareB float64, err error) {
	for _, f := range []struct {
		at string
		v  float64
	}{{"lean_fat", a}, {"added_fat", b}, {"target_fat", target}} {
		if !(f.v >= 0 && f.v <= 1) {
			return 0, 0, domain.Wrong(f.at, "Fat is from 0 to 100 %%.")
		}
	}
	switch {
	case a == b:
		return 0, 0, domain.Wrong("added_fat", "Both meats have the same fat: mixing them changes nothing.")
	case target < min(a, b) || target > max(a, b):
		return 0, 0, domain.Wrong("target_fat", "The fat wanted has to lie between the fat of the two meats.")
	}
	partsA, partsB := math.Abs(target-b), math.Abs(target-a)
	return partsA / (partsA + partsB), partsB / (partsA + partsB), nil
}

// ToAdd returns how much of the second meat goes to what is there of the first for
// the fat wanted. A target that takes the second meat alone is refused.
func ToAdd(lean domain.Kilogram, target, a, b float64) (domain.Kilogram, error) {
	shareA, shareB, err := Blend(target, a, b)
	switch {
	case err != nil:
		return 0, err
	case !(lean > 0 && lean <= 1500):
		return 0, domain.Wrong("meat", "Give the weight of the meat that is there.")
	case shareA < 1e-6:
		return 0, domain.Wrong("target_fat", "That is the fat of the second meat alone. Choose less or more.")
	}
	return lean * domain.Kilogram(shareB/shareA), nil
}
