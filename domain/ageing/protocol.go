package ageing

import (
	"time"

	"coldrail/domain"
)

// Sign says what white or grey mould inside the ribs means for an animal.
type Sign string

// The four answers.
const (
	SignNever    Sign = "never"    // growth is never waited for
	SignNo       Sign = "no"       // not waited for
	SignOptional Sign = "optional" // the shop may set its protocol to wait for it
	SignRequired Sign = "required" // this protocol waits for it
)

// Days is a range of days as a person says it, "7 to 14".
type Days struct{ From, To float64 }

// Protocol says how one kind of animal is hung. Days are counted from the kill.
type Protocol struct {
	Key     string       // stable name, such as "deer-mature"
	Label   domain.Words // as the shop says it
	Aged    bool         // false: it is cut once it is cold
	Target  float64      // fraction of all tenderness to be had; 0 when not aged
	Sign    Sign
	Usual   Days
	Ceiling float64 // most days
	// LongCeiling is the ceiling where a long hang was agreed: the owner's signed
	// line and the daily looks it asks for. 0: no such agreement is offered.
	LongCeiling float64
	Cites       []string // where the numbers come from
}

const (
	citeUW   = "Field & Means, Aging Big Game, University of Wyoming B-513R, 2002"
	citeMSU  = "Michigan State University Extension, Carcass safety: 10 to 14 days at 34-37 °F"
	citeEFSA = "EFSA BIOHAZ, EFSA Journal 2023;21(1):7745: 35 days only at a surface of -0.5 to 3 °C, humidity at most 85 %, air 0.2-0.5 m/s"
	citeBeef = "Dransfield et al. 1981, Meat Sci. 5:139-147: 80 % in about 10 days at 1 °C"
	citeNone = "Common practice, no source"
	citeLong = "28 days on the owner's signed wish or to the mould sign: common practice, no source"
)

// Protocols are the defaults, in the order in which the first that fits applies.
// A shop edits them; readiness.md section 10 is the table.
var Protocols = []Protocol{
	{"damaged", domain.Say("damaged at the door"), false, 0, SignNever, Days{0, 1}, 3, 0, []string{citeNone}},
	{"boned", domain.Say("boned meat"), false, 0, SignNever, Days{0, 2}, 3, 14, []string{citeNone}},
	{"quarters", domain.Say("quarters, bone in"), false, 0, SignNever, Days{0, 2}, 5, 14, []string{citeNone}},
	{"deer-mature", domain.Say("deer or caribou, grown"), true, 0.80, SignOptional, Days{7, 14}, 14, 28, []string{citeUW, citeMSU, citeLong}},
	{"deer-young", domain.Say("deer or caribou, young or thin"), false, 0, SignNo, Days{1, 3}, 5, 0, []string{citeNone, citeUW + ": little fat cover is not aged"}},
	{"bull", domain.Say("bull elk or moose"), true, 0.80, SignOptional, Days{14, 14}, 14, 28, []string{citeUW, citeLong}},
	{"cow", domain.Say("cow elk or moose"), true, 0.80, SignOptional, Days{7, 7}, 14, 28, []string{citeUW, citeLong}},
	{"pronghorn", domain.Say("pronghorn"), false, 0, SignNo, Days{1, 3}, 3, 0, []string{citeUW}},
	{"beef-fat", domain.Say("beef or bison with fat cover"), true, 0.90, SignOptional, Days{14, 21}, 28, 35, []string{citeBeef, citeEFSA, citeNone}},
	{"beef-lean", domain.Say("lean beef or bison"), false, 0, SignNo, Days{3, 7}, 10, 0, []string{citeNone}},
	{"veal", domain.Say("veal"), false, 0, SignNo, Days{3, 7}, 7, 0, []string{citeNone, citeUW}},
	{"lamb-goat", domain.Say("lamb or goat"), true, 0.50, SignNever, Days{3, 7}, 10, 0, []string{citeNone}},
	{"hog", domain.Say("hog"), false, 0, SignNever, Days{1, 3}, 7, 0, []string{citeUW + " (pork is not aged)", citeNone}},
	{"wild-hog-bear", domain.Say("wild hog or bear"), false, 0, SignNever, Days{1, 3}, 4, 0, []string{citeNone}},
}

// ProtocolByKey finds one of Protocols.
func ProtocolByKey(key string) (Protocol, bool) {
	for _, p := range Protocols {
		if p.Key == key {
			return p, true
		}
	}
	return Protocol{}, false
}

// Pick returns the key of the protocol that applies: the first of damaged, boned,
// quarters (beef and bison quarters hang as whole), else by species and class.
func Pick(species domain.Species, class domain.Class, form domain.Form, damaged bool) string {
	beef := species == domain.Beef || species == domain.Bison
	switch {
	case damaged:
		return "damaged"
	case form == domain.Boned:
		return "boned"
	case form == domain.Quarters && !beef:
		return "quarters"
	}
	return KindOf(species, class)
}

// KindOf is Pick for a whole, sound animal: its kind, whatever its form.
func KindOf(species domain.Species, class domain.Class) string {
	switch species {
	case domain.Elk, domain.Moose:
		if class == domain.Bull {
			return "bull"
		}
		return "cow"
	case domain.Beef, domain.Bison:
		if class == domain.Lean {
			return "beef-lean"
		}
		return "beef-fat"
	case domain.Pronghorn, domain.Veal, domain.Hog:
		return string(species)
	case domain.Lamb, domain.Goat:
		return "lamb-goat"
	case domain.Bear, domain.WildHog:
		return "wild-hog-bear"
	}
	if class == domain.Young || class == domain.Thin {
		return "deer-young"
	}
	return "deer-mature"
}

// ProtocolFor returns the default protocol of an animal. Where that of its form
// and that of its kind have different ceilings the lower wins.
func ProtocolFor(species domain.Species, class domain.Class, form domain.Form, damaged bool) Protocol {
	p, _ := ProtocolByKey(Pick(species, class, form, damaged))
	kind, _ := ProtocolByKey(KindOf(species, class))
	return p.Under(kind)
}

// check refuses a protocol that cannot be counted with.
func (p Protocol) check() error {
	switch {
	case !(p.Target >= 0 && p.Target <= 1):
		return domain.Wrong("protocol.target_fraction", "A target is a fraction from 0 to 1, not %g.", p.Target)
	case !(p.Ceiling > 0 && p.Ceiling <= 365):
		return domain.Wrong("protocol.ceiling_days", "The most days must be more than 0 and at most 365, not %g.", p.Ceiling)
	case !(p.LongCeiling >= 0 && p.LongCeiling <= 365):
		return domain.Wrong("protocol.long_ceiling_days", "The most days of a long hang must be from 0 to 365, not %g.", p.LongCeiling)
	}
	return nil
}

// daysAfter returns the instant d days of 24 h after t.
func daysAfter(t time.Time, d float64) time.Time {
	return t.Add(time.Duration(d * 24 * float64(time.Hour)))
}
