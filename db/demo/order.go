package demo

import (
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cutting"
)

// order is what the owner wants done; some are still waiting for a call.
func (s *season) order(a *actor, complete bool) db.Written {
	w := db.Written{Source: pick(s, "counter", "counter", "card", "phone")}
	if w.Source == "phone" {
		w.Caller = a.drop.Owner.Name
	}
	w.OwnMeatOnly, w.Added = true, cutting.NoneAdded
	if w.Lines = livestock(a.drop.Species); w.Lines == nil {
		w.Lines = pick(s, plain, burger, roasts)
		w.FallBack = pick(s, "less steak, keep the grind", "less jerky", "call me")
	}
	if !complete {
		w.Lines, w.Note = w.Lines[:2], "Will call about the rest."
	}
	return w
}

// kill writes down whose livestock was before the kill, how old cattle were, and that
// the carcass is stamped.
func (s *season) kill(a *actor, at time.Time) error {
	k := cutting.Kill{SaidBy: a.drop.Owner.Name, Household: true, Shares: []cutting.Buyer{
		{Name: a.drop.Owner.Name, SoldOn: a.drop.KilledAt.AddDate(0, 0, -20), Evidence: "bill of sale"}}}
	if len(a.halves) > 0 {
		k.SaidBy, k.Shares = a.drop.Deliverer.Name, a.halves
	}
	if cutting.SheetOf(a.drop.Species).AsksMonth {
		k.ThirtyMonths, k.KnownBy = "no", "papers"
	}
	if err := s.db.EnterKill(s.ctx, s.act("LG", at), a.drop.Number, k); err != nil {
		return err
	}
	return s.db.Stamp(s.ctx, s.act("LG", at), a.drop.Number, cutting.Quarters)
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

// livestock is an order for what a farmer brought; nil for game.
func livestock(species domain.Species) []cutting.Line {
	switch species {
	case domain.Beef, domain.Bison, domain.Veal:
		return []cutting.Line{
			{Part: cutting.Chuck, Treatment: cutting.Roasts, Size: "3 lb"}, {Part: cutting.Rib, Treatment: cutting.BoneInSteaks, Thickness: "1", PerPack: "2"},
			{Part: cutting.ShortLoin, Treatment: cutting.TBones, Thickness: "1", PerPack: "2"}, {Part: cutting.Sirloin, Treatment: cutting.Steaks, Thickness: "3/4", PerPack: "2"},
			{Part: cutting.Round, Treatment: cutting.Roasts, Size: "3 lb", Amount: "half"}, {Part: cutting.Round, Treatment: cutting.Cubed, Amount: "half"},
			{Part: cutting.Brisket, Treatment: cutting.Halves}, {Part: cutting.Trim, Treatment: cutting.Grind, PerPack: "1 lb", Amount: "rest"},
		}
	case domain.Hog, domain.WildHog:
		return []cutting.Line{
			{Part: cutting.Loin, Treatment: cutting.BoneInChops, Thickness: "3/4", PerPack: "4"}, {Part: cutting.Butt, Treatment: cutting.Roasts, Size: "4 lb"},
			{Part: cutting.Picnic, Treatment: cutting.Grind}, {Part: cutting.Ham, Treatment: cutting.Smoked, Size: "halves"},
			{Part: cutting.Belly, Treatment: cutting.Bacon, Thickness: "1/8", PerPack: "1 lb"}, {Part: cutting.Trim, Treatment: cutting.BulkMeat, Flavour: "sage", PerPack: "1 lb", Amount: "rest"},
		}
	case domain.Lamb, domain.Goat:
		return []cutting.Line{
			{Part: cutting.Leg, Treatment: cutting.BoneInRoasts}, {Part: cutting.Loin, Treatment: cutting.BoneInChops, Thickness: "1", PerPack: "4"},
			{Part: cutting.Rib, Treatment: cutting.Racks}, {Part: cutting.Shoulder, Treatment: cutting.Stew}, {Part: cutting.Trim, Treatment: cutting.Grind, PerPack: "1 lb", Amount: "rest"},
		}
	}
	return nil
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
