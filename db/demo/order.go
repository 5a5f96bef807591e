package demo

import (
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cutting"
)

// order is what the owner wants done; some are still waiting for a call.
func (s *season) order(a *actor, complete bool) db.Written {
	w := db.Written{Source: pick(s, "counter", "counter", "card", "phone"), Whole: complete}
	w.OwnMeatOnly, w.Added = true, cutting.NoneAdded
	if db.HasSheet(a.drop.Species) {
		w.Lines = pick(s, plain, burger, roasts)
		w.FallBack = pick(s, "less steak, keep the grind", "less jerky", "call me")
	} else {
		w.Lines = livestock(a.drop.Species)
	}
	if !complete {
		w.Lines, w.Note = w.Lines[:2], "Will call about the rest."
	}
	return w
}

// Three orders as hunters give them.
var (
	plain = []cutting.Line{
		{Part: cutting.Backstrap, Treatment: cutting.Chops, Thickness: "3/4", PerPack: "4", Amount: "all"},
		{Part: cutting.Tenderloin, Treatment: cutting.WholePiece, Amount: "all"},
		{Part: cutting.Hind, Treatment: cutting.Steaks, Thickness: "3/4", PerPack: "2", Amount: "half"},
		{Part: cutting.Hind, Treatment: cutting.Stew, PerPack: "1 lb", Amount: "half"},
		{Part: cutting.Shoulder, Treatment: cutting.Grind, Amount: "all"},
		{Part: cutting.Neck, Treatment: cutting.Grind, Amount: "all"},
		{Part: cutting.Trim, Treatment: cutting.Grind, PerPack: "1 lb", Amount: "rest"},
	}
	burger = []cutting.Line{
		{Part: cutting.Backstrap, Treatment: cutting.Butterflied, Thickness: "1", PerPack: "4", Amount: "all"},
		{Part: cutting.Tenderloin, Treatment: cutting.WholePiece, Amount: "all"},
		{Part: cutting.Hind, Treatment: cutting.Grind, Amount: "all"},
		{Part: cutting.Shoulder, Treatment: cutting.Grind, Amount: "all"},
		{Part: cutting.Neck, Treatment: cutting.Grind, Amount: "all"},
		{Part: cutting.Trim, Treatment: cutting.Grind, PerPack: "2 lb", Amount: "rest"},
	}
	roasts = []cutting.Line{
		{Part: cutting.Backstrap, Treatment: cutting.WholePiece, Amount: "all"},
		{Part: cutting.Tenderloin, Treatment: cutting.WholePiece, Amount: "all"},
		{Part: cutting.Hind, Treatment: cutting.Roasts, Size: "3 lb", PerPack: "1", Amount: "half"},
		{Part: cutting.Hind, Treatment: cutting.JerkySlices, Amount: "half"},
		{Part: cutting.Shoulder, Treatment: cutting.Roasts, Size: "3 lb", PerPack: "1", Amount: "all"},
		{Part: cutting.Neck, Treatment: cutting.Roasts, Size: "2 lb", PerPack: "1", Amount: "all"},
		{Part: cutting.Trim, Treatment: cutting.Chili, PerPack: "1 lb", Amount: "rest"},
	}
)

// livestock is an order in the farmer's own words.
func livestock(species domain.Species) []cutting.Line {
	switch species {
	case domain.Beef:
		return []cutting.Line{
			{Part: "chuck", Treatment: "roasts", Size: "3 lb", Amount: "all"}, {Part: "rib", Treatment: "bone-in steaks", Thickness: "1", PerPack: "2", Amount: "all"},
			{Part: "round", Treatment: "steaks and stew", Amount: "all"}, {Part: "trim", Treatment: "grind", PerPack: "1 lb", Amount: "rest"},
		}
	case domain.Hog:
		return []cutting.Line{
			{Part: "loin", Treatment: "chops", Thickness: "3/4", PerPack: "4", Amount: "all"}, {Part: "ham", Treatment: "fresh roasts", Size: "4 lb", Amount: "all"},
			{Part: "trim", Treatment: "sausage meat", PerPack: "1 lb", Amount: "rest"},
		}
	}
	return []cutting.Line{{Part: "all of it", Treatment: "bone and roast", Size: "3 lb", Amount: "half"}, {Part: "trim", Treatment: "grind", PerPack: "1 lb", Amount: "rest"}}
}

// cuts is what comes off the table: the share of the packed weight and how many
// packs it makes.
var cuts = []struct {
	name  string
	share float64
	each  domain.Kilogram
}{
	{"backstrap chops", 0.12, 0.5}, {"tenderloin", 0.02, 0.5}, {"steaks", 0.20, 0.6}, {"stew", 0.14, 0.45}, {"roasts", 0.16, 1.3}, {"grind", 0.36, 0.9},
}

// minutes is a span of work.
func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }
