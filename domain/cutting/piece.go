package cutting

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// PieceKind is what came off the animal apart and must stay traceable.
type PieceKind string

// The kinds of piece (trade.md Annex A).
const (
	SidePiece    PieceKind = "side"
	QuarterPiece PieceKind = "quarter"
	TubPiece     PieceKind = "tub" // of trim
	HeadPiece    PieceKind = "head"
	CapePiece    PieceKind = "cape"
	AntlersPiece PieceKind = "antlers"
	HidePiece    PieceKind = "hide"
	HeartPiece   PieceKind = "heart"
)

// PieceKinds lists what a person takes off and labels, in the order it comes.
// Sides are made by the scale when the carcass is hung.
var PieceKinds = []PieceKind{TubPiece, QuarterPiece, HeadPiece, CapePiece, AntlersPiece, HidePiece, HeartPiece}

// marks are the letters behind the shop number. There is one head, but any number
// of tubs.
var marks = map[PieceKind][]string{
	SidePiece: {"L", "R"}, QuarterPiece: {"LF", "LH", "RF", "RH"}, HeadPiece: {"H"}, CapePiece: {"C"}, AntlersPiece: {"A"},
	HidePiece: {"D"}, HeartPiece: {"E"}, TubPiece: tubMarks(),
}

func tubMarks() []string {
	list := []string{"T"}
	for c := 'A'; c <= 'Z'; c++ {
		list = append(list, "T"+string(c))
	}
	return list
}

var pieceWords = map[PieceKind]string{
	SidePiece: "side", QuarterPiece: "quarter", TubPiece: "tub of trim", HeadPiece: "head", CapePiece: "cape", AntlersPiece: "antlers",
	HidePiece: "hide", HeartPiece: "heart",
}

var trimWords = map[string]string{
	"bone": "bone", "fat": "fat", "shot": "shot meat", "mould": "mold", "dirt": "dirt", "dried": "dried crust", "other": "something else",
}

// TrimWords names what was cut away as the shop says it.
func TrimWords(kind string) domain.Words { return domain.Say(trimWords[kind]) }

// Words names the kind as the shop says it.
func (k PieceKind) Words() domain.Words { return domain.Say(pieceWords[k]) }

// NextMark gives the letters for the next piece of this kind, beside those the
// animal's other pieces have.
func NextMark(kind PieceKind, taken []string) (string, error) {
	if !slices.Contains(PieceKinds, kind) {
		return "", domain.Wrong("kind", "Say what came off: a tub, a quarter, the head, the cape, the antlers, the hide or the heart.")
	}
	for _, m := range marks[kind] {
		if !slices.Contains(taken, m) {
			return m, nil
		}
	}
	return "", domain.Refuse("piece", "This animal's %s has its number already. Look at the list of its pieces.", kind.Words())
}

// PieceCode is the text in the barcode of a piece: the seven digits and its
// letters, such as "2601473TA".
func PieceCode(animal domain.ShopNumber, mark string) string { return animal.Digits() + mark }

// PieceName is how a piece is written for people: the shop number and its letters, such
// as "26-0147-3-TA".
func PieceName(animal domain.ShopNumber, mark string) string { return string(animal) + "-" + mark }

// ParsePieceCode reads the label of a piece, scanned or typed.
func ParsePieceCode(at, typed string) (domain.ShopNumber, string, error) {
	text := strings.ToUpper(strings.TrimSpace(typed))
	digits := strings.TrimRight(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	mark := text[len(digits):]
	if !slices.ContainsFunc([]PieceKind{SidePiece, QuarterPiece, TubPiece, HeadPiece, CapePiece, AntlersPiece, HidePiece, HeartPiece},
		func(k PieceKind) bool { return slices.Contains(marks[k], mark) }) {
		return "", "", domain.Wrong(at, "%s is not the label of a piece. It reads like 2601473TA.", typed)
	}
	number, err := domain.ParseShopNumber(at, digits)
	return number, mark, err
}

// Where a piece can go. A tub that was ground and packed here is in the packs;
// one that went into a batch is still to come back.
const (
	GonePacked      = "packed"
	GoneBatch       = "batch"
	GoneOwner       = "owner"
	GoneTaxidermist = "taxidermist"
	GoneSampler     = "sampler"
	GoneDiscarded   = "discarded"
)

// Ways lists where a piece of this kind may go. Sides and quarters are meat: what the
// owner gets of them leaves in boxes, over the counter.
func (k PieceKind) Ways() []string {
	switch k {
	case TubPiece:
		return []string{GonePacked, GoneBatch, GoneDiscarded}
	case HeadPiece:
		return []string{GoneOwner, GoneTaxidermist, GoneSampler, GoneDiscarded}
	case CapePiece, AntlersPiece, HidePiece:
		return []string{GoneOwner, GoneTaxidermist, GoneDiscarded}
	case HeartPiece:
		return []string{GonePacked, GoneOwner, GoneDiscarded}
	}
	return []string{GonePacked, GoneDiscarded}
}

// GoesBack reports a kind that an owner asks for beside the meat.
func (k PieceKind) GoesBack() bool {
	return k == HeadPiece || k == CapePiece || k == AntlersPiece || k == HidePiece || k == HeartPiece
}

var wayWords = map[string]string{
	GonePacked: "cut up and packed", GoneBatch: "into a batch", GoneOwner: "to the owner", GoneTaxidermist: "to the taxidermist",
	GoneSampler: "to the sampler", GoneDiscarded: "thrown away",
}

// WayWords says where a piece went.
func WayWords(way string) domain.Words { return domain.Say(wayWords[way]) }

// CheckTubs compares the tubs counted at the day's close with those open in the
// book. What has no number is found now or never (trade.md section 9, 14).
func CheckTubs(counted, open int) error {
	switch {
	case counted > open:
		return domain.Wrong("counted", "You count %d, the book has %d. A tub without a number stands there: weigh it, and never guess whose it is. Ask who cut last and look at the labels around it.", counted, open)
	case counted < open:
		return domain.Wrong("counted", "You count %d, the book has %d. One is missing, or went into the grinder and nobody wrote it down. Go through the list below.", counted, open)
	}
	return nil
}
