package cutting

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// Line is one line of an order, as written.
type Line struct {
	Part      Part
	Treatment Treatment
	Thickness string // one of Thicknesses, or empty
	Size      string // "3 lb" roasts, as the owner said it
	PerPack   string // "4", as the owner said it
	Amount    string // see ParseAmount
	Flavour   string // of sausage, sticks and jerky: "garlic", "jalapeno and cheese"
	Fat       string // of burger: one of Fats, or empty
}

// AddedMeat is what may be mixed in. It has to be asked, and an answer given:
// "no pork" misread has hurt people (trade.md section 9, 8).
type AddedMeat string

// The answers. Empty: not asked yet.
const (
	NoneAdded AddedMeat = "none"
	Pork      AddedMeat = "pork"
	Beef      AddedMeat = "beef"
)

// Order is what one owner wants done with one animal, or with their portion of it.
type Order struct {
	Portion     Portion
	ForWhom     string // whose portion it is; empty for a whole animal
	Lines       []Line
	OwnMeatOnly bool // nothing of it goes into a batch with other people's
	Added       AddedMeat
	FallBack    string // what gives way if a part is lost
	Lost        []Part // what was seen to be lost to damage
}

// About is what the shop knows of the animal the order is for.
type About struct {
	Species  domain.Species
	Form     domain.Form
	Damaged  bool            // a bad fault at the door
	TestZone bool            // from a disease zone: no saw through the spine, no pooling
	Held     bool            // held: no pooling
	Shares   ShareLimit      // into how many it may be sold by the state's rule
	Months   string          // of cattle, from the kill entry: "yes" where 30 months or older, "no", empty where it is not entered
	Expected domain.Kilogram // the most boneless meat it may give; 0 is not known
	Usual    domain.Kilogram // what such an animal usually gives; 0 is not known
}

// minSpecial is the least meat worth a batch of its own, 10 lb a flavour, the low
// end of trade.md 6.2 (common practice, no source).
var minSpecial = domain.Pounds(10)

// Check says whether an order contradicts the animal or itself; the first thing
// wrong comes back. An order with gaps passes: Gaps lists those.
func (o Order) Check(a About) error {
	sheet := SheetOf(a.Species)
	if !slices.Contains(sheet.Sold(a.Shares).Portions(), o.Portion) {
		return domain.Wrong("portion", "This kind is not sold in such portions. Choose again.")
	}
	for _, l := range o.Lines {
		if err := o.checkLine(l, a, sheet); err != nil {
			return err
		}
	}
	if o.Added != "" && o.Added != NoneAdded && o.Added != Pork && o.Added != Beef {
		return domain.Wrong("added_meat", "Say what may be mixed in: nothing, pork or beef.")
	}
	if !o.OwnMeatOnly && (a.Held || a.TestZone) {
		return domain.Refuse("pool", "Held animals and those from a test zone are worked alone. Set the order to own meat only.")
	}
	for _, c := range sheet.Parts {
		if err := o.checkShares(c.Part); err != nil {
			return err
		}
	}
	return o.checkWeight(a)
}

func (o Order) checkLine(l Line, a About, sheet Sheet) error {
	if !sheet.Has(l.Part) {
		return domain.Wrong("part", "Choose a part of the animal.")
	}
	if l.Treatment == JerkySlices && l.Part != Hind && l.Part != Round {
		return domain.Wrong("treatment", "Whole-slice jerky is cut from the hinds. Take it there, or ground jerky from the trim.")
	}
	if !sheet.Allows(l.Part, l.Treatment) {
		return domain.Wrong("treatment", "That cannot be done with the %s. Choose again.", l.Part.Words())
	}
	if slices.Contains(o.Lost, l.Part) && l.Treatment != Discard && l.Treatment != Grind {
		return domain.Wrong("part", "Lost to damage: %s. Ask the owner what to do instead of %s.", l.Part.Words(), l.Treatment.Words())
	}
	if l.Treatment.spineBone() && a.TestZone {
		return domain.Refuse("zone", "From a test zone nothing is sawn through the spine. Offer boneless chops.")
	}
	if l.Treatment.spineBone() && a.Months == "yes" && a.Older() {
		return domain.Refuse("months", "Of cattle 30 months or older the spine is taken out: no %s. Offer it boneless: %s.", l.Treatment.Words(), domain.Say(l.Treatment.boneless()))
	}
	if l.Thickness != "" && !l.Treatment.thicknessFits(l.Thickness) {
		return domain.Wrong("thickness", "Choose a thickness from the list that goes with %s.", l.Treatment.Words())
	}
	return o.checkMix(l)
}

