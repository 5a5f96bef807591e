package cutting

import (
	"strconv"
	"strings"

	"coldrail/domain"
)

// Amount is how much of a part a line takes: all, half, what is left, or pounds.
type Amount struct {
	Share  Share
	Weight domain.Kilogram // only for ByWeight
}

// Share is the kind of an amount.
type Share string

// The shares.
const (
	All      Share = "all"
	Half     Share = "half"
	Rest     Share = "rest"
	ByWeight Share = "weight"
)

// maxLine is the most one line may ask for: no carcass here gives more, 1,500 kg.
const maxLine domain.Kilogram = 1500

// ParseAmount reads an amount as it stands on the order: "all", "half", "rest",
// or pounds such as "10" or "12.5 lb". Empty is "all".
func ParseAmount(at, typed string) (Amount, error) {
	word := strings.ToLower(strings.TrimSpace(typed))
	switch Share(word) {
	case "", All:
		return Amount{Share: All}, nil
	case Half, Rest:
		return Amount{Share: Share(word)}, nil
	}
	lb, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(word, "lb")), 64)
	if w := domain.Pounds(lb); err == nil && w > 0 && w <= maxLine { // a NaN fails too
		return Amount{Share: ByWeight, Weight: w}, nil
	}
	return Amount{}, domain.Wrong(at, "%s is no amount. Write all, half, rest, or pounds such as 10.", typed)
}
