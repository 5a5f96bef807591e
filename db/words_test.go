package db_test

import (
	"slices"
	"testing"

	"coldrail/domain/ageing"
	"coldrail/domain/round"
)

// The round and the ageing model each have the words of a look, since neither
// part of the domain knows the other. The words and what stops an animal must
// be the same in both, or a stop on the round would not stop the rail.
func TestRoundAndAgeingAgreeOnWhatStops(t *testing.T) {
	if !slices.Equal(words(round.Smells), words(ageing.Smells)) || !slices.Equal(words(round.Surfaces), words(ageing.Surfaces)) ||
		!slices.Equal(words(round.Sites), words(ageing.Sites)) || !slices.Equal(words(round.Colours), words(ageing.Colours)) {
		t.Error("the words of a look differ between the round and the ageing model")
	}
	for _, s := range round.Smells {
		if s.Bad() != ageing.Smell(s).Bad() {
			t.Errorf("smell %s stops in one and not in the other", s)
		}
	}
	for _, c := range round.Colours {
		if c.Stops() != ageing.Colour(c).Stops() {
			t.Errorf("mould of colour %s stops in one and not in the other", c)
		}
	}
}

func words[S ~string](list []S) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	slices.Sort(out)
	return out
}