// checkMix holds what goes into grind and sausage against what may be mixed in
// and against the least a batch takes.
func (o Order) checkMix(l Line) error {
	if l.Fat != "" && (!slices.Contains(Fats, l.Fat) || l.Treatment != Burger) {
		return domain.Wrong("fat", "Fat is mixed into burger: 0, 5, 10, 15 or 20 percent.")
	}
	if l.Fat != "" && l.Fat != "0" && o.Added == NoneAdded {
		return domain.Wrong("added_meat", "The burger is to have %s percent fat, and nothing may be mixed in. Ask which of the two is meant.", l.Fat)
	}
	amount, err := ParseAmount("amount", l.Amount)
	if err != nil {
		return err
	}
	if amount.Share == ByWeight && l.Treatment.special() && amount.Weight < minSpecial-0.001 {
		return domain.Wrong("amount", "Less than %v of a flavor is too little for a batch of %s.", minSpecial, l.Treatment.Words())
	}
	return nil
}

// checkShares: what the lines take of one part must be there. All is all, two
// halves are the most, and one line at most takes the rest. There are two
// backstraps, so chops and whole go together only as half and half.
func (o Order) checkShares(p Part) error {
	count := map[Share]int{}
	lines := 0
	for _, l := range o.Lines {
		if l.Part != p {
			continue
		}
		amount, err := ParseAmount("amount", l.Amount)
		if err != nil {
			return err
		}
		count[amount.Share]++
		lines++
	}
	switch {
	case p == Backstrap && count[All] > 0 && lines > 1:
		return domain.Wrong("amount", "The backstraps cannot be all of one and something else too. There are two: take half and half, or one way only.")
	case count[All] > 0 && lines > 1:
		return domain.Wrong("amount", "One line takes all of the %s; the other has nothing left.", p.Words())
	case count[Rest] > 1:
		return domain.Wrong("amount", "Two lines take the rest of the %s. Only one can.", p.Words())
	case count[Half] > 2, count[Half] == 2 && lines > 2:
		return domain.Wrong("amount", "The lines take more than two halves of the %s.", p.Words())
	}
	return nil
}

// Asked is the sum of the pounds the lines name.
func (o Order) Asked() domain.Kilogram {
	var asked domain.Kilogram
	for _, l := range o.Lines {
		if amount, err := ParseAmount("amount", l.Amount); err == nil {
			asked += amount.Weight
		}
	}
	return asked
}

// checkWeight compares the pounds asked for with the most the animal, or the
// portion, may give, and what is left with the least of a batch.
func (o Order) checkWeight(a About) error {
	most, asked := a.Expected*o.Portion.share(), o.Asked()
	if most <= 0 {
		return nil
	}
	if asked > most {
		return domain.Wrong("amount", "The lines ask for %v; this animal may give %v at most.", asked, most)
	}
	for _, l := range o.Lines {
		amount, err := ParseAmount("amount", l.Amount)
		if err == nil && amount.Share == Rest && l.Treatment.special() && most-asked < minSpecial {
			return domain.Wrong("amount", "The other lines leave %v at most for %s. A flavor needs %v.", most-asked, l.Treatment.Words(), minSpecial)
		}
	}
	return nil
}

// share is how much of the animal a portion is.
func (p Portion) share() domain.Kilogram {
	return [...]domain.Kilogram{1, 0.5, 0.25}[min(len(p), 2)]
}

