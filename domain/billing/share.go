package billing

import (
	"cmp"
	"slices"

	"coldrail/domain"
)

// Split parts an amount by weights into whole cents that add up to it exactly:
//
//	each share gets the whole cents of amount × weight / sum of weights; the cents
//	that are left over go one each to the shares with the largest remainder, the
//	first of equals first
//
// An amount below zero (a credit) is parted as the same amount above it. Weights are
// whole numbers, not all zero, at most 1e7 each; the amount at most 1e10 cents, so
// that no product leaves an int64. Where all weights are zero each weighs the same.
//
// Source: the method of largest remainder (Hamilton's), as in Balinski & Young, Fair
// Representation (1982), chapter 3; from memory.
func Split(amount domain.Cents, weights []int64) []domain.Cents {
	if len(weights) == 0 {
		return nil
	}
	sign := domain.Cents(1)
	if amount < 0 {
		sign, amount = -1, -amount
	}
	var sum int64
	for _, w := range weights {
		sum += max(w, 0)
	}
	type part struct {
		at        int
		remainder int64
	}
	shares, parts, left := make([]domain.Cents, len(weights)), make([]part, len(weights)), amount
	for i, w := range weights {
		if w = max(w, 0); sum == 0 {
			w = 1
		}
		product, of := int64(amount)*w, cmp.Or(sum, int64(len(weights)))
		shares[i] = domain.Cents(product / of)
		parts[i] = part{i, product % of}
		left -= shares[i]
	}
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(b.remainder, a.remainder) })
	for i := range int(left) {
		shares[parts[i].at]++
	}
	for i := range shares {
		shares[i] *= sign
	}
	return shares
}
