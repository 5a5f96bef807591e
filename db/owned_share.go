package db

import (
	"context"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"

	"github.com/jackc/pgx/v5"
)

// OwnedShare narrows what the page of an owner is made from to one share: its packs,
// boxes, bill and payments. What belongs to others, or cannot be told apart, is taken
// out of it. There is false where the animal has no such share.
func (db *DB) OwnedShare(ctx context.Context, o Owned, portion cutting.Portion) (_ Owned, there bool, err error) {
	err = pgx.BeginTxFunc(ctx, db.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error {
		accounts, err := shareAccounts(ctx, tx, o.Animal)
		if err != nil {
			return err
		}
		var s ShareAccount
		if s, there = shareOf(accounts, portion); !there || s.Whose == "" {
			there = false
			return nil
		}
		o.toShare(s)
		if err := tx.QueryRow(ctx, `
			SELECT (SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1 AND portion = $2),
			       (SELECT coalesce(sum(net_kg), 0) FROM packs WHERE animal_id = $1 AND portion = $2),
			       (SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1 AND portion = $2 AND box_id IS NULL),
			       count(*)::int, count(*) FILTER (WHERE b.released_at IS NULL)::int, max(b.released_at)
			FROM boxes b WHERE b.animal_id = $1 AND EXISTS (SELECT FROM packs p WHERE p.box_id = b.id AND p.portion = $2)`, o.ID, portion).
			Scan(&o.Packs, &o.PackedKg, &o.Loose, &o.Boxes, &o.Here, &o.LastLeft); err != nil {
			return err
		}
		o.shareStands()
		if err := o.belongTo(ctx, tx, portion); err != nil {
			return err
		}
		ordered, err := shareOrdered(ctx, tx, o.Animal, portion)
		o.ToCome = cutting.ToCome(ordered.Ordered, ordered.Packed)
		return err
	})
	return o, there, translate(err)
}

// toShare replaces the money and the estimates by the share's own.
func (o *Owned) toShare(s ShareAccount) {
	part := domain.Kilogram(s.Portion.Quarters()) / 4
	o.Expected.Clean, o.Expected.Typical = o.Expected.Clean*part, o.Expected.Typical*part
	o.Expected.Middle *= part
	o.parted = []int64{s.Portion.Quarters(), 4 - s.Portion.Quarters()}
	o.Invoice = s.Invoice()
}

// shareStands says how far the share is: its own boxes have left or not.
func (o *Owned) shareStands() {
	switch o.Physical {
	case animal.Stored, animal.PartReleased, animal.Released:
		switch {
		case o.Boxes == 0 || o.Here == o.Boxes:
			o.Physical = animal.Stored
		case o.Here == 0:
			o.Physical = animal.Released
		default:
			o.Physical = animal.PartReleased
		}
	}
}

// shareOrdered is worked for one share.
func shareOrdered(ctx context.Context, q querier, a Animal, portion cutting.Portion) (billing.Animal, error) {
	w := billing.Animal{Species: a.Species, Form: a.Form, Ordered: map[string]int{}, Packed: map[string]domain.Kilogram{}}
	rows, err := all[struct {
		Name string
		N    int
		Kg   domain.Kilogram
	}](ctx, q, `
		SELECT l.treatment AS name, count(*)::int AS n, 0::float8 AS kg FROM order_lines l WHERE l.order_id IN (
		  SELECT id FROM orders WHERE animal_id = $1 AND void_at IS NULL AND portion = $2) GROUP BY l.treatment
		UNION ALL
		SELECT cut, 0, sum(net_kg) FROM packs WHERE animal_id = $1 AND portion = $2 GROUP BY cut`, a.ID, portion)
	for _, r := range rows {
		if r.N > 0 {
			w.Ordered[r.Name] = r.N
		} else {
			w.Packed[string(cutting.TreatmentIn(r.Name))] += r.Kg
		}
	}
	return w, err
}
