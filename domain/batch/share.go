package batch

import (
	"cmp"
	"math"
	"slices"

	"coldrail/domain"
)

// Input is the meat of one animal in a batch, all of it together.
type Input struct {
	Number domain.ShopNumber
	Kg     domain.Kilogram
}

// Share is what of a batch goes back to an animal's owner.
type Share struct {
	Number domain.ShopNumber
	Input  domain.Kilogram
	Exact  domain.Kilogram // its part of all that came out, to the gram and below
	Packs  int             // whole packs
}

// Split shares a batch out:
//
//	exact = input / sum of inputs × finished
//	packs = input / sum of inputs × all packs, whole ones by largest remainder
//
// Each gets the whole packs of its part; those left over go one each to the
// largest fractions. Of two equal fractions the larger input comes first, of two
// equal inputs the lower number. Pork and beef that the shop added are nobody's
// input. Weights count in whole grams, so the packs are exact and their sum is all
// of them; who put in nothing gets nothing; the order of the inputs, which comes
// back unchanged, does not matter.
//
// Outside 0 to 5,000 packs, 0 to 1,500 kg of an input and 0 to 50,000 kg finished
// the field is named and nothing is shared. Source: readiness.md section 13; the
// rule for ties is the shop's own.
func Split(inputs []Input, packs int, finished domain.Kilogram) ([]Share, error) {
	if packs < 0 || packs > 5000 {
		return nil, domain.Wrong("packs", "Count the whole packs: 1 to 5,000.")
	}
	if !(finished >= 0 && finished <= mostKg) {
		return nil, domain.Wrong("packed", "What came out cannot weigh %g kg. Weigh it again.", float64(finished))
	}
	var all int64
	grams := make([]int64, len(inputs))
	for i, in := range inputs {
		if !(in.Kg >= 0 && in.Kg <= 1500) { // a NaN fails too
			return nil, domain.Wrong("weight", "The meat of %s cannot weigh %g kg. Weigh it again.", string(in.Number), float64(in.Kg))
		}
		grams[i] = int64(math.Round(float64(in.Kg) * 1000))
		all += grams[i]
	}
	if all == 0 {
		return nil, domain.Refuse("inputs", "Nobody's meat is in this batch yet.")
	}
	shares := make([]Share, len(inputs))
	byRemainder := make([]int, len(inputs))
	left := packs
	for i, in := range inputs {
		shares[i] = Share{Number: in.Number, Input: in.Kg, Exact: domain.Kilogram(float64(grams[i])/float64(all)) * finished,
			Packs: int(int64(packs) * grams[i] / all)}
		left -= shares[i].Packs
		byRemainder[i] = i
	}
	slices.SortFunc(byRemainder, func(a, b int) int {
		return cmp.Or(cmp.Compare(int64(packs)*grams[b]%all, int64(packs)*grams[a]%all), cmp.Compare(grams[b], grams[a]),
			cmp.Compare(inputs[a].Number, inputs[b].Number))
	})
	for _, i := range byRemainder[:left] {
		shares[i].Packs++
	}
	return shares, nil
}
