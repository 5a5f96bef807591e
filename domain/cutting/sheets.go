package cutting

import (
	"slices"

	"coldrail/domain"
)

// Choices is what may be done with one part.
type Choices struct {
	Part       Part
	Treatments []Treatment
	Owed       bool // an order without a line for it is not complete
}

// Sheet is what the owner of one kind of animal is asked, in the order it is
// asked.
type Sheet struct {
	Parts     []Choices
	Most      int  // into how many portions it may be sold: 1, 2 halves or 4 mixed quarters
	AsksMonth bool // whether it was 30 months or older has to be known
}

// game is the sheet for deer and game cut like it (trade.md 6.2). Whole-muscle
// jerky is a line of the hinds alone.
var game = Sheet{Most: 1, Parts: []Choices{
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
}}

// beef is the sheet for a half or a mixed quarter of beef, bison or veal
// (trade.md 6.3).
var beef = Sheet{Most: 4, AsksMonth: true, Parts: []Choices{
	{Chuck, []Treatment{Roasts, BoneInRoasts, FlatIron, Stew, Grind}, true},
	{Rib, []Treatment{BoneInSteaks, Steaks, PrimeRoast, Grind}, true},
	{ShortLoin, []Treatment{TBones, StripFillet, Grind}, true},
	{Sirloin, []Treatment{Steaks, Roasts, Grind}, true},
	{Tip, []Treatment{Steaks, Roasts, Cubed, Stew, Grind}, false},
	{Round, []Treatment{Steaks, Roasts, Cubed, JerkySlices, Stew, Grind}, true},
	{Brisket, []Treatment{WholePiece, Halves, Grind}, true},
	{Flank, []Treatment{WholePiece, Grind}, false},
	{Skirt, []Treatment{WholePiece, Grind}, false},
	{ShortRibs, []Treatment{Keep, BonesForGrind}, false},
	{Neck, []Treatment{NeckBones, Grind}, false},
	{Shank, []Treatment{Osso, SoupBones, Grind}, false},
	{Trim, []Treatment{Grind, Patties, Stew, Summer, Sticks, JerkyGround}, true},
	{Bones, []Treatment{SoupBones, DogBones, Discard}, false},
	{Liver, []Treatment{Keep, Discard}, false},
	{Heart, []Treatment{Keep, Discard}, false},
	{Tongue, []Treatment{Keep, Discard}, false},
	{Tail, []Treatment{Keep, Discard}, false},
	{Suet, []Treatment{Keep, Discard}, false},
}}

// hog is the sheet for a hog or half of one (trade.md 6.4).
var hog = Sheet{Most: 2, Parts: []Choices{
	{Loin, []Treatment{BoneInChops, Chops, BabyBacks, Roasts}, true},
	{Butt, []Treatment{Roasts, BoneInRoasts, Steaks, Grind}, true},
	{Picnic, []Treatment{Roasts, BoneInRoasts, Steaks, Grind}, true},
	{Ham, []Treatment{Fresh, Cured, Smoked, Steaks, Grind}, true},
	{Belly, []Treatment{Fresh, Bacon, Grind}, true},
	{Ribs, []Treatment{Keep, BonesForGrind, Discard}, false},
	{Jowl, []Treatment{Fresh, Bacon, Grind}, false},
	{Hocks, []Treatment{Fresh, Smoked, Grind}, false},
	{Trim, []Treatment{Grind, BulkMeat, Links, Brats, Breakfast, Summer}, true},
	{Lard, []Treatment{Keep, Discard}, false},
	{Liver, []Treatment{Keep, Discard}, false},
	{Heart, []Treatment{Keep, Discard}, false},
	{Head, []Treatment{Keep, Discard}, false},
	{Feet, []Treatment{Keep, Discard}, false},
}}

// lamb is the sheet for lamb and goat (trade.md 6.4).
var lamb = Sheet{Most: 2, Parts: []Choices{
	{Leg, []Treatment{BoneInRoasts, BonedRolled, Halves, Steaks, Stew, Grind}, true},
	{Loin, []Treatment{BoneInChops, Chops, Roasts, Grind}, true},
	{Rib, []Treatment{BoneInChops, Racks, Grind}, true},
	{Shoulder, []Treatment{Roasts, BoneInRoasts, BoneInChops, Stew, Grind}, true},
	{Neck, []Treatment{Roasts, Stew, Grind}, false},
	{Shank, []Treatment{WholePiece, Osso, Grind}, false},
	{Breast, []Treatment{Keep, BonesForGrind, Discard}, false},
	{Trim, []Treatment{Grind, Stew, Patties, Links}, true},
	{Heart, []Treatment{Keep, Discard}, false},
	{Liver, []Treatment{Keep, Discard}, false},
}}

// SheetOf returns the order sheet of a species. Bear is asked like deer, wild hog
// like hog (common practice, no source).
func SheetOf(s domain.Species) Sheet {
	switch s {
	case domain.Beef, domain.Bison, domain.Veal:
		return beef
	case domain.Hog:
		return hog
	case domain.WildHog: // game: nobody sells shares of it
		return Sheet{Parts: hog.Parts, Most: 1}
	case domain.Lamb, domain.Goat:
		return lamb
	}
	return game
}

// Allows reports whether the treatment goes with the part.
func (s Sheet) Allows(p Part, t Treatment) bool {
	return slices.ContainsFunc(s.Parts, func(c Choices) bool { return c.Part == p && slices.Contains(c.Treatments, t) })
}

// Has reports whether the animal has the part.
func (s Sheet) Has(p Part) bool {
	return slices.ContainsFunc(s.Parts, func(c Choices) bool { return c.Part == p })
}

// Thick reports whether any treatment of the part has a thickness.
func (c Choices) Thick() bool {
	return slices.ContainsFunc(c.Treatments, Treatment.thick) || slices.Contains(c.Treatments, JerkySlices)
}

// Flavoured reports whether any treatment of the part has a flavour.
func (c Choices) Flavoured() bool { return slices.ContainsFunc(c.Treatments, Treatment.flavoured) }

// Fatted reports whether any treatment of the part has fat mixed in by the
// hundred.
func (c Choices) Fatted() bool { return slices.Contains(c.Treatments, Burger) }

// Fats are the parts of fat in a hundred a burger may have (trade.md 6.2).
var Fats = []string{"0", "5", "10", "15", "20"}
