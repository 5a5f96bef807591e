package cutting

import (
	"slices"
	"strings"
	"time"

	"coldrail/domain"
)

// Buyer is one owner's part of an animal, bought while it lived.
type Buyer struct {
	Portion  Portion
	Name     string
	Phone    string
	SoldOn   time.Time // midnight of the day in the shop's zone
	Evidence string    // bill of sale, the farmer's list
}

// Kill is what is entered about livestock as it is killed, or as it comes in killed.
type Kill struct {
	ThirtyMonths string // of cattle: "yes" or "no"
	KnownBy      string // teeth or papers
	Note         string
	SaidBy       string // who says that it is the owners' own, for their own table
	Household    bool
	Shares       []Buyer
}

// Check holds a kill against what custom work without inspection may be done on:
// each owner had their part before the kill, the parts make the whole animal, and
// the meat is for the owners' households, guests and employees.
//
// Source: 21 USC 623 for the exemption; 9 CFR 303.1 from memory. Into how many parts
// it may be sold is the state's rule; where there is none, trade.md 3.2 (beef to
// quarters, hogs, sheep and goats to halves).
func (k Kill) Check(s domain.Species, killed time.Time, limit ShareLimit) error {
	sheet := SheetOf(s)
	switch {
	case s.Game():
		return domain.Refuse("kill", "This page is for livestock. Game has its tag and its register line.")
	case strings.TrimSpace(k.SaidBy) == "":
		return domain.Wrong("said_by", "Write who says so: the farmer or an owner.")
	case !k.Household:
		return domain.Refuse("household", "Without inspection the meat may go to the owners' own households, guests and employees alone. If any of it is to be sold or given further, it belongs under inspection: ask your inspector first.")
	case sheet.AsksMonth && k.ThirtyMonths != "yes" && k.ThirtyMonths != "no":
		return domain.Wrong("thirty_months", "Say whether it was 30 months or older. If neither papers nor teeth tell, treat it as older.")
	case sheet.AsksMonth && k.KnownBy != "teeth" && k.KnownBy != "papers":
		return domain.Wrong("known_by", "Say how its age is known: by its teeth or its papers.")
	case len(k.Shares) == 0:
		return domain.Wrong("shares", "Write down who owned it before the kill.")
	}
	if limit.Most > 0 && len(k.Shares) > limit.Most {
		return domain.Refuse("shares", "It may be sold to %d owners at most (%s), and here are %d. Ask your inspector before anything of it is cut.", limit.Most, limit.Cites, len(k.Shares))
	}
	return checkBuyers(k.Shares, sheet.Sold(limit), killed)
}

// Corrects holds a line that puts a kill entry right against the entry as it stood:
// it needs a reason, and has to change something.
func (k Kill) Corrects(stood Kill, why string) error {
	switch {
	case strings.TrimSpace(why) == "":
		return domain.Wrong("why", "Write what was wrong, and how you know it now.")
	case k.ThirtyMonths == stood.ThirtyMonths && k.KnownBy == stood.KnownBy && strings.TrimSpace(k.Note) == stood.Note && sameBuyers(k.Shares, stood.Shares):
		return domain.Wrong("why", "Nothing is different from what stands. Change what was wrong.")
	}
	return nil
}

// sameBuyers compares owners part by part, in whatever order they stand. The day of
// those that stand is the calendar's, midnight in UTC.
func sameBuyers(a, b []Buyer) bool {
	for _, sh := range a {
		if !slices.ContainsFunc(b, func(o Buyer) bool {
			day := o.SoldOn.UTC().Format(time.DateOnly) == sh.SoldOn.Format(time.DateOnly)
			return day && o.Portion == sh.Portion && o.Name == strings.TrimSpace(sh.Name) && o.Phone == strings.TrimSpace(sh.Phone) && o.Evidence == strings.TrimSpace(sh.Evidence)
		}) {
			return false
		}
	}
	return len(a) == len(b)
}

