package demo

import (
	"cmp"
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

// cut is what comes off the table of one line of an order: its share of the packed
// weight and about what a pack weighs.
type cut struct {
	name  string
	share float64
	each  domain.Kilogram
}

// shares are how the packed weight of a deer parts; of livestock every line of the order
// gives as much as the next.
var shares = map[cutting.Part]float64{cutting.Backstrap: 0.12, cutting.Tenderloin: 0.02, cutting.Hind: 0.36, cutting.Shoulder: 0.18, cutting.Neck: 0.07, cutting.Trim: 0.25}

// cutsOf is what the order bids to pack, under the names that the table offers.
func cutsOf(lines []cutting.Line) []cut {
	cuts, sum := make([]cut, len(lines)), 0.0
	for i, l := range lines {
		name := l.Part.Words().String() + ", " + l.Treatment.Words().String()
		if l.Part == cutting.Trim {
			name = l.Treatment.Words().String()
		}
		share, each := cmp.Or(shares[l.Part], 0.15), domain.Kilogram(0.6)
		if l.Amount == "half" {
			share /= 2
		}
		if l.Treatment == cutting.Roasts {
			each = 1.3
		}
		cuts[i] = cut{name, share, each}
		sum += share
	}
	for i := range cuts {
		cuts[i].share /= sum
	}
	return cuts
}

// minutes is a span of work.
func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }
