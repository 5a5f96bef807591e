package billing

import (
	"math/rand/v2"
	"slices"
	"testing"

	"coldrail/domain"
)

func TestSplit(t *testing.T) {
	for _, tt := range []struct {
		name    string
		amount  domain.Cents
		weights []int64
		want    []domain.Cents
		src     string
	}{
		{"two halves of an odd cent", 101, []int64{2, 2}, []domain.Cents{51, 50}, "by hand: 50.5 each, the first of equals gets the cent"},
		{"half and two quarters", 10001, []int64{2, 1, 1}, []domain.Cents{5001, 2500, 2500}, "by hand: 5000.5, 2500.25, 2500.25; the largest remainder is the half's"},
		{"thirds", 100, []int64{1, 1, 1}, []domain.Cents{34, 33, 33}, "by hand: 33.33 each, one cent left"},
		{"a credit", -100, []int64{1, 1, 1}, []domain.Cents{-34, -33, -33}, "as the same amount above zero"},
		{"nothing of it", 5000, []int64{0, 7}, []domain.Cents{0, 5000}, "a share that had none pays none"},
		{"nobody known", 5001, []int64{0, 0}, []domain.Cents{2501, 2500}, "all weigh the same"},
		{"three parties and ten seats", 10, []int64{6, 6, 2}, []domain.Cents{4, 4, 2}, "the Alabama paradox's worked example, 4.286, 4.286, 1.429: the third has the largest remainder (from memory)"},
		{"one", 777, []int64{4}, []domain.Cents{777}, "one share is all"},
	} {
		if got := Split(tt.amount, tt.weights); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v (%s)", tt.name, got, tt.want, tt.src)
		}
	}
	if Split(100, nil) != nil {
		t.Error("no share, no money")
	}
}

// Whatever the amount and the weights: the shares add up to the cent, and none is a
// cent or more off its exact part.
func TestSharesAddUp(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 2))
	for range 5000 {
		weights := make([]int64, 1+random.IntN(4))
		var of int64
		for i := range weights {
			weights[i] = int64(random.IntN(200000))
			of += weights[i]
		}
		amount := domain.Cents(random.IntN(2_000_000) - 200_000)
		var sum domain.Cents
		for i, share := range Split(amount, weights) {
			sum += share
			if of > 0 {
				if off := int64(share)*of - int64(amount)*weights[i]; off >= of || off <= -of {
					t.Fatalf("%v by %v: share %d is %v, a cent or more off", amount, weights, i, share)
				}
			}
		}
		if sum != amount {
			t.Fatalf("%v by %v adds up to %v", amount, weights, sum)
		}
	}
}
