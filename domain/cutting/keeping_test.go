package cutting_test

import (
	"strings"
	"testing"

	"coldrail/domain"
	"coldrail/domain/cutting"
)

// trade.md 1.9: a head that is needed for a test must not be gone before the sampler
// has had it; each of the four is signed for. That a piece thrown away is signed by
// nobody is common practice, no source.
func TestHeadStaysForTheSampler(t *testing.T) {
	for _, c := range []struct {
		kind   cutting.PieceKind
		way    string
		wanted bool
		says   string
	}{
		{cutting.HeadPiece, cutting.GoneTaxidermist, true, "goes to the sampler"},
		{cutting.HeadPiece, cutting.GoneDiscarded, true, "goes to the sampler"},
		{cutting.HeadPiece, cutting.GoneSampler, true, ""},
		{cutting.HeadPiece, cutting.GoneTaxidermist, false, ""},
		{cutting.CapePiece, cutting.GoneTaxidermist, true, ""}, // the cape comes off before the sample
		{cutting.CapePiece, cutting.GoneSampler, false, "Say where it went"},
		{cutting.TubPiece, cutting.GoneOwner, false, "Say where it went"},
	} {
		err := c.kind.MayGo(c.way, c.wanted)
		if c.says == "" && err != nil || c.says != "" && (err == nil || !strings.Contains(domain.As(err).Error(), c.says)) {
			t.Errorf("%s %s, wanted %v: %v", c.kind, c.way, c.wanted, err)
		}
	}
	if !cutting.CapePiece.ToPerson(cutting.GoneTaxidermist) || cutting.CapePiece.ToPerson(cutting.GoneDiscarded) || cutting.TubPiece.ToPerson(cutting.GonePacked) {
		t.Error("who signs")
	}
	if cutting.CheckHours("cape", 12) != nil || cutting.CheckHours("cape", 0) != nil || cutting.CheckHours("cape", 241) == nil || cutting.CheckHours("cape", -1) == nil {
		t.Error("hours")
	}
}
