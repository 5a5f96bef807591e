package db

import (
	"context"
	"slices"

	"coldrail/domain/batch"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// OwnShare is one share of an animal, whose it is, and whether it is that of whoever
// the animal stands for: what came with the animal, such as a cooler, and what comes off it
// whole, such as a hide, go back to them.
type OwnShare struct {
	Portion    cutting.Portion
	Whose      string
	Brought    bool
	Treatments []string // what its order asks for
}

// asks reports whether the order of the share asks for a product.
func (s OwnShare) asks(p batch.Product) bool {
	return slices.ContainsFunc(p.Treatments(), func(t string) bool { return slices.Contains(s.Treatments, t) })
}

// OwnShares lists the shares whose owner is known; none where it is not shared.
func (db *DB) OwnShares(ctx context.Context, animal uuid.UUID) ([]OwnShare, error) {
	return sharesOwned(ctx, db.pool, animal)
}

func sharesOwned(ctx context.Context, q querier, animal uuid.UUID) ([]OwnShare, error) {
	return all[OwnShare](ctx, q, `
		SELECT o.portion, o.for_whom AS whose, ARRAY(SELECT DISTINCT l.treatment FROM order_lines l WHERE l.order_id = o.id LIMIT 100) AS treatments,
		       lower(o.for_whom) = lower(coalesce((
		         SELECT p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = $1 AND ap.role IN ('owner', 'taker', 'deliverer')
		         ORDER BY array_position(ARRAY['owner', 'taker', 'deliverer'], ap.role), ap.since LIMIT 1), '')) AS brought
		FROM orders o WHERE o.animal_id = $1 AND o.void_at IS NULL AND o.portion <> '' AND o.for_whom <> '' ORDER BY o.portion LIMIT 10`, animal)
}

// asking lists the shares whose orders ask for a product.
func asking(shares []OwnShare, p batch.Product) (list []OwnShare) {
	for _, s := range shares {
		if s.asks(p) {
			list = append(list, s)
		}
	}
	return list
}

// portionOfBatch is the share that a batch made of the animal's meat goes to: the only
// one that asked for it, or no one's alone.
func portionOfBatch(ctx context.Context, q querier, animal uuid.UUID, p batch.Product) (cutting.Portion, error) {
	shares, err := sharesOwned(ctx, q, animal)
	if of := asking(shares, p); err == nil && len(of) == 1 {
		return of[0].Portion, nil
	}
	return cutting.WholeAnimal, err
}

// belongTo keeps what is this share's of what goes back, and of the batches. What the
// animal came with and what comes off it whole is of whoever it stands for; a
// batch is of each owner who asked for it, and of them where nobody did.
func (o *Owned) belongTo(ctx context.Context, q querier, portion cutting.Portion) error {
	shares, err := sharesOwned(ctx, q, o.ID)
	i := slices.IndexFunc(shares, func(s OwnShare) bool { return s.Portion == portion })
	if err != nil || i < 0 {
		o.Left, o.Pieces, o.Batches = nil, nil, nil
		return err
	}
	mine := shares[i]
	if !mine.Brought {
		o.Left, o.Pieces = nil, nil
	}
	all := o.Batches
	o.Batches = nil // a list of its own: the animal's is remembered
	for _, b := range all {
		of := asking(shares, b.Product)
		if mine.asks(b.Product) || len(of) == 0 && mine.Brought {
			b.Several = len(of) != 1
			o.Batches = append(o.Batches, b)
		}
	}
	return nil
}
