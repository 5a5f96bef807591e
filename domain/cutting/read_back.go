package cutting

import (
	"fmt"
	"strconv"
	"strings"

	"coldrail/domain"
)

// Words reads one line of an order aloud, without the part: "the rest: steaks,
// 3/4 in thick, 4 to a pack".
func (l Line) Words() domain.Words {
	w := l.Treatment.Words()
	if l.Flavour != "" {
		w = domain.Say("%s, %s", w, l.Flavour)
	}
	if l.Fat != "" {
		w = domain.Say("%s, %s percent fat", w, l.Fat)
	}
	if l.Thickness != "" {
		w = domain.Say("%s, %s in thick", w, l.Thickness)
	}
	if l.Size != "" {
		w = domain.Say("%s, %s each", w, l.Size)
	}
	if l.PerPack != "" {
		w = domain.Say("%s, %s to a pack", w, l.PerPack)
	}
	amount, err := ParseAmount("amount", l.Amount)
	switch {
	case err != nil: // as it was written down
		return domain.Say("%s: %s", strings.TrimSpace(l.Amount), w)
	case amount.Share == Half:
		return domain.Say("half: %s", w)
	case amount.Share == Rest:
		return domain.Say("the rest: %s", w)
	case amount.Share == ByWeight:
		return domain.Say("%s: %s", amount.Weight, w)
	}
	return w
}

// Words says what may be mixed in, so that nobody has to guess from a blank.
func (a AddedMeat) Words() domain.Words {
	switch a {
	case NoneAdded:
		return domain.Say("No pork and no beef in it.")
	case Pork:
		return domain.Say("Pork may be mixed in.")
	case Beef:
		return domain.Say("Beef may be mixed in, no pork.")
	}
	return domain.Say("Not asked yet whether pork or beef may be mixed in: add nothing.")
}

// boxHolds is the most that goes into one box: 20 kg (44 lb) is what one person
// lifts all day. Common practice, no source.
const boxHolds domain.Kilogram = 20

// FillBoxes proposes a box for each line of packs, in the order given: the next
// box begins when the one at hand would hold more than boxHolds. A line heavier
// than that has a box of its own. Boxes count from 1.
func FillBoxes(lines []domain.Kilogram) (boxOf []int, boxes int) {
	boxOf = make([]int, len(lines))
	var in domain.Kilogram
	for i, kg := range lines {
		if boxes == 0 || in+kg > boxHolds {
			boxes, in = boxes+1, 0
		}
		in += kg
		boxOf[i] = boxes
	}
	return boxOf, boxes
}

// SheetCode is the text in the square of a cut sheet: the number and the version
// of the order it was printed from, such as "2601473V2".
func SheetCode(number domain.ShopNumber, version int) string {
	return fmt.Sprintf("%sV%d", number.Digits(), version)
}

// ParseSheetCode reads the square of a cut sheet, scanned or typed.
func ParseSheetCode(at, typed string) (domain.ShopNumber, int, error) {
	digits, version, found := strings.Cut(strings.ToUpper(strings.TrimSpace(typed)), "V")
	v, err := strconv.Atoi(version)
	if !found || err != nil || v < 1 {
		return "", 0, domain.Wrong(at, "%s is not the square of a cut sheet. It reads like 2601473V2.", typed)
	}
	number, err := domain.ParseShopNumber(at, digits)
	return number, v, err
}
