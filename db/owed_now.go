package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain/billing"
	"coldrail/domain/cutting"
)

// OwingNow adds to what was read for an owner the storage that has run and is not on
// the bill, with its tax: what they read is what they are asked for at the counter. Of a
// shared animal it is the part of the one share that o was narrowed to.
func (db *DB) OwingNow(ctx context.Context, o Owned, portion cutting.Portion, now time.Time) (Owned, error) {
	if !o.Storage.Running() || o.Here == 0 || !o.IsBilled() {
		return o, nil
	}
	var more []billing.Line
	var err error
	if portion == cutting.WholeAnimal {
		more, err = unbilled(ctx, db.pool, o.Animal, now)
	} else {
		more, err = shareStorage(ctx, db.pool, o.Animal, portion, now)
	}
	o.Invoice.Lines = append(slices.Clone(o.Invoice.Lines), more...) // the memory of pages keeps the other
	return o, err
}

// shareStorage is what one share will bear of the storage that has run, and of its tax,
// as partCharges parts them.
func shareStorage(ctx context.Context, q querier, a Animal, portion cutting.Portion, now time.Time) ([]billing.Line, error) {
	shares, err := portionsOf(ctx, q, a.ID)
	i := slices.IndexFunc(shares, func(s Share) bool { return s.Portion == portion })
	if err != nil || i < 0 {
		return nil, err
	}
	lines, err := storageDue(ctx, q, a, now)
	if err != nil {
		return nil, err
	}
	rates, err := taxRatesOn(ctx, q, now)
	if err != nil {
		return nil, err
	}
	waiting, err := waitingShares(ctx, q, a.ID, shares)
	if err != nil {
		return nil, err
	}
	lines = append(lines, billing.Tax(rates, lines)...)
	for n := range lines {
		lines[n].Total = billing.Split(lines[n].Total, waiting)[i]
	}
	return lines, nil
}
