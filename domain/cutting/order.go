package cutting

import (
	"slices"

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

// Order is what one owner wants done with one animal.
type Order struct {
	Lines       []Line
	OwnMeatOnly bool // nothing of it goes into a batch with other people's
	Added       AddedMeat
	FallBack    string // what gives way if a part is lost
}

// About is what the shop knows of the animal the order is for.
type About struct {
	Lost     []Part          // parts lost to damage
	TestZone bool            // from a disease zone: no saw through the spine, no pooling
	Held     bool            // held: no pooling
	Expected domain.Kilogram // the most boneless meat it may give; 0 is not known
}

// minSpecial is the least meat worth a batch of its own, 10 lb, the low end of
// trade.md 6.2 (common practice, no source).
var minSpecial = domain.Pounds(10)

// Check says whether an order for game contradicts the animal or itself; the first
// thing wrong comes back. An order with gaps passes: Gaps lists those.
func (o Order) Check(a About) error {
	for _, l := range o.Lines {
		if err := l.check(a); err != nil {
			return err
		}
	}
	if o.Added != "" && o.Added != NoneAdded && o.Added != Pork && o.Added != Beef {
		return domain.Wrong("added_meat", "Say what may be mixed in: nothing, pork or beef.")
	}
	if !o.OwnMeatOnly && (a.Held || a.TestZone) {
		return domain.Refuse("pool", "Held animals and those from a test zone are worked alone. Set the order to own meat only.")
	}
	for _, c := range Sheet {
		if err := o.checkShares(c.Part); err != nil {
			return err
		}
	}
	return o.checkWeight(a)
}

func (l Line) check(a About) error {
	if !slices.ContainsFunc(Sheet, func(c Choices) bool { return c.Part == l.Part }) {
		return domain.Wrong("part", "Choose a part of the animal.")
	}
	if l.Treatment == JerkySlices && l.Part != Hind {
		return domain.Wrong("treatment", "Whole-slice jerky is cut from the hinds. Take it there, or ground jerky from the trim.")
	}
	if !Allows(l.Part, l.Treatment) {
		return domain.Wrong("treatment", "That cannot be done with the %s. Choose again.", l.Part.Words())
	}
	if slices.Contains(a.Lost, l.Part) && l.Treatment != Discard && l.Treatment != Grind {
		return domain.Wrong("part", "Lost to damage: %s. Ask the owner what to do instead of %s.", l.Part.Words(), l.Treatment.Words())
	}
	if a.TestZone && l.Treatment == BoneInChops {
		return domain.Refuse("zone", "From a test zone nothing is sawn through the spine. Offer boneless chops.")
	}
	if l.Thickness != "" && (!slices.Contains(Thicknesses, l.Thickness) || l.Treatment.thick() && l.Thickness == "1/4") {
		return domain.Wrong("thickness", "Choose a thickness from the list.")
	}
	amount, err := ParseAmount("amount", l.Amount)
	if err != nil {
		return err
	}
	if amount.Share == ByWeight && l.Treatment.special() && amount.Weight < minSpecial-0.001 {
		return domain.Wrong("amount", "Less than %v is too little for a batch of %s.", minSpecial, l.Treatment.Words())
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

// checkWeight compares the pounds asked for with the most the animal may give.
func (o Order) checkWeight(a About) error {
	var asked domain.Kilogram
	for _, l := range o.Lines {
		amount, err := ParseAmount("amount", l.Amount)
		if err != nil {
			return err
		}
		asked += amount.Weight
	}
	if a.Expected > 0 && asked > a.Expected {
		return domain.Wrong("amount", "The lines ask for %v; this animal may give %v at most.", asked, a.Expected)
	}
	return nil
}

// Gaps lists what is still to be asked before the order is complete.
func (o Order) Gaps() []domain.Words {
	var gaps []domain.Words
	for _, c := range Sheet {
		has := slices.ContainsFunc(o.Lines, func(l Line) bool { return l.Part == c.Part })
		if c.Owed && !has {
			gaps = append(gaps, domain.Say("What to do with the %s.", c.Part.Words()))
		}
	}
	added := false
	for _, l := range o.Lines {
		if l.Treatment.thick() && l.Thickness == "" {
			gaps = append(gaps, domain.Say("How thick the %s are cut.", l.Treatment.Words()))
		}
		added = added || l.Treatment.addsMeat()
	}
	if added && o.Added == "" {
		gaps = append(gaps, domain.Say("Whether pork or beef may be mixed in."))
	}
	if o.hasPart(Trim) && !o.takesRest(Trim) {
		gaps = append(gaps, domain.Say("Where the rest of the trim goes."))
	}
	return gaps
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
