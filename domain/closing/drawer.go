package closing

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// Denominations are the notes and coins the drawer is counted by, the largest
// first: the notes the Federal Reserve issues ($1 to $100) and the coins the United
// States Mint makes for circulation. From memory. Dollar coins count with the ones.
var Denominations = []domain.Cents{10000, 5000, 2000, 1000, 500, 200, 100, 50, 25, 10, 5, 1}

// mostPieces of one kind fit a drawer; more is a slip of the finger. Common
// practice, no source.
const mostPieces = 2000

// mostCash is the largest amount a drawer is believed to hold: $100,000.
const mostCash domain.Cents = 10_000_000

// Pieces is how many there are of each note or coin.
type Pieces map[domain.Cents]int

// Total adds the pieces up.
func (p Pieces) Total() (sum domain.Cents, err error) {
	for worth, n := range p {
		if !slices.Contains(Denominations, worth) {
			return 0, domain.Wrong("counted", "There is no piece of %v.", worth)
		}
		if n < 0 || n > mostPieces {
			return 0, domain.Wrong("counted", "%d pieces of %v cannot be right. Count them again.", n, worth)
		}
		sum += worth * domain.Cents(n)
	}
	return sum, nil
}

// Drawer is the cash at the end of the day.
type Drawer struct {
	Float   domain.Cents // what lay in it at the beginning
	Taken   domain.Cents // cash taken since, less cash given back
	Counted domain.Cents // what lies in it now
	Out     domain.Cents // what is taken out of it, for the bank or the safe
	Why     string       // it differs from what it should be
}

// Expected is what should lie in it: float + taken.
func (d Drawer) Expected() domain.Cents { return d.Float + d.Taken }

// Difference is counted - expected: below zero something is missing.
func (d Drawer) Difference() domain.Cents { return d.Counted - d.Expected() }

// Left is what lies in it tomorrow morning: counted - out.
func (d Drawer) Left() domain.Cents { return d.Counted - d.Out }

// Check refuses a count that cannot be, and a difference without a reason.
func (d Drawer) Check() error {
	switch {
	case d.Float < 0 || d.Float > mostCash:
		return domain.Wrong("float", "Type what lay in the drawer at the beginning.")
	case d.Counted < 0 || d.Counted > mostCash:
		return domain.Wrong("counted", "That cannot lie in the drawer. Count it again.")
	case d.Out < 0 || d.Out > d.Counted:
		return domain.Wrong("out", "Only the %v that were counted can be taken out.", d.Counted)
	case d.Difference() != 0 && strings.TrimSpace(d.Why) == "":
		return domain.Wrong("why", "The drawer should hold %v and %v were counted. Count again, or say what the difference is.", d.Expected(), d.Counted)
	}
	return nil
}