// Gaps lists what is still to be asked before the order is complete.
func (o Order) Gaps(a About) (gaps []domain.Words) {
	sheet := SheetOf(a.Species)
	for _, c := range sheet.Parts {
		owed := c.Owed && (a.Form != domain.Boned || c.Part == Trim) // what came boned is all trim
		switch {
		case owed && !o.hasPart(c.Part):
			gaps = append(gaps, domain.Say("What to do with the %s.", c.Part.Words()))
		case o.hasPart(c.Part) && !o.takesRest(c.Part):
			gaps = append(gaps, domain.Say("Where the rest of the %s goes.", c.Part.Words()))
		}
	}
	gaps = append(gaps, o.lineGaps()...)
	gaps = append(gaps, o.SpineLines(a)...)
	if o.Portion != WholeAnimal && strings.TrimSpace(o.ForWhom) == "" {
		gaps = append(gaps, domain.Say("Whose portion it is."))
	}
	if strings.TrimSpace(o.FallBack) == "" && o.needsFallBack(a) {
		gaps = append(gaps, domain.Say("What gives way if a part is lost."))
	}
	return gaps
}

// Older reports whether the animal counts as 30 months or older. Cattle do until a kill
// entry, by teeth or papers, says that they were younger; what an owner says is neither.
func (a About) Older() bool { return SheetOf(a.Species).AsksMonth && a.Months != "no" }

// AgeWords says what the cutter has to know of the age; no format: nothing.
func (a About) AgeWords() domain.Words {
	switch {
	case !a.Older():
		return domain.Words{}
	case a.Months == "":
		return domain.Say("Counts as 30 months or older, since its kill is not entered: nothing is cut through the spine. Enter the kill, with its age by teeth or papers.")
	}
	return domain.Say("30 months or older: the spine is taken out.")
}

// SpineLines lists the lines that cannot be cut because the animal was, or counts as,
// 30 months or older, each with what is offered in its place or has to be done first.
// They stand in an order that was taken before its age was known.
//
// Source: 9 CFR 310.22: of cattle 30 months and older the vertebral column, that of
// the neck among it, is specified risk material and inedible; the tail is not.
func (o Order) SpineLines(a About) (refused []domain.Words) {
	if !a.Older() {
		return nil
	}
	for _, l := range o.Lines {
		switch {
		case !l.Treatment.spineBone():
		case a.Months == "":
			refused = append(refused, domain.Say("No %s yet: its kill is not entered, so it counts as 30 months or older (9 CFR 310.22). Enter the kill, with its age by teeth or papers, or offer %s.",
				l.Treatment.Words(), domain.Say(l.Treatment.boneless())))
		default:
			refused = append(refused, domain.Say("No %s: the animal was 30 months or older, and its spine is taken out (9 CFR 310.22). Offer %s.",
				l.Treatment.Words(), domain.Say(l.Treatment.boneless())))
		}
	}
	return refused
}

// lineGaps lists what the lines themselves leave open.
func (o Order) lineGaps() (gaps []domain.Words) {
	added := false
	for _, l := range o.Lines {
		if l.Treatment.thick() && l.Thickness == "" {
			gaps = append(gaps, domain.Say("How thick the %s are cut.", l.Treatment.Words()))
		}
		if l.Treatment == Burger && l.Fat == "" && (o.Added == Pork || o.Added == Beef) {
			gaps = append(gaps, domain.Say("How much fat goes into the burger."))
		}
		added = added || l.Treatment.addsMeat()
	}
	if added && o.Added == "" {
		gaps = append(gaps, domain.Say("Whether pork or beef may be mixed in."))
	}
	return gaps
}

// needsFallBack: after a bad fault at the door, where parts are lost, and where
// the pounds ordered are more than such an animal usually gives (trade.md 6.2).
func (o Order) needsFallBack(a About) bool {
	usual := a.Usual * o.Portion.share()
	return a.Damaged || len(o.Lost) > 0 || usual > 0 && o.Asked() > usual
}

func (o Order) hasPart(p Part) bool {
	return slices.ContainsFunc(o.Lines, func(l Line) bool { return l.Part == p })
}

// takesRest reports whether the lines of a part leave nothing over: one takes
// the rest or all, or two halves make a whole.
func (o Order) takesRest(p Part) bool {
	halves := 0
	for _, l := range o.Lines {
		amount, err := ParseAmount("amount", l.Amount)
		if err != nil || l.Part != p {
			continue
		}
		switch amount.Share {
		case All, Rest:
			return true
		case Half:
			halves++
		}
	}
	return halves == 2
}
