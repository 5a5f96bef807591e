package cutting

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// Portion is what one owner of a shared animal has: a side, or half of one (a
// mixed quarter). Empty is the whole animal. Every portion has an order of its
// own (trade.md 3.2).
type Portion string

// The portions.
const (
	WholeAnimal Portion = ""
	Left        Portion = "L"
	Right       Portion = "R"
	LeftOne     Portion = "L1"
	LeftTwo     Portion = "L2"
	RightOne    Portion = "R1"
	RightTwo    Portion = "R2"
)

// AllPortions lists them; their places are part of the links sent to owners and stay.
var AllPortions = []Portion{WholeAnimal, Left, Right, LeftOne, LeftTwo, RightOne, RightTwo}

var portionWords = map[Portion]string{
	WholeAnimal: "the whole animal", Left: "left half", Right: "right half", LeftOne: "left half, first quarter", LeftTwo: "left half, second quarter",
	RightOne: "right half, first quarter", RightTwo: "right half, second quarter",
}

// Portions lists how an animal with this sheet may be sold.
func (s Sheet) Portions() []Portion {
	switch {
	case s.Most > 2:
		return AllPortions
	case s.Most == 2:
		return []Portion{WholeAnimal, Left, Right}
	}
	return []Portion{WholeAnimal}
}

// ShareLimit is into how many shares a rule of the state lets an animal be sold. The
// zero limit says nothing: then the portions of the kind's own sheet count.
type ShareLimit struct {
	Most  int
	Says  string
	Cites string
}

// Sold is the sheet with the portions the limit allows; more than four parts no
// carcass is cut into here.
func (s Sheet) Sold(by ShareLimit) Sheet {
	if by.Most > 0 {
		s.Most = min(by.Most, len(Quarters))
	}
	return s
}

// Words names the portion as the shop says it.
func (p Portion) Words() domain.Words { return domain.Say(portionWords[p]) }

// Quarters is how many quarters of the animal the portion is: four of the whole, two
// of a side, one.
func (p Portion) Quarters() int64 { return 4 >> len(p) }

// Overlaps reports whether the two portions share meat: an order for one then
// takes the place of an order for the other.
func (p Portion) Overlaps(q Portion) bool {
	return strings.HasPrefix(string(p), string(q)) || strings.HasPrefix(string(q), string(p))
}

// NotAsked lists the portions whose owner has not ordered, given those that
// have: together with them they make the whole animal. A side is asked for whole
// unless somebody has ordered a quarter of it.
func NotAsked(ordered []Portion) (missing []Portion) {
	if len(ordered) == 0 || slices.Contains(ordered, WholeAnimal) {
		return nil
	}
	for _, side := range []Portion{Left, Right} {
		if slices.Contains(ordered, side) {
			continue
		}
		one, two := slices.Contains(ordered, side+"1"), slices.Contains(ordered, side+"2")
		switch {
		case !one && !two:
			missing = append(missing, side)
		case !one:
			missing = append(missing, side+"1")
		case !two:
			missing = append(missing, side+"2")
		}
	}
	return missing
}

// CheckMates says whether two owners of mixed quarters can both have what they
// ordered. Their quarters come off the same side, which is broken once: the same
// short loin cannot give one of them T-bones and the other strip and fillet
// (trade.md 3.2, and section 9, 17).
func CheckMates(a, b Order) error {
	if len(a.Portion) != 2 || len(b.Portion) != 2 || a.Portion[0] != b.Portion[0] || a.Portion == b.Portion {
		return nil
	}
	for _, p := range []Part{ShortLoin, Rib} {
		mine, yours := boned(a, p), boned(b, p)
		if mine != "" && yours != "" && mine != yours {
			return domain.Refuse("mates", "The other quarter of this half has %s: %s. It is one %s, so both owners must agree on bone in or boneless. Ask them.",
				p.Words(), yours.Words(), p.Words())
		}
	}
	return nil
}

// Conflict is two owners of one animal who cannot both have what they ordered.
type Conflict struct {
	A, B Portion
	Why  domain.Words
}

// Conflicts compares every two orders of an animal.
func Conflicts(orders []Order) (found []Conflict) {
	for i, a := range orders {
		for _, b := range orders[i+1:] {
			if CheckMates(a, b) == nil {
				continue
			}
			for _, p := range []Part{ShortLoin, Rib} {
				if mine, yours := boned(a, p), boned(b, p); mine != "" && yours != "" && mine != yours {
					found = append(found, Conflict{A: a.Portion, B: b.Portion, Why: domain.Say("%s: the %s wants %s, the %s wants %s. It is one %s, cut one way.",
						p.Words(), a.Portion.Words(), mine.Words(), b.Portion.Words(), yours.Words(), p.Words())})
				}
			}
		}
	}
	return found
}

// boned is the order's way with a part of the spine: one with the bone in and one
// without cannot come off the same piece. Grind is either. Empty: not ordered.
func boned(o Order, p Part) (t Treatment) {
	for _, l := range o.Lines {
		if l.Part == p && l.Treatment != Grind {
			t = l.Treatment
		}
	}
	if p == Rib && t.spineBone() {
		return BoneInSteaks // prime roast and bone-in steaks can share a rib
	}
	return t
}
