package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/yield"
)

// addedFat is how much pork or beef makes of packs when it is mixed in: up to 20
// parts in 100 of what is packed (trade.md 6.2), so a quarter on top of the meat.
const addedFat = 1.25

// Closure holds what came off the table against what went on it, and packed
// weight against the range such an animal gives. It is closed only where the
// cutter said that everything was on the scale and nothing was mixed in. What went
// into a batch is counted as it went in, by its tub or by the batch's own scale;
// what comes back of it is no part of the sum.
func (db *DB) Closure(ctx context.Context, number domain.ShopNumber) (cutting.Closure, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return cutting.Closure{}, err
	}
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return cutting.Closure{}, err
	}
	return numbers.closure(ctx, db.pool, a)
}

func (n *Numbers) closure(ctx context.Context, q querier, a Animal) (cutting.Closure, error) {
	type sums struct {
		Packed     domain.Kilogram
		Tubs       domain.Kilogram
		BoneFat    domain.Kilogram
		Discard    domain.Kilogram
		Unweighed  bool // a tub
		Added      bool
		AllWeighed bool
		Weighed    *time.Time
		Started    *time.Time
	}
	s, _, err := one[sums](ctx, q, `
		SELECT coalesce((SELECT sum(net_kg) FROM packs WHERE animal_id = $1 AND batch_id IS NULL), 0) AS packed,
		       coalesce((SELECT sum(kg) FROM pieces WHERE animal_id = $1 AND kind = 'tub' AND gone_to NOT IN ('packed', 'batch')), 0)
		       + greatest(coalesce((SELECT sum(kg) FROM pieces WHERE animal_id = $1 AND kind = 'tub' AND gone_to = 'batch'), 0),
		                  coalesce((SELECT sum(kg) FROM batch_inputs WHERE animal_id = $1), 0)) AS tubs,
		       EXISTS (SELECT FROM pieces WHERE animal_id = $1 AND kind = 'tub' AND gone_to <> 'packed' AND kg IS NULL) AS unweighed,
		       coalesce((SELECT sum(kg) FROM trim WHERE animal_id = $1 AND kind IN ('bone', 'fat')), 0) AS bone_fat,
		       coalesce((SELECT sum(kg) FROM trim WHERE animal_id = $1 AND kind NOT IN ('bone', 'fat')), 0) AS discard,
		       EXISTS (SELECT FROM orders WHERE animal_id = $1 AND void_at IS NULL AND added_meat IN ('pork', 'beef')) AS added,
		       coalesce((SELECT bool_or(all_weighed) FROM sessions_at_table WHERE animal_id = $1), false) AS all_weighed,
		       (SELECT max(at) FROM weigh_ins WHERE animal_id = $1 AND purpose = 'hanging') AS weighed,
		       (SELECT min(started_at) FROM sessions_at_table WHERE animal_id = $1) AS started`, a.ID)
	if err != nil {
		return cutting.Closure{}, err
	}
	e := n.Expected(a)
	w := cutting.Weighed{Hanging: a.HangingKg, Packed: s.Packed, Tubs: s.Tubs, ExpectedLow: e.Typical, ExpectedHigh: e.Clean}
	if s.AllWeighed && !s.Added && !s.Unweighed {
		w.BoneFat, w.Discard = &s.BoneFat, &s.Discard
	}
	if s.Added {
		w.ExpectedHigh *= addedFat
	}
	if a.HangingKg != nil && s.Started != nil {
		dried := *a.HangingKg * domain.Kilogram(driedAway(a, s.Weighed, *s.Started))
		low, middle, high := n.drying(a)
		w.ShrinkLow, w.ShrinkMiddle, w.ShrinkHigh = domain.Kilogram(low)*dried, domain.Kilogram(middle)*dried, domain.Kilogram(high)*dried
	}
	c := cutting.Close(w)
	c.Basis = e.Basis
	return c, nil
}

// Neighbours lists the animals that were on a table within an hour of this one,
// with how far their own weights are off: where one lacks meat and another has
// too much, a tub has changed owners (trade.md 6.9).
func (db *DB) Neighbours(ctx context.Context, number domain.ShopNumber) ([]cutting.Neighbour, error) {
	around, err := all[Animal](ctx, db.pool, `
		SELECT `+animalColumns+` FROM animals a WHERE a.number <> $1 AND a.id IN (
		  SELECT n.animal_id FROM sessions_at_table t JOIN animals m ON m.id = t.animal_id
		  JOIN sessions_at_table n ON n.started_at <= t.stopped_at + interval '1 hour' AND n.stopped_at >= t.started_at - interval '1 hour'
		  WHERE m.number = $1) ORDER BY a.number LIMIT 12`, number)
	if err != nil {
		return nil, err
	}
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return nil, err
	}
	found := make([]cutting.Neighbour, len(around))
	for i, a := range around {
		found[i].Number = a.Number
		if found[i].Closure, err = numbers.closure(ctx, db.pool, a); err != nil {
			return nil, err
		}
	}
	return found, nil
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
