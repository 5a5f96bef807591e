package cutting

import (
	"cmp"
	"slices"

	"coldrail/domain"
)

// Packs is one line from the wrapping table: some packs of one cut, weighed
// together, in one box.
type Packs struct {
	Cut   string
	Count int
	Net   domain.Kilogram // of all of them
	Box   int             // 0: not boxed yet
}

// Check says whether the line can be taken.
func (p Packs) Check() error {
	switch {
	case p.Cut == "":
		return domain.Wrong("cut", "Say what is in the packs.")
	case p.Count < 1 || p.Count > 500:
		return domain.Wrong("count", "Count the packs again.")
	case !(p.Net > 0 && p.Net <= maxLine):
		return domain.Wrong("weight", "That weight cannot be right. Weigh the packs again.")
	case p.Box < 0:
		return domain.Wrong("box", "Boxes are numbered from 1.")
	}
	return nil
}

// Total is packs and weight of a box, or of everything.
type Total struct {
	Box   int
	Packs int
	Net   domain.Kilogram
}

// Totals returns the total of each box in order of its number, the packs not
// yet boxed (box 0) first, and the total of all.
func Totals(lines []Packs) (boxes []Total, all Total) {
	for _, p := range lines {
		i := slices.IndexFunc(boxes, func(t Total) bool { return t.Box == p.Box })
		if i < 0 {
			boxes = append(boxes, Total{Box: p.Box})
			i = len(boxes) - 1
		}
		boxes[i].Packs += p.Count
		boxes[i].Net += p.Net
		all.Packs += p.Count
		all.Net += p.Net
	}
	slices.SortFunc(boxes, func(a, b Total) int { return cmp.Compare(a.Box, b.Box) })
	return boxes, all
}