func checkBuyers(shares []Buyer, sheet Sheet, killed time.Time) error {
	portions := make([]Portion, len(shares))
	for i, sh := range shares {
		switch {
		case !slices.Contains(sheet.Portions(), sh.Portion):
			return domain.Wrong("shares", "This kind is not sold in such portions. Choose again.")
		case strings.TrimSpace(sh.Name) == "":
			return domain.Wrong("shares", "Write who owns the %s.", sh.Portion.Words())
		case strings.TrimSpace(sh.Evidence) == "":
			return domain.Wrong("shares", "Write how the sale of the %s is known: a bill of sale, the farmer's list.", sh.Portion.Words())
		case sh.SoldOn.After(killed):
			return domain.Refuse("shares", "The %s was sold after the kill. A part of an animal can be owned for custom work only if it was bought while the animal lived: ask your inspector what may be done now.", sh.Portion.Words())
		}
		for _, other := range portions[:i] {
			if other.Overlaps(sh.Portion) {
				return domain.Wrong("shares", "Two owners have the %s. Say who has which part.", sh.Portion.Words())
			}
		}
		portions[i] = sh.Portion
	}
	if missing := NotAsked(portions); len(missing) > 0 {
		return domain.Wrong("shares", "Nobody is written down for the %s.", missing[0].Words())
	}
	return nil
}

// SpineParts are what is taken out of cattle 30 months and older, and of all cattle
// the last two (9 CFR 310.22).
var SpineParts = []string{"head", "cord", "spine", "tonsils", "ileum"}

var spineWords = map[string]string{
	"head": "skull with brain and eyes, trigeminal ganglia", "cord": "spinal cord", "spine": "spine with the neck's, dorsal root ganglia",
	"tonsils": "tonsils", "ileum": "end of the small intestine",
}

// SpineWords names a part that is taken out.
func SpineWords(part string) domain.Words { return domain.Say(spineWords[part]) }

// CheckSpine says whether all of it is out, weighed, denatured and in a barrel.
func CheckSpine(parts []string, kg domain.Kilogram, barrel, denatured string) error {
	for _, p := range SpineParts {
		if !slices.Contains(parts, p) {
			return domain.Wrong("parts", "Not ticked: %s. Take it out, then tick it.", SpineWords(p))
		}
	}
	switch {
	case len(parts) != len(SpineParts):
		return domain.Wrong("parts", "Tick what was taken out from the list.")
	case !(kg > 0 && kg <= 1500):
		return domain.Wrong("srm_weight", "Weigh what was taken out.")
	case strings.TrimSpace(denatured) == "":
		return domain.Wrong("denatured", "Say what it was denatured with, so that nobody takes it for meat.")
	case strings.TrimSpace(barrel) == "":
		return domain.Wrong("barrel", "Say which marked barrel it is in.")
	}
	return nil
}

// Quarters are where NOT FOR SALE is stamped.
var Quarters = []string{"LF", "LH", "RF", "RH"}

// QuartersOf are the quarters that meat of these portions is of. Half of a side is of
// both its quarters, as a side is broken whole and then shared (trade.md 3.2).
func QuartersOf(portions []Portion) (of []string) {
	for _, q := range Quarters {
		side := Portion(q[:1])
		if slices.ContainsFunc(portions, func(p Portion) bool { return p.Overlaps(side) }) {
			of = append(of, q)
		}
	}
	return of
}

// MayLeave refuses to let meat of livestock go before each quarter it is of is written
// down as marked NOT FOR SALE. What came boned has no quarters: its packs carry the
// mark.
//
// Source: 9 CFR 316.16 and 317.16 (2019): custom carcasses and parts are marked as they
// are prepared, and the packs at once. Game goes by the label of its packs.
func MayLeave(s domain.Species, f domain.Form, of, stamped []string) error {
	if s.Game() || f == domain.Boned {
		return nil
	}
	var missing []string
	for _, q := range of {
		if !slices.Contains(stamped, q) {
			missing = append(missing, q)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return domain.Refuse("stamp", "NOT FOR SALE is not stamped yet: %s. Mark the meat and each box of it, and write down on the page of its kill that it is done; then it may leave.", strings.Join(missing, ", "))
}
