package cure

import (
	"math"
	"slices"

	"coldrail/domain"
)

// Method is the way the cure gets into the meat, by the names of the calculator
// contract (readiness.md section 14).
type Method string

// The methods of FSIS Directive 7620.3.
const (
	Comminuted    Method = "comminuted" // mixed into ground meat
	Pumped        Method = "pumped"     // pickle injected, anything but bacon
	Immersed      Method = "immersed"   // laid in pickle, anything but bacon
	DryCured      Method = "dry-cured"  // rubbed on
	BaconPumped   Method = "bacon-pumped"
	BaconImmersed Method = "bacon-immersed"
	BaconDry      Method = "bacon-dry"
)

// Methods lists every method, the one of a sausage kitchen first.
var Methods = []Method{Comminuted, Pumped, Immersed, DryCured, BaconPumped, BaconImmersed, BaconDry}

// Verdict is the amount of nitrite held against its limit.
type Verdict string

// The verdicts.
const (
	OK      Verdict = "ok"      // at the limit or under it
	Over    Verdict = "over"    // above the limit: a second person and a reason
	Under   Verdict = "under"   // too little in a cured comminuted product
	Refused Verdict = "refused" // more than comminuted meat may hold at all
)

// The limits in parts per million of sodium nitrite going in, on the green weight.
// FSIS Directive 7620.3 (rev. 1995) and 9 CFR 424.21(c).
var limits = map[Method]float64{Comminuted: 156, Pumped: 200, Immersed: 200, DryCured: 625,
	BaconPumped: 120, BaconImmersed: 120, BaconDry: 200}

const (
	// atLeast is the least for a cured product labelled "keep refrigerated", ppm.
	// FSIS Directive 7620.3 (rev. 1995).
	atLeast = 120
	// never is the most comminuted meat may hold, ppm. 21 CFR 172.170.
	never = 200
)

// Known reports whether m is one of Methods.
func (m Method) Known() bool { return slices.Contains(Methods, m) }

// Pickle reports whether the cure is dissolved in a pickle first.
func (m Method) Pickle() bool {
	return m == Pumped || m == Immersed || m == BaconPumped || m == BaconImmersed
}

// Limit returns the limit of the method in ppm, 0 for a method that is not known.
func (m Method) Limit() float64 { return limits[m] }

// Cure is a cure as it was weighed.
type Cure struct {
	Method   Method
	Meat     domain.Kilogram // green weight with all fat; of a pickle it is not asked
	Grams    float64         // of the cure mix, in the meat or in the pickle
	Fraction float64         // of sodium nitrite in the cure mix: 0.0625 for US cure no. 1
	Pickle   domain.Kilogram // the whole pickle, the cure in it
	PickUp   float64         // pickle taken up as a fraction of the green weight: 0.10 for 10 %
}

// Reckoned is the nitrite going in and what the limit says.
type Reckoned struct {
	PPM     float64 // not rounded
	Limit   float64
	Verdict Verdict
}

// Reckon returns the sodium nitrite going in, in parts per million of the green
// weight:
//
//	comminuted, dry   ppm = nitrite × 1,000,000 / meat                (1)
//	pickle            ppm = nitrite × pick-up × 1,000,000 / pickle    (2)
//
// with nitrite = cure × fraction, all masses in one unit. For immersion this is
// method 1 of the source, with the pick-up as observed; its method 2 (nitrite over
// meat and pickle together, from memory) supposes that the two have come to rest
// and is not used.
//
// Judged is the value rounded to whole ppm: at the limit or under is ok, above is
// over. A comminuted product below 120 is under, above 200 refused.
//
// Weights run from 1 to 1500 kg, the cure from 0 g to all of what it is in, its
// fraction and the pick-up from above 0 to 1. Outside the field is named and
// nothing is computed. Green weight, not finished weight, is the base: a butcher
// who reckons on the finished sticks puts in far too little.
//
// Source: FSIS Directive 7620.3 (rev. 1995).
func Reckon(c Cure) (Reckoned, error) {
	if err := c.check(); err != nil {
		return Reckoned{}, err
	}
	base, share := c.Meat, 1.0
	if c.Method.Pickle() {
		base, share = c.Pickle, c.PickUp
	}
	const ppmOfGramPerKilogram = 1000
	r := Reckoned{PPM: c.Grams * c.Fraction * share / float64(base) * ppmOfGramPerKilogram, Limit: limits[c.Method]}
	r.Verdict = judge(c.Method, whole(r.PPM))
	return r, nil
}

