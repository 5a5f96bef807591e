package cutting

import (
	"slices"
	"strings"

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

// The parts of livestock that game has no name for (trade.md 6.3 and 6.4).
const (
	Chuck     Part = "chuck"
	Rib       Part = "rib"
	ShortLoin Part = "short-loin"
	Sirloin   Part = "sirloin"
	Tip       Part = "tip"
	Round     Part = "round"
	Brisket   Part = "brisket"
	Flank     Part = "flank"
	Skirt     Part = "skirt"
	ShortRibs Part = "short-ribs"
	Tongue    Part = "tongue"
	Tail      Part = "tail"
	Suet      Part = "suet"
	Bones     Part = "bones"

	Loin   Part = "loin"
	Butt   Part = "butt"
	Picnic Part = "picnic"
	Ham    Part = "ham"
	Belly  Part = "belly"
	Jowl   Part = "jowl"
	Hocks  Part = "hocks"
	Lard   Part = "lard"
	Head   Part = "head"
	Feet   Part = "feet"

	Leg    Part = "leg"
	Breast Part = "breast"
)

// Treatment is what is done with a part.
type Treatment string

// The treatments that game and livestock share, or game alone.
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

// The treatments of livestock alone.
const (
	FlatIron     Treatment = "flat-iron"
	BoneInSteaks Treatment = "bone-in-steaks"
	PrimeRoast   Treatment = "prime-roast"
	TBones       Treatment = "t-bones"
	NeckBones    Treatment = "neck-bones"
	StripFillet  Treatment = "strip-and-fillet"
	Patties      Treatment = "patties"
	SoupBones    Treatment = "soup-bones"
	DogBones     Treatment = "dog-bones"

	BabyBacks   Treatment = "boneless-and-baby-backs"
	Fresh       Treatment = "fresh"
	Cured       Treatment = "cured"
	Smoked      Treatment = "smoked"
	Bacon       Treatment = "bacon"
	BulkMeat    Treatment = "sausage-bulk"
	Links       Treatment = "sausage-links"
	Racks       Treatment = "racks"
	BonedRolled Treatment = "boned-rolled"
)

// Thicknesses are what the saw and the knife are set to, in inches. Jerky is cut
// at 1/4 and bacon from 1/8; chops from 1/2 to 1 1/2, steaks from 1/2 to 1
// (trade.md 6.2).
var Thicknesses = []string{"1/8", "3/16", "1/4", "1/2", "3/4", "1", "1 1/4", "1 1/2"}

// thick reports whether the treatment needs a thickness.
func (t Treatment) thick() bool {
	return slices.Contains([]Treatment{Chops, BoneInChops, Steaks, Butterflied, BoneInSteaks, TBones, StripFillet, Bacon}, t)
}

// thicknessFits reports whether the saw is set so for this treatment: nothing
// but bacon and jerky is cut thinner than 1/2 in, and bacon no thicker than 1/4.
func (t Treatment) thicknessFits(inches string) bool {
	i := slices.Index(Thicknesses, inches)
	switch {
	case i < 0:
		return false
	case t == Bacon:
		return i <= 2
	case t.thick():
		return i >= 3
	}
	return true
}

// special reports whether the treatment is mixed and stuffed by the batch.
func (t Treatment) special() bool {
	return slices.Contains([]Treatment{Summer, Sticks, Brats, Breakfast, Bologna, JerkyGround, Links}, t)
}

// later reports whether it comes back from the grinder or the smokehouse after
// the fresh cuts.
func (t Treatment) later() bool { return t.special() || t == Cured || t == Smoked || t == Bacon }

// ground reports whether the meat went through the grinder.
func (t Treatment) ground() bool {
	return t.special() || slices.Contains([]Treatment{Grind, Burger, Chili, Patties, BulkMeat}, t)
}

// addsMeat reports whether pork or beef usually goes in. Sausage of a hog is all
// hog, so its treatments are not here.
func (t Treatment) addsMeat() bool { return t == Burger || t.special() && t != Links }

// spineBone reports whether the cut keeps bone of the spine in it.
func (t Treatment) spineBone() bool {
	return slices.Contains([]Treatment{BoneInChops, BoneInSteaks, PrimeRoast, TBones, NeckBones}, t)
}

// boneless is what is offered in place of a cut that keeps bone of the spine.
func (t Treatment) boneless() string {
	switch t {
	case TBones:
		return "strip and fillet off the same short loin"
	case BoneInSteaks, PrimeRoast:
		return "rib steaks without bone"
	case NeckBones:
		return "the neck boned out and ground"
	}
	return "chops without bone"
}

// flavoured reports whether a flavour or a seasoning belongs to it.
func (t Treatment) flavoured() bool { return t.special() || t == BulkMeat || t == JerkySlices }

var partWords = map[Part]string{
	Backstrap: "backstraps", Tenderloin: "tenderloins", Hind: "hinds", Shoulder: "shoulders", Neck: "neck",
	Shank: "shanks", Ribs: "ribs", Trim: "trim", Heart: "heart", Liver: "liver",
	Chuck: "chuck", Rib: "rib", ShortLoin: "short loin", Sirloin: "sirloin", Tip: "sirloin tip", Round: "round", Brisket: "brisket",
	Flank: "flank", Skirt: "skirt", ShortRibs: "short ribs", Tongue: "tongue", Tail: "tail", Suet: "suet", Bones: "bones",
	Loin: "loin", Butt: "butt", Picnic: "picnic", Ham: "ham", Belly: "belly", Jowl: "jowl", Hocks: "hocks", Lard: "lard",
	Head: "head", Feet: "feet", Leg: "legs", Breast: "breast",
}

var treatmentWords = map[Treatment]string{
	WholePiece: "whole", Halves: "in halves", Butterflied: "butterflied", Chops: "chops, boneless", BoneInChops: "chops, bone in",
	WithChops: "with the chops", OwnerTook: "owner took it", Steaks: "steaks", Roasts: "roasts, boneless",
	BoneInRoasts: "roasts, bone in", Cubed: "cubed steaks", Stew: "stew", JerkySlices: "jerky, whole slices",
	DriedMuscle: "whole muscle for drying", Osso: "cross-cut with the bone", Grind: "grind", Burger: "burger",
	Chili: "chili grind", Summer: "summer sausage", Sticks: "sticks", Brats: "brats", Breakfast: "breakfast sausage",
	Bologna: "bologna", JerkyGround: "jerky, ground", BonesForGrind: "bone out for grind", Keep: "keep", Discard: "discard",
	FlatIron: "flat-iron steaks, rest roasts", BoneInSteaks: "steaks, bone in", PrimeRoast: "prime roast, bone in", TBones: "T-bones and porterhouse", NeckBones: "neck bones",
	StripFillet: "strip steaks and fillet", Patties: "patties", SoupBones: "soup bones", DogBones: "dog bones",
	BabyBacks: "boneless, and baby backs", Fresh: "fresh", Cured: "cured", Smoked: "cured and smoked", Bacon: "bacon, sliced",
	BulkMeat: "sausage, loose", Links: "sausage, links", Racks: "racks", BonedRolled: "boned and rolled",
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

// Priced lists the treatments that a price may be for, by their words: all but what
// is left undone.
func Priced() (list []Treatment) {
	for t := range treatmentWords {
		if t != Keep && t != Discard && t != OwnerTook {
			list = append(list, t)
		}
	}
	slices.SortFunc(list, func(a, b Treatment) int { return strings.Compare(treatmentWords[a], treatmentWords[b]) })
	return list
}
