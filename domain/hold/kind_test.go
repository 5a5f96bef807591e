package hold

import (
	"slices"
	"testing"
)

// What each hold forbids, as the trade has it.
func TestBlocks(t *testing.T) {
	for _, tt := range []struct {
		kind   Kind
		blocks []Act
		src    string
	}{
		{TestPending, []Act{Cut, Pool, Release}, "trade.md 2.4: do not cut while pending (MSU); gate for pool and release, Annex B"},
		{Positive, []Act{Cut, Pool, Release}, "trade.md 2.5, step 1: hold everything with that number"},
		{Warden, []Act{Cut, Pool, Release, Move}, "trade.md 5.4: locked or taped; nobody moves it"},
		{Tag, []Act{Cut, Pool, Release}, "trade.md 6.1: tag and register complete"},
		{Identity, []Act{Cut, Pool, Release}, "trade.md 6.1: identity certain"},
		{OrderIncomplete, []Act{Cut, Pool}, "trade.md 6.1: order complete; 1.4: hang it, finish by phone"},
		{Payment, []Act{Release}, "trade.md 7.2: no release with balance"},
		{Quality, []Act{Cut, Pool, Release}, "trade.md 6.1: no open hold (quality)"},
		{Temperature, []Act{Cut, Pool, Release}, "trade.md 9.3: decisions before anything leaves"},
		{ShareMate, []Act{Cut}, "trade.md 6.1: share-mates' orders complete"},
		{Dispute, []Act{Cut, Pool, Release}, "Annex B: family hold; release only with paper"},
	} {
		for _, a := range Acts {
			if want := slices.Contains(tt.blocks, a); tt.src == "" || tt.kind.Blocks(a) != want {
				t.Errorf("%s blocks %s: %v, want %v (%s)", tt.kind, a, !want, want, tt.src)
			}
		}
	}
}

func TestEveryKindIsWhole(t *testing.T) {
	if len(Kinds) != len(blocks) || len(Kinds) != len(kindWords) {
		t.Errorf("%d kinds, %d with blocks, %d with words", len(Kinds), len(blocks), len(kindWords))
	}
	for _, k := range Kinds {
		if len(blocks[k]) == 0 || kindWords[k] == "" || Needed(k).Format == Needed("").Format {
			t.Errorf("%s forbids nothing, has no words, or nothing ends it", k)
		}
	}
	if Kind("mood").Known() || Kind("mood").Words().String() != "mood" {
		t.Error("an unknown kind passes as known")
	}
}

// What an owner must hear from a person (design.md, What must always hold).
func TestTellByMouth(t *testing.T) {
	for _, k := range Kinds {
		calm := slices.Contains([]Kind{TestPending, OrderIncomplete, Payment, ShareMate}, k)
		if k.TellByMouth() == calm {
			t.Errorf("%s: told by mouth %v", k, k.TellByMouth())
		}
	}
	if !Kind("mood").TellByMouth() {
		t.Error("an unknown hold would show on a page")
	}
}
