package cutting

import "slices"

// Specials are the treatments that go on after the table: they are mixed, cured,
// cooked or dried, and come back days later than the plain packs (trade.md 6.1,
// 6.5).
var Specials = []Treatment{Summer, Sticks, Bologna, JerkyGround, JerkySlices, DriedMuscle, Cured, Smoked, Bacon}

// Sausage reports whether any line of the order goes to the sausage kitchen.
func (o Order) Sausage() bool {
	return slices.ContainsFunc(o.Lines, func(l Line) bool { return l.Treatment.special() })
}
