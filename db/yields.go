package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/yield"
)

// expected is the boneless meat the animal should give, from its hanging weight
// or, where that is not known yet, from the field-dressed one. The zero Estimate
// where neither is known or the species is not weighed so.
func expected(a Animal) yield.Estimate {
	if a.HangingKg != nil {
		if e, err := yield.FromHanging(a.Species, a.Class, *a.HangingKg); err == nil {
			return e
		}
	}
	if a.FieldDressedKg != nil {
		if e, err := yield.FromFieldDressed(a.Species, *a.FieldDressedKg); err == nil {
			return e
		}
	}
	return yield.Estimate{}
}

// addedFat is how much pork or beef makes of packs when it is mixed in: up to 20
// parts in 100 of what is packed (trade.md 6.2), so a quarter on top of the meat.
const addedFat = 1.25

// drying is the range around the modelled loss while hanging. Common practice,
// no source: half as much in a damp still room, half more in a dry draught.
const dryingLow, dryingHigh = 0.5, 1.5

// Closure holds what came off the table against what went on it, and packed
// weight against the range such an animal gives.
func (db *DB) Closure(ctx context.Context, number domain.ShopNumber) (cutting.Closure, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return cutting.Closure{}, err
	}
	type sums struct {
		Packed  domain.Kilogram
		BoneFat *domain.Kilogram
		Discard *domain.Kilogram
		Added   bool
		Weighed *time.Time
		Started *time.Time
	}
	s, _, err := one[sums](ctx, db.pool, `
		SELECT coalesce((SELECT sum(net_kg) FROM packs WHERE animal_id = $1), 0) AS packed,
		       (SELECT sum(kg) FROM trim WHERE animal_id = $1 AND kind IN ('bone', 'fat')) AS bone_fat,
		       (SELECT sum(kg) FROM trim WHERE animal_id = $1 AND kind NOT IN ('bone', 'fat')) AS discard,
		       EXISTS (SELECT FROM orders WHERE animal_id = $1 AND void_at IS NULL AND added_meat IN ('pork', 'beef')) AS added,
		       (SELECT max(at) FROM weigh_ins WHERE animal_id = $1 AND purpose = 'hanging') AS weighed,
		       (SELECT min(started_at) FROM sessions_at_table WHERE animal_id = $1) AS started`, a.ID)
	if err != nil {
		return cutting.Closure{}, err
	}
	e := expected(a)
	w := cutting.Weighed{Hanging: a.HangingKg, Packed: s.Packed, BoneFat: s.BoneFat, Discard: s.Discard, ExpectedLow: e.Typical, ExpectedHigh: e.Clean}
	if s.Added {
		w.ExpectedHigh *= addedFat
	}
	if a.HangingKg != nil && s.Started != nil {
		dried := *a.HangingKg * domain.Kilogram(driedAway(a, s.Weighed, *s.Started))
		w.ShrinkLow, w.ShrinkHigh = dryingLow*dried, dryingHigh*dried
	}
	return cutting.Close(w), nil
}

// driedAway is the part of the hanging weight lost between the scale and the
// table; without a weigh-in of its own it was weighed when it came.
func driedAway(a Animal, weighed *time.Time, started time.Time) float64 {
	days := func(t time.Time) float64 { return t.Sub(a.ReceivedAt).Hours() / 24 }
	from := 0.0
	if weighed != nil {
		from = days(*weighed)
	}
	return yield.Shrink(a.Species, a.Form, days(started)) - yield.Shrink(a.Species, a.Form, from)
}
