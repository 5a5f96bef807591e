package billing

import (
	"math"
	"slices"

	"coldrail/domain"
)

// Later lists the prices by the finished pound that a bill made now would miss
// something of: a treatment of theirs was ordered and nothing of it is packed, or
// packing is not done.
func Later(list []Item, a Animal, toCome []string, packing bool) (later []Item) {
	for _, item := range list {
		if item.Basis != LbFinished || !item.fits(a) {
			continue
		}
		mine := func(t string) bool { return len(item.Treatments) == 0 || slices.Contains(item.Treatments, t) }
		if packing || slices.ContainsFunc(toCome, mine) {
			later = append(later, item)
		}
	}
	return later
}

// WithoutLeast leaves out the least for an animal: a bill of a part does not know yet
// what the work comes to.
func WithoutLeast(list []Item, done []Done) []Done {
	return slices.DeleteFunc(slices.Clone(done), func(d Done) bool {
		return slices.ContainsFunc(list, func(i Item) bool { return i.Code == d.Code && i.Basis == AtLeast })
	})
}

// More returns the lines that a bill made before lacks, now that done is done: of
// each price what came since, at the same price. A price at its minimum is charged
// only for what goes beyond it. What was made up to the least for an animal is made
// up further, or given back where the work has reached it.
func More(list []Item, done []Done, hanging *domain.Kilogram, billed []Line) ([]Line, error) {
	now, err := worked(list, done, hanging)
	if err != nil {
		return nil, err
	}
	var more []Line
	for _, l := range now {
		quantity, before := billedOf(billed, l.Code)
		if l.Quantity = Printed(l.Unit, l.Quantity-quantity); l.Quantity <= 0 {
			continue
		}
		floor := l.Minimum || before > times(l.Price, quantity)
		if l.Total -= before; !floor {
			l.Total = times(l.Price, l.Quantity)
		}
		if l.Minimum = floor; l.Total > 0 {
			more = append(more, l)
		}
	}
	return append(more, leastOf(list, done, billed, more)...), nil
}

// billedOf adds up what stands on the bill under a code.
func billedOf(billed []Line, code string) (quantity float64, total domain.Cents) {
	for _, l := range billed {
		if l.Code == code {
			quantity += l.Quantity
			total += l.Total
		}
	}
	return math.Round(quantity*10) / 10, total
}

// leastOf compares what was made up to the least for an animal with what is missing
// now.
func leastOf(list []Item, done []Done, billed, more []Line) (lines []Line) {
	work := Invoice{Lines: more}.Total()
	for _, item := range list {
		if item.Basis != AtLeast {
			_, total := billedOf(billed, item.Code)
			work += total
		}
	}
	need := upTo(list, done, work)
	for _, item := range list {
		if item.Basis != AtLeast || !slices.ContainsFunc(done, func(d Done) bool { return d.Code == item.Code }) {
			continue
		}
		_, needed := billedOf(need, item.Code)
		_, before := billedOf(billed, item.Code)
		if missing := needed - before; missing != 0 {
			lines = append(lines, Line{Code: item.Code, Label: item.Label, Quantity: 1, Unit: AtLeast.Unit(), Price: missing, Total: missing,
				Taxable: item.Taxable, Minimum: true, Why: "up to " + item.Price.String() + " in all"})
		}
	}
	return lines
}
