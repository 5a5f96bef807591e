package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/message"

	"github.com/jackc/pgx/v5"
)

// tellReady tells the owners that boxes wait, where that has become true with this
// act: boxed, billed, nothing that holds it (trade.md 8, 1). It is called by each act
// that may have been the last thing missing, and each lot of boxes is told of once.
func (db *DB) tellReady(ctx context.Context, tx pgx.Tx, act Act, number domain.ShopNumber) error {
	set, err := messageSettings(ctx, tx)
	if err != nil || !set.Sending {
		return err
	}
	a, err := lockAnimal(ctx, tx, number)
	if err != nil || a.Physical != animal.Stored && a.Physical != animal.PartReleased || !(Account{Animal: a}).IsBilled() {
		return err
	}
	holds, err := openHolds(ctx, tx, a.ID)
	if err != nil || hold.May(holds, hold.Release) != nil {
		return err
	}
	boxed, more, err := boxedSoFar(ctx, tx, a)
	if err != nil || boxed == nil {
		return err
	}
	kind := message.Ready
	if more {
		kind = message.PartReady
	}
	var told bool
	if err := tx.QueryRow(ctx, `
		SELECT EXISTS (SELECT FROM messages WHERE animal_id = $1 AND kind = $2 AND queued_at >= $3 AND state <> 'dropped')`, a.ID, kind, *boxed).Scan(&told); err != nil || told {
		return err
	}
	return db.tellOwners(ctx, tx, act, a.ID, cause{Kind: kind, From: boxed.Add(time.Duration(set.FreezeHours) * time.Hour)})
}

// tellResult tells the owners what the laboratory wrote, and that boxes wait where
// the result was the last thing missing.
func (db *DB) tellResult(ctx context.Context, tx pgx.Tx, act Act, a Animal, word string) error {
	if err := db.tellOwners(ctx, tx, act, a.ID, cause{Kind: message.Result, About: word}); err != nil {
		return err
	}
	return db.tellReady(ctx, tx, act, a.Number)
}

// boxedSoFar is when the last box that is still here was placed, nil where none is,
// and whether more of the animal is to come: loose packs, sausage in a batch, or
// something ordered that nobody has made yet.
func boxedSoFar(ctx context.Context, tx pgx.Tx, a Animal) (last *time.Time, more bool, err error) {
	err = tx.QueryRow(ctx, `
		SELECT (SELECT max(placed_at) FROM boxes WHERE animal_id = a.id AND released_at IS NULL),
		       EXISTS (SELECT FROM packs k WHERE k.animal_id = a.id AND k.box_id IS NULL) OR EXISTS (`+inBatch+`)
		FROM animals a WHERE a.id = $1`, a.ID).Scan(&last, &more)
	if err != nil || more {
		return last, more, err
	}
	done, err := worked(ctx, tx, a)
	return last, len(cutting.ToCome(done.Ordered, done.Packed)) > 0, err
}
