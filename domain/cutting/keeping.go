package cutting

import (
	"slices"
	"time"

	"coldrail/domain"
)

// InKeeping are the kinds of piece that are worth more to somebody else than their
// meat: each has a place, a time by which it is frozen, and goes to a named person
// who signs (trade.md 1.9).
var InKeeping = []PieceKind{HeadPiece, CapePiece, AntlersPiece, HidePiece}

// Kept reports whether the piece is kept for somebody.
func (k PieceKind) Kept() bool { return slices.Contains(InKeeping, k) }

// ToPerson reports whether who takes a piece that goes this way is named and signs.
func (k PieceKind) ToPerson(way string) bool {
	return k.GoesBack() && (way == GoneOwner || way == GoneTaxidermist || way == GoneSampler)
}

// FreezeSoon is how long before its time a piece is shown as due.
const FreezeSoon = 2 * time.Hour

// MayGo says whether a piece may leave this way. While a disease sample is wanted
// and not taken the head stays, and goes to nobody but the sampler: without it there
// is nothing to test (trade.md 1.9).
func (k PieceKind) MayGo(way string, sampleWanted bool) error {
	switch {
	case (k == SidePiece || k == QuarterPiece) && way == GoneOwner:
		return domain.Refuse("gone", "A side or a quarter does not leave like that. Pack it, put it in a box, and hand the box over at pick-up.")
	case !slices.Contains(k.Ways(), way):
		return domain.Wrong("gone", "Say where it went.")
	case k == HeadPiece && sampleWanted && way != GoneSampler:
		return domain.Refuse("gone", "A disease sample of this animal is wanted and has not been taken. The head stays until it is, or goes to the sampler.")
	}
	return nil
}

// CheckHours says whether a piece can be given so many hours to be frozen; 0 is none.
func CheckHours(field string, hours int) error {
	if hours < 0 || hours > 240 {
		return domain.Wrong(field, "Give the hours after it came off, 1 to 240, or leave it empty if it need not be frozen.")
	}
	return nil
}
