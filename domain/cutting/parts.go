package cutting

import (
	"slices"

	"coldrail/domain"
)

// Part is what an order line is about.
type Part string

// The parts of a deer and of game cut like it (trade.md 6.2).
const (
	Backstrap  Part = "backstrap"
	Tenderloin Part = "tenderloin"
	Hind       Part = "hind"
	Shoulder   Part = "shoulder"
	Neck       Part = "neck"
	Shank      Part = "shank"
	Ribs       Part = "ribs"
	Trim       Part = "trim"
	Heart      Part = "heart"
	Liver      Part = "liver"
)

// Treatment is what is done with a part.
type Treatment string

// The treatments.
const (
	WholePiece    Treatment = "whole"
	Halves        Treatment = "halves"
	Butterflied   Treatment = "butterflied"
	Chops         Treatment = "chops" // boneless
	BoneInChops   Treatment = "bone-in-chops"
	WithChops     Treatment = "with-chops"
	OwnerTook     Treatment = "owner-took"
	Steaks        Treatment = "steaks"
	Roasts        Treatment = "roasts"
	BoneInRoasts  Treatment = "bone-in-roasts"
	Cubed         Treatment = "cubed"
	Stew          Treatment = "stew"
	JerkySlices   Treatment = "jerky-slices" // whole muscle, 1/4 in
	DriedMuscle   Treatment = "dried"
	Osso          Treatment = "osso"
	Grind         Treatment = "grind" // to the trim, or plain
	Burger        Treatment = "burger"
	Chili         Treatment = "chili-grind"
	Summer        Treatment = "summer-sausage"
	Sticks        Treatment = "sticks"
	Brats         Treatment = "brats"
	Breakfast     Treatment = "breakfast-sausage"
	Bologna       Treatment = "bologna"
	JerkyGround   Treatment = "jerky-ground"
	BonesForGrind Treatment = "bone-for-grind"
	Keep          Treatment = "keep"
	Discard       Treatment = "discard"
)

// Choices is what may be done with one part.
type Choices struct {
	Part       Part
	Treatments []Treatment
	Owed       bool // an order without a line for it is not complete
}

// Sheet is the order sheet for deer and game cut like it, in the order it is
// asked (trade.md 6.2). Whole-muscle jerky is a line of the hinds alone.
var Sheet = []Choices{
	{Backstrap, []Treatment{WholePiece, Halves, Butterflied, Chops, BoneInChops}, true},
	{Tenderloin, []Treatment{WholePiece, WithChops, OwnerTook}, false},
	{Hind, []Treatment{Steaks, Roasts, Cubed, Stew, JerkySlices, DriedMuscle, Grind}, true},
	{Shoulder, []Treatment{Roasts, BoneInRoasts, Stew, Grind}, true},
	{Neck, []Treatment{Roasts, Grind}, true},
	{Shank, []Treatment{Osso, Grind, Discard}, false},
	{Ribs, []Treatment{Keep, BonesForGrind, Discard}, false},
	{Trim, []Treatment{Grind, Burger, Chili, Summer, Sticks, Brats, Breakfast, Bologna, JerkyGround}, true},
	{Heart, []Treatment{Keep, Discard}, false},
	{Liver, []Treatment{Keep, Discard}, false},
}

// Allows reports whether the treatment goes with the part.
func Allows(p Part, t Treatment) bool {
	return slices.ContainsFunc(Sheet, func(c Choices) bool { return c.Part == p && slices.Contains(c.Treatments, t) })
}

// Thicknesses are what the saw and the knife are set to, in inches. Jerky is cut
// at 1/4; chops from 1/2 to 1 1/2, steaks from 1/2 to 1 (trade.md 6.2).
var Thicknesses = []string{"1/4", "1/2", "3/4", "1", "1 1/4", "1 1/2"}

// thick reports whether the treatment needs a thickness.
func (t Treatment) thick() bool {
	return t == Chops || t == BoneInChops || t == Steaks || t == Butterflied
}

// special reports whether the treatment is mixed and stuffed by the batch.
func (t Treatment) special() bool {
	return slices.Contains([]Treatment{Summer, Sticks, Brats, Breakfast, Bologna, JerkyGround}, t)
}

// addsMeat reports whether pork or beef usually goes in.
func (t Treatment) addsMeat() bool { return t == Burger || t.special() }

var partWords = map[Part]string{
	Backstrap: "backstraps", Tenderloin: "tenderloins", Hind: "hinds", Shoulder: "shoulders", Neck: "neck",
	Shank: "shanks", Ribs: "ribs", Trim: "trim", Heart: "heart", Liver: "liver",
}

var treatmentWords = map[Treatment]string{
	WholePiece: "whole", Halves: "in halves", Butterflied: "butterflied", Chops: "chops, boneless", BoneInChops: "chops, bone in",
	WithChops: "with the chops", OwnerTook: "owner took it", Steaks: "steaks", Roasts: "roasts, boneless",
	BoneInRoasts: "roasts, bone in", Cubed: "cubed steaks", Stew: "stew", JerkySlices: "jerky, whole slices",
	DriedMuscle: "whole muscle for drying", Osso: "cross-cut with the bone", Grind: "grind", Burger: "burger",
	Chili: "chili grind", Summer: "summer sausage", Sticks: "sticks", Brats: "brats", Breakfast: "breakfast sausage",
	Bologna: "bologna", JerkyGround: "jerky, ground", BonesForGrind: "bone out for grind", Keep: "keep", Discard: "discard",
}

// Words names the part as the shop says it.
func (p Part) Words() domain.Words {
	if w, ok := partWords[p]; ok {
		return domain.Say(w)
	}
	return domain.Say("%s", string(p))
}

// Words names the treatment as the shop says it.
func (t Treatment) Words() domain.Words {
	if w, ok := treatmentWords[t]; ok {
		return domain.Say(w)
	}
	return domain.Say("%s", string(t))
}
