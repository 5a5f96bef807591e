package ageing

import (
	"fmt"
	"math"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Door is the whole grade an animal got at the door.
type Door string

// Sound animals hang; damaged ones are cut first.
const (
	DoorClean   Door = "clean"
	DoorDamaged Door = "damaged" // a bad fault in dirt, gut, temperature, smell or insects
)

// Kept is how an animal was kept before it came.
type Kept string

// The two ways a hunter keeps an animal.
const (
	Hung    Kept = "hung"
	Covered Kept = "covered" // bag, tub, ice water
)

// Ruling is what a person decided about a stopped animal.
type Ruling string

// The rulings.
const (
	CarryOn     Ruling = "carry-on"
	CutFirst    Ruling = "trim-and-cut-first"
	CondemnPart Ruling = "condemn-part"
	CondemnAll  Ruling = "condemn-all"
)

// Decision is a ruling by name, with a reason kept elsewhere. It stands until a
// worse look or for 24 h.
type Decision struct {
	At     time.Time
	Ruling Ruling
}

// Facts is what is known of one animal. Everything from Weight to Looks may be
// missing; what is assumed in its place is said in the Verdict. The fields after
// Protocol come from the shop's own records and stay empty for the calculator.
type Facts struct {
	Species          domain.Species
	Class            domain.Class // "": the usual one of the species
	Form             domain.Form
	Door             Door
	Killed, Received time.Time
	Weight           domain.Kilogram // hanging; 0: not yet weighed
	DeepAtDoor       *domain.Celsius
	KeptAt           *domain.Celsius
	Kept             Kept // "": not told
	Looks            []Look
	Protocol         Protocol // as the shop has edited it; without a Key: ProtocolFor

	LongHang    bool      // a long hang was agreed: Protocol.LongCeiling counts
	CutWhenCold bool      // the owner's wish, or a shop that cuts as they come
	StoppedAt   time.Time // an incident stopped it then; zero: none did
	Decision    *Decision // the last one
	// UntilDecided: a look that stops it stands until a decision. The calculator knows
	// no decisions, so there the last look alone counts.
	UntilDecided bool
	EveningFrom  time.Time       // when the last evening round began; zero: 24 h before now
	Waiting      bool            // in a room, but not weighed and hung for good: nobody cuts it yet
	AirAhead     *domain.Celsius // the air to come, to ask what if; nil: as in the last 48 h
	Measured     *RoomAir        // around beef that hangs past 28 days; nil: not measured
	MeasuredAt   time.Time
	Mould        MouldPrior // the shop's own; zero: the usual one
}

// ceiling returns the most days.
func (f *Facts) ceiling() float64 {
	if f.LongHang && f.Protocol.LongCeiling > 0 {
		return f.Protocol.LongCeiling
	}
	return f.Protocol.Ceiling
}

// aged reports whether the animal waits for tenderness.
func (f *Facts) aged() bool {
	return f.Protocol.Aged && f.Door != DoorDamaged && !f.CutWhenCold
}

// signAsked reports whether it waits for the mould sign too.
func (f *Facts) signAsked() bool {
	return f.aged() && f.Protocol.Sign == SignRequired && f.signPossible()
}

// signPossible reports whether growth at ribs or fat can be a sign on this
// animal at all: never on quarters (beef and bison quarters hang as whole), boned
// or damaged meat, lamb, goat, hog and bear.
func (f *Facts) signPossible() bool {
	kind, _ := ProtocolByKey(Pick(f.Species, f.Class, f.Form, f.Door == DoorDamaged))
	return kind.Sign != SignNever
}

// check refuses facts nobody can count with, naming the field.
func (f *Facts) check(now time.Time) error {
	switch {
	case !f.Species.Known():
		return domain.Wrong("species", "%q is not a species this program knows.", string(f.Species))
	case f.Class != "" && !f.Species.Fits(f.Class):
		return domain.Wrong("class", "A %s has no class %q.", string(f.Species), string(f.Class))
	case !slices.Contains(domain.Forms, f.Form):
		return domain.Wrong("form", "%q is not a form an animal hangs in.", string(f.Form))
	case f.Door != DoorClean && f.Door != DoorDamaged:
		return domain.Wrong("door", "The door grade is clean or damaged, not %q.", string(f.Door))
	case f.Kept != "" && f.Kept != Hung && f.Kept != Covered:
		return domain.Wrong("kept_before", "An animal was kept hung or covered, not %q.", string(f.Kept))
	case f.Weight != 0 && !(f.Weight >= 1 && f.Weight <= 1500):
		return domain.Wrong("hanging_weight_kg", "A hanging weight is from 1 to 1,500 kg, not %g.", float64(f.Weight))
	}
	if err := f.checkTimes(now); err != nil {
		return err
	}
	if err := inRange("deep_c_at_door", f.DeepAtDoor); err != nil {
		return err
	}
	if err := inRange("kept_before_c", f.KeptAt); err != nil {
		return err
	}
	if err := inRange("air", f.AirAhead); err != nil {
		return err
	}
	for i, l := range f.Looks {
		for k, m := range l.Mould {
			if !(m.Length >= 0 && m.Length <= 500) {
				return domain.Wrong(fmt.Sprintf("looks[%d].mould[%d].length_mm", i, k), "A length is from 0 to 500 mm, not %g.", float64(m.Length))
			}
		}
	}
	return f.Protocol.check()
}

func (f *Facts) checkTimes(now time.Time) error {
	for _, t := range []struct {
		at string
		t  time.Time
	}{{"killed_at", f.Killed}, {"received_at", f.Received}, {"now", now}} {
		if t.t.Year() < 1900 || t.t.Year() > 2199 {
			return domain.Wrong(t.at, "The year %d cannot be right.", t.t.Year())
		}
	}
	switch {
	case f.Killed.After(f.Received):
		return domain.Wrong("killed_at", "The kill is after the drop-off. One of the two times is wrong.")
	case f.Received.After(now):
		return domain.Wrong("received_at", "The drop-off is later than now.")
	}
	return nil
}

func inRange(at string, c *domain.Celsius) error {
	if c != nil && !(*c >= exposure.MinCelsius && *c <= exposure.MaxCelsius) {
		return domain.Wrong(at, "A temperature is from -40 to 60 °C, not %g.", float64(*c))
	}
	return nil
}

// meat returns the carcass as it came, and what had to be assumed for that.
func (f *Facts) meat(air domain.Celsius) (exposure.Carcass, []domain.Words) {
	var assumed []domain.Words
	kg := f.Weight
	if kg == 0 {
		kg = f.Species.HangingDefault()
		if f.Form != domain.Boned {
			assumed = append(assumed, domain.Say("Not weighed yet: taken as %v hanging.", kg))
		}
	}
	deep := f.DeepAtDoor
	if deep == nil {
		guess := exposure.DeepAtDoor(f.Killed, f.Received, air)
		deep = &guess
		assumed = append(assumed, domain.Say("No deep temperature at the door: taken as %v.", domain.Fahrenheit(math.Round(guess.F()))))
	}
	return exposure.Carcass{Tau: exposure.Tau(kg, f.Form), Deep: *deep}, assumed
}

// The time before the door (readiness.md section 5). Common practice, no source.
const unknownKept domain.Celsius = 10

const (
	hungFactor    = 0.5
	coveredFactor = 1.0
)

// before is what happened before the door.
type before struct {
	growth, low, high float64 // log10
	eColi, salmonella float64 // log10
	unknown           time.Duration
}

// beforeDoor returns the growth between kill and door, at the keeping temperature
// told there or 10 °C, halved for what hung in the air.
func (f *Facts) beforeDoor() (before, []domain.Words) {
	var b before
	var assumed []domain.Words
	span, kept := f.Received.Sub(f.Killed), unknownKept
	if f.KeptAt != nil {
		kept = *f.KeptAt
	} else if span > 0 {
		b.unknown = span
		assumed = append(assumed, domain.Say("How warm it was kept before the door is not known: taken as %v for %.0f hours.", unknownKept, span.Hours()))
	}
	factor := coveredFactor
	if f.Kept == Hung || f.Kept == "" && (f.Form == domain.Whole || f.Form == domain.WholeHideOn) {
		factor = hungFactor
	}
	if f.Kept == "" && span > 0 {
		how := domain.Say("Whether it hung or was covered before the door is not known: taken as hung.")
		if factor == coveredFactor {
			how = domain.Say("Whether it hung or was covered before the door is not known: taken as covered.")
		}
		assumed = append(assumed, how)
	}
	days := span.Hours() / 24
	b.growth = days * exposure.WetRate(kept) * factor
	b.low, b.high = days*exposure.LeastRate(kept)*factor, days*exposure.MostRate(kept)*factor
	b.eColi, b.salmonella = days*exposure.EColiRate(kept), days*exposure.SalmonellaRate(kept)
	return b, assumed
}

// startLog is the count an animal comes with, log10 per cm2: 3 for game, dressed
// in the field, 2 for the rest. Common practice, no source (science.md B.2).
func (f *Facts) startLog() float64 {
	if f.Species.Game() {
		return 3
	}
	return 2
}