// whole rounds to whole ppm, half up. Binary fractions fall a hair short of a half
// that anyone gets on paper, so a millionth of a ppm is rounded away first.
func whole(ppm float64) float64 { return math.Round(math.Round(ppm*1e6) / 1e6) }

func judge(m Method, ppm float64) Verdict {
	switch {
	case m == Comminuted && ppm > never:
		return Refused
	case ppm > limits[m]:
		return Over
	case m == Comminuted && ppm < atLeast:
		return Under
	}
	return OK
}

// check names the first field that is out of range, by the calculator contract.
func (c Cure) check() error {
	if !c.Method.Known() {
		return domain.Wrong("method", "Choose how the cure gets into the meat.")
	}
	in, at := c.Meat, "meat_kg"
	if c.Method.Pickle() {
		in, at = c.Pickle, "pickle_kg"
	}
	switch {
	case !(in >= 1 && in <= 1500): // a NaN fails too
		return domain.Wrong(at, "A weight is from 1 to 1,500 kg, not %g.", float64(in))
	case !(c.Grams >= 0 && c.Grams <= 1000*float64(in)):
		return domain.Wrong("cure_g", "The cure is from 0 g to the weight of what it is in, not %g g.", c.Grams)
	case !(c.Fraction > 0 && c.Fraction <= 1):
		return domain.Wrong("cure_nitrite_fraction", "The nitrite in the cure is a fraction from above 0 to 1, such as 0.0625 for 6.25 %%, not %g.", c.Fraction)
	case c.Method.Pickle() && !(c.PickUp > 0 && c.PickUp <= 1):
		return domain.Wrong("pump_fraction", "The pick-up is a fraction from above 0 to 1, such as 0.1 for 10 %%, not %g.", c.PickUp)
	}
	return nil
}

// AtLimit returns the grams of cure that bring the meat (or the pickle) exactly to
// the limit of the method: (1) or (2) of Reckon solved for the cure.
func AtLimit(c Cure) (float64, error) {
	c.Grams = 0
	if err := c.check(); err != nil {
		return 0, err
	}
	base, share := c.Meat, 1.0
	if c.Method.Pickle() {
		base, share = c.Pickle, c.PickUp
	}
	grams := limits[c.Method] * float64(base) / 1000 / (c.Fraction * share)
	if !(grams <= 1000*float64(base)) {
		return 0, domain.Wrong("cure_nitrite_fraction", "So weak a cure never reaches the limit. Read its label again.")
	}
	return grams, nil
}

var methodWords = map[Method]string{
	Comminuted: "mixed into ground meat", Pumped: "pumped, not bacon", Immersed: "laid in pickle, not bacon", DryCured: "rubbed on dry, not bacon",
	BaconPumped: "bacon, pumped", BaconImmersed: "bacon, laid in pickle", BaconDry: "bacon, rubbed on dry",
}

// Words names the method as the shop says it.
func (m Method) Words() domain.Words {
	if w, ok := methodWords[m]; ok {
		return domain.Say(w)
	}
	return domain.Say("%s", string(m))
}

// Words says what the reckoning came to and what to do.
func (r Reckoned) Words() domain.Words {
	ppm := whole(r.PPM)
	switch r.Verdict {
	case Refused:
		return domain.Say("%.0f ppm of nitrite: ground meat may hold %d at the very most. Do not mix it. Weigh the cure and the meat again.", ppm, never)
	case Over:
		return domain.Say("%.0f ppm of nitrite, over the limit of %.0f. Weigh again; a second person has to look and a reason is written down.", ppm, r.Limit)
	case Under:
		return domain.Say("%.0f ppm of nitrite, under the %d that a cured product needs. Weigh the cure again.", ppm, atLeast)
	}
	return domain.Say("%.0f ppm of nitrite, within the limit of %.0f.", ppm, r.Limit)
}
