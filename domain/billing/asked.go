package billing

import (
	"slices"

	"coldrail/domain"
)

// Applies says when a price is charged without anybody asking for it. A price
// that names neither species nor treatments, such as a rush, is charged only
// when it is ticked.
type Applies struct {
	Species    []domain.Species // empty: any, if Treatments names some
	Forms      []domain.Form    // empty: any
	Treatments []string         // of the cut order; empty: whatever the order says
}

// Animal is what the price list is held against.
type Animal struct {
	Species domain.Species
	Form    domain.Form
	Ordered map[string]int             // lines of the cut order by treatment
	Packed  map[string]domain.Kilogram // finished weight by treatment
}

// Asked returns what of the price list applies to the animal by itself, in the
// order of the list. A price by the finished pound waits until something of it
// is packed: sausage comes back later and is billed then.
func Asked(list []Item, a Animal) []Done {
	var done []Done
	for _, item := range list {
		if !item.fits(a) {
			continue
		}
		d := Done{Code: item.Code}
		for _, t := range item.Treatments {
			d.Count += a.Ordered[t]
			d.Finished += a.Packed[t]
		}
		if item.Basis == LbFinished && len(item.Treatments) == 0 {
			for _, kg := range a.Packed {
				d.Finished += kg
			}
		}
		if item.Basis == LbFinished && d.Finished == 0 {
			continue
		}
		done = append(done, d)
	}
	return done
}

func (i Item) fits(a Animal) bool {
	switch {
	case len(i.Species) == 0 && len(i.Treatments) == 0:
		return false
	case len(i.Species) > 0 && !slices.Contains(i.Species, a.Species):
		return false
	case len(i.Forms) > 0 && !slices.Contains(i.Forms, a.Form):
		return false
	}
	return len(i.Treatments) == 0 || slices.ContainsFunc(i.Treatments, func(t string) bool { return a.Ordered[t] > 0 || a.Packed[t] > 0 })
}

// Range says between which bills that of an animal will lie before everything is
// weighed. The low end is what applies by itself now. The high end adds that all the
// meat, most, goes into the dearest treatment ordered by the finished pound; what is
// packed already is counted as it is, so most is zero once it is cut.
func Range(list []Item, a Animal, hanging *domain.Kilogram, most domain.Kilogram) (low, high []Line, err error) {
	done := Asked(list, a)
	lines, err := worked(list, done, hanging)
	if err != nil {
		return nil, nil, err
	}
	var dearest []Line
	for _, item := range list {
		if item.Basis != LbFinished || most <= 0 || !item.fits(a) {
			continue
		}
		line, err := item.Charge(most.Lb())
		if err != nil {
			return nil, nil, err
		}
		if len(dearest) == 0 || line.Total > dearest[0].Total {
			dearest = []Line{line}
		}
	}
	atLeast := func(work []Line) []Line { return append(work, upTo(list, done, Invoice{Lines: work}.Total())...) }
	return atLeast(slices.Clone(lines)), atLeast(append(slices.Clone(lines), dearest...)), nil
}
