package billing

import (
	"math"
	"slices"

	"coldrail/domain"
)

// Basis is what a price is for.
type Basis string

// The bases.
const (
	PerAnimal  Basis = "animal"
	LbHanging  Basis = "lb-hanging"
	LbFinished Basis = "lb-finished"
	Each       Basis = "each"

	// AtLeast is no price of its own: it makes up what all lines of the list fall
	// short of it for one animal.
	AtLeast Basis = "at-least"
)

// Bases lists every basis.
var Bases = []Basis{PerAnimal, LbHanging, LbFinished, Each, AtLeast}

// Unit is what stands behind the quantity on the bill.
type Unit string

// The units.
const (
	UnitAnimal Unit = "animal"
	UnitLb     Unit = "lb"
	UnitEach   Unit = "each"
)

// Unit returns the unit the basis is counted in.
func (b Basis) Unit() Unit {
	switch b {
	case LbHanging, LbFinished:
		return UnitLb
	case PerAnimal, AtLeast:
		return UnitAnimal
	}
	return UnitEach
}

// Item is one price of a list.
type Item struct {
	Code    string
	Label   string
	Basis   Basis
	Price   domain.Cents
	Minimum domain.Cents // the least a line of it costs; 0 for none
	Taxable bool
	Applies // by itself, without being ticked
}

// maxPrice keeps price times quantity far inside an int64: $100,000.
const maxPrice domain.Cents = 100_000_00

const maxQuantity = 10_000

// Check says whether the price can stand on a list.
func (i Item) Check() error {
	switch {
	case i.Code == "" || i.Label == "":
		return domain.Wrong("label", "Give the price a name.")
	case !slices.Contains(Bases, i.Basis):
		return domain.Wrong("basis", "Say what the price is for: the animal, a pound hanging, a pound finished, each, or the least for an animal.")
	case i.Price < 0 || i.Price > maxPrice:
		return domain.Wrong("price", "A price is from $0.00 to %v.", maxPrice)
	case i.Minimum < 0 || i.Minimum > maxPrice:
		return domain.Wrong("minimum", "A minimum is from $0.00 to %v.", maxPrice)
	case len(i.Forms) > 0 && len(i.Species) == 0 && len(i.Treatments) == 0:
		return domain.Wrong("species", "Tick the kinds of animal too, not only how they come in.")
	case i.Basis == AtLeast && len(i.Species) == 0:
		return domain.Wrong("species", "Tick the kinds of animal that come to this at the least.")
	case i.Basis == AtLeast && i.Minimum > 0:
		return domain.Wrong("minimum", "The least for an animal is typed as its price. Leave this empty.")
	}
	return nil
}

// Charge returns the line for a quantity of the item.
//
//	total = max(minimum, price × quantity), to the nearest cent, half a cent up
//
// The quantity is first rounded to what is printed: a tenth of a pound, or a
// whole animal or piece. Nothing done costs nothing, minimum or not.
func (i Item) Charge(quantity float64) (Line, error) {
	if !(quantity >= 0 && quantity <= maxQuantity) { // a NaN fails too
		return Line{}, domain.Wrong("quantity", "The quantity for %s cannot be right. Count or weigh again.", i.Label)
	}
	q := Printed(i.Basis.Unit(), quantity)
	line := Line{Code: i.Code, Label: i.Label, Quantity: q, Unit: i.Basis.Unit(), Price: i.Price, Taxable: i.Taxable}
	if q == 0 {
		return line, nil
	}
	line.Total = times(i.Price, q)
	if line.Total < i.Minimum {
		line.Total, line.Minimum = i.Minimum, true
	}
	return line, nil
}

// times multiplies in whole tenths, because in binary 4.1 × $3.25 falls a hair
// short of the half cent that anyone gets on paper.
func times(price domain.Cents, quantity float64) domain.Cents {
	tenths := domain.Cents(math.Round(quantity * 10))
	return (price*tenths + 5) / 10
}

// Printed rounds a quantity to what stands on the bill.
func Printed(u Unit, quantity float64) float64 {
	if u == UnitLb {
		return math.Round(quantity*10) / 10
	}
	return math.Round(quantity)
}
