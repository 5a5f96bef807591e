package batch

import (
	"slices"

	"coldrail/domain"
	"coldrail/domain/cure"
)

// Product is what a batch becomes, by the treatments of the order sheet where it
// has one there.
type Product string

// The products.
const (
	Summer      Product = "summer-sausage"
	Sticks      Product = "sticks"
	Bologna     Product = "bologna"
	JerkyGround Product = "jerky-ground"
	JerkySlices Product = "jerky-slices"
	Brats       Product = "brats"
	Breakfast   Product = "breakfast-sausage"
	HamCured    Product = "ham-cured"
	HamSmoked   Product = "ham-smoked"
	Bacon       Product = "bacon"
)

// Products lists every product, what is stuffed most often first.
var Products = []Product{Summer, Sticks, Brats, Breakfast, Bologna, JerkyGround, JerkySlices, HamCured, HamSmoked, Bacon}

// making is what the shop knows of a product.
type making struct {
	words    string
	fresh    bool    // neither cured nor cooked here
	finished float64 // of what went in; 0: not known
	low      float64 // the range of finished
	high     float64
	methods  []cure.Method
}

// The finished-yield factors (fresh 0.98, summer 0.88, sticks 0.62, jerky 0.42)
// and the losses (sticks 30 to 45 %, jerky 50 to 65 %, summer 8 to 15 %) are
// common practice, no source (trade.md Annex C and 6.7). For ham and bacon, which
// take up pickle and lose smoke, none is given.
var makings = map[Product]making{
	Summer:      {"summer sausage", false, 0.88, 0.85, 0.92, []cure.Method{cure.Comminuted}},
	Sticks:      {"sticks", false, 0.62, 0.55, 0.70, []cure.Method{cure.Comminuted}},
	Bologna:     {"bologna", false, 0.88, 0.85, 0.92, []cure.Method{cure.Comminuted}},
	JerkyGround: {"jerky, ground", false, 0.42, 0.35, 0.50, []cure.Method{cure.Comminuted}},
	JerkySlices: {"jerky, whole slices", false, 0.42, 0.35, 0.50, []cure.Method{cure.DryCured, cure.Immersed}},
	Brats:       {"brats", true, 0.98, 0.95, 1, nil},
	Breakfast:   {"breakfast sausage", true, 0.98, 0.95, 1, nil},
	HamCured:    {"ham, cured", false, 0, 0, 0, []cure.Method{cure.Pumped, cure.Immersed, cure.DryCured}},
	HamSmoked:   {"ham, smoked", false, 0, 0, 0, []cure.Method{cure.Pumped, cure.Immersed, cure.DryCured}},
	Bacon:       {"bacon", false, 0, 0, 0, []cure.Method{cure.BaconPumped, cure.BaconImmersed, cure.BaconDry}},
}

// Known reports whether p is one of Products.
func (p Product) Known() bool { return slices.Contains(Products, p) }

// Fresh reports whether p leaves the shop raw: no cure and no smokehouse.
func (p Product) Fresh() bool { return makings[p].fresh }

// Methods lists the ways the cure may get in; none for what is fresh.
func (p Product) Methods() []cure.Method { return makings[p].methods }

// Treatments lists what an order calls it: any of them asks for the product.
func (p Product) Treatments() []string {
	switch p {
	case HamCured:
		return []string{"cured"}
	case HamSmoked:
		return []string{"smoked"}
	case Breakfast:
		return []string{string(p), "sausage-bulk", "sausage-links"}
	}
	return []string{string(p)}
}

// Words names the product as the shop says it.
func (p Product) Words() domain.Words {
	if m, ok := makings[p]; ok {
		return domain.Say(m.words)
	}
	return domain.Say("%s", string(p))
}

// Expected is what comes out of so much meat: the usual weight and its range. ok
// is false where nothing is known, or where so much cannot be.
func (p Product) Expected(in domain.Kilogram) (usual, low, high domain.Kilogram, ok bool) {
	m := makings[p]
	if !(in >= 0 && in <= mostKg) {
		return 0, 0, 0, false
	}
	k := func(f float64) domain.Kilogram { return domain.Kilogram(f) * in }
	return k(m.finished), k(m.low), k(m.high), m.finished > 0
}

// The least meat worth mixing: 10 lb a flavour, 25 lb where a batch of one owner's
// meat goes through the stuffer, which holds back 1 to 3 lb. Common practice, no
// source (trade.md 6.2 and 6.7).
var (
	leastFlavour = domain.Pounds(10)
	leastOwn     = domain.Pounds(25)
)

// mostKg is more than any batch of a small shop weighs. Common practice, no source.
const mostKg domain.Kilogram = 50_000

// forgiven is what weighing in pounds and keeping in kilograms may leave.
const forgiven domain.Kilogram = 0.001

// CheckLeast refuses a batch too small to be mixed.
func CheckLeast(p Product, in domain.Kilogram) error {
	if !(in <= mostKg) {
		return domain.Wrong("weight", "A batch cannot weigh %g kg. Weigh it again.", float64(in))
	}
	if in < leastFlavour-forgiven {
		return domain.Refuse("least", "%s is too little for a batch of %s. %s is the least for a flavor. Grind it plain, or add more.", in, p.Words(), leastFlavour)
	}
	return nil
}

// Small says what an owner has to be told of a batch below the usual least for
// meat kept apart; empty where there is nothing to tell.
func Small(k Kind, in domain.Kilogram) domain.Words {
	if k == Own && in > 0 && in < leastOwn-forgiven {
		return domain.Say("Below %s the machines keep a good part of it. Tell the owner.", leastOwn)
	}
	return domain.Words{}
}

// CheckFinished refuses weights that cannot be: nothing, or more than went in and a
// twentieth, except where pickle was taken up.
func CheckFinished(p Product, in domain.Kilogram, packs int, packed, odd domain.Kilogram) error {
	most := in * 1.05
	if makings[p].finished == 0 {
		most = in * 1.25
	}
	switch {
	case packs < 1 || packs > 5000:
		return domain.Wrong("packs", "Count the whole packs: 1 to 5,000.")
	case !(in >= 0 && in <= mostKg):
		return domain.Wrong("weight", "A batch cannot weigh %g kg. Weigh it again.", float64(in))
	case !(packed > 0 && packed <= mostKg):
		return domain.Wrong("packed", "Weigh the whole packs together.")
	case !(odd >= 0 && odd <= mostKg):
		return domain.Wrong("odd", "Weigh what is left over, or leave it empty.")
	case packed+odd > most:
		return domain.Wrong("packed", "%s came out of %s. That cannot be. Weigh again.", packed+odd, in)
	}
	return nil
}
