package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BatchShare is what of a batch goes back to one animal's owner.
type BatchShare struct {
	Number  domain.ShopNumber
	Owner   string
	InputKg domain.Kilogram
	ExactKg domain.Kilogram // its part by weight, before whole packs
	Packs   int
	GivenAt *time.Time
}

// BatchShares lists the shares of a finished batch, the largest first.
func (db *DB) BatchShares(ctx context.Context, number int) ([]BatchShare, error) {
	return all[BatchShare](ctx, db.pool, `
		SELECT a.number, `+ownerName+` AS owner, h.input_kg, h.exact_kg, h.packs, h.given_at
		FROM batch_shares h JOIN batches b ON b.id = h.batch_id JOIN animals a ON a.id = h.animal_id
		WHERE b.number = $1 ORDER BY h.input_kg DESC, a.number LIMIT 300`, number)
}

// Finished is what came out of a batch.
type Finished struct {
	Packs    int             // whole ones
	PackedKg domain.Kilogram // of the whole packs together
	OddKg    domain.Kilogram // what is left beside them
	OddTo    string          // and where it goes
}

// FinishBatch weighs and counts what came out and shares it: whole packs by largest
// remainder, which sum to all of them. The cook and the way down met their tables,
// or the lead has decided.
func (db *DB) FinishBatch(ctx context.Context, act Act, number int, f Finished) error {
	return db.act(ctx, act, "finish batch", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchMixed)
		if err != nil {
			return line{}, err
		}
		if err := batch.CheckFinished(b.Product, b.InKg(), f.Packs, f.PackedKg, f.OddKg); err != nil {
			return line{}, err
		}
		if f.OddTo = strings.TrimSpace(f.OddTo); f.OddKg > 0 && f.OddTo == "" {
			return line{}, domain.Wrong("odd_to", "Say where the %s left over go. The shop keeps none of it.", f.OddKg)
		}
		if !b.Product.Fresh() && b.AcceptedBy == "" {
			judged, err := cookAndCool(ctx, tx, b)
			if err != nil {
				return line{}, err
			}
			for _, r := range []struct {
				met bool
				why domain.Words
			}{{judged.Cooked.Met, judged.Cooked.Words}, {judged.Cooled.Met, judged.Cooled.Words}} {
				if !r.met {
					return line{}, domain.Refuse("cook", "%s", r.why)
				}
			}
		}
		if err := shareOut(ctx, tx, b, f); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			UPDATE batches SET status = 'finished', finished_at = $2, packs = $3, packed_kg = $4, odd_kg = $5, odd_to = $6 WHERE id = $1`,
			b.ID, act.At, f.Packs, f.PackedKg, f.OddKg, f.OddTo); err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "finish-batch", Detail: b.named("packs in all", f.Packs, "kg", round3(f.PackedKg+f.OddKg))}
		return l, tell(ctx, tx, act, in, l)
	})
}

// shareOut writes the share of each animal.
func shareOut(ctx context.Context, tx pgx.Tx, b Batch, f Finished) error {
	inputs, err := all[batch.Input](ctx, tx, `
		SELECT a.number, sum(i.kg) AS kg FROM batch_inputs i JOIN animals a ON a.id = i.animal_id WHERE i.batch_id = $1 GROUP BY a.number ORDER BY a.number`, b.ID)
	if err != nil {
		return err
	}
	shares, err := batch.Split(inputs, f.Packs, f.PackedKg+f.OddKg)
	if err != nil {
		return err
	}
	rows := &pgx.Batch{}
	for _, s := range shares {
		rows.Queue(`
			INSERT INTO batch_shares (batch_id, animal_id, input_kg, exact_kg, packs) SELECT $1, id, $2, $3, $4 FROM animals WHERE number = $5`,
			b.ID, s.Input, s.Exact, s.Packs, s.Number)
	}
	return tx.SendBatch(ctx, rows).Close()
}

// GiveShare puts the packs of one share to its animal: into further boxes at a
// place in the freezer where the rest is boxed already, loose where it is not yet.
// A bill that was made before gets its line for them. With the last share the batch
// is done.
func (db *DB) GiveShare(ctx context.Context, act Act, number int, of domain.ShopNumber, place int) error {
	return db.act(ctx, act, "give share", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchFinished)
		if err != nil {
			return line{}, err
		}
		a, err := lockAnimal(ctx, tx, of)
		if err != nil {
			return line{}, err
		}
		packs, err := takeShare(ctx, tx, act, b, a)
		if err != nil {
			return line{}, err
		}
		net := b.PackedKg * domain.Kilogram(packs) / domain.Kilogram(b.Packs)
		if packs > 0 {
			if err := packShare(ctx, tx, act, b, a, packs, net, place); err != nil {
				return line{}, err
			}
			if _, err := billMore(ctx, tx, act, a, "came back from the batch"); err != nil {
				return line{}, err
			}
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			UPDATE batches SET status = 'given' WHERE id = $1 AND NOT EXISTS (SELECT FROM batch_shares WHERE batch_id = $1 AND given_at IS NULL)`, b.ID)
		if err == nil {
			err = db.tellReady(ctx, tx, act, of)
		}
		return line{Animal: a.ID, What: "share", Detail: b.named("packs", packs, "kg", round3(net))}, err
	})
}

// takeShare marks the share as given, once.
func takeShare(ctx context.Context, tx pgx.Tx, act Act, b Batch, a Animal) (packs int, err error) {
	switch a.Physical {
	case animal.OnTable, animal.InPieces, animal.Stored, animal.PartReleased, animal.Unclaimed:
	default:
		return 0, domain.Refuse("animal", "%s is %s. Its share waits here; ask the lead.", string(a.Number), a.Physical.Words())
	}
	err = tx.QueryRow(ctx, `
		UPDATE batch_shares SET given_at = $3 WHERE batch_id = $1 AND animal_id = $2 AND given_at IS NULL RETURNING packs`, b.ID, a.ID, act.At).Scan(&packs)
	if err == pgx.ErrNoRows {
		return 0, domain.Taken("The share of %s is already with its boxes, or it has none in this batch.", string(a.Number))
	}
	return packs, err
}

// called is the name on the packs of a batch.
func (b Batch) called() string {
	words := b.Product.Words().String()
	words = strings.ToUpper(words[:1]) + words[1:]
	if b.Flavour != "" {
		words += ", " + b.Flavour
	}
	return words
}

// packShare writes the packs of a share and, where the animal is boxed, its boxes.
func packShare(ctx context.Context, tx pgx.Tx, act Act, b Batch, a Animal, packs int, net domain.Kilogram, place int) error {
	if a.Physical == animal.OnTable || a.Physical == animal.InPieces {
		return addPacks(ctx, tx, act, b, a, packs, net, nil)
	}
	each := make([]domain.Kilogram, packs)
	for i := range each {
		each[i] = net / domain.Kilogram(packs)
	}
	boxOf, boxes := cutting.FillBoxes(each)
	inBox := make([]int, boxes+1)
	for _, n := range boxOf {
		inBox[n]++
	}
	var last int
	if err := tx.QueryRow(ctx, `SELECT coalesce(max(n), 0) FROM boxes WHERE animal_id = $1`, a.ID).Scan(&last); err != nil {
		return err
	}
	for n := 1; n <= boxes; n++ {
		box := last + n
		if err := fillBox(ctx, tx, act, a.ID, NewBox{N: box, Place: place}); err != nil {
			return err
		}
		if err := addPacks(ctx, tx, act, b, a, inBox[n], net*domain.Kilogram(inBox[n])/domain.Kilogram(packs), &box); err != nil {
			return err
		}
	}
	return nil
}

// addPacks writes one line of packs of the batch, in a box of the animal or in none.
func addPacks(ctx context.Context, tx pgx.Tx, act Act, b Batch, a Animal, count int, net domain.Kilogram, box *int) error {
	portion, err := portionOfBatch(ctx, tx, a.ID, b.Product)
	if err != nil {
		return err
	}
	tag, err := tx.Exec(ctx, `
		INSERT INTO packs (id, animal_id, session_id, box_id, cut, count, net_kg, wrapped_at, by_staff, batch_id, portion)
		SELECT $1, $2, t.id, (SELECT id FROM boxes WHERE animal_id = $2 AND n = $3), $4, $5, $6, $7, $8, $9, $10
		FROM sessions_at_table t WHERE t.animal_id = $2 ORDER BY t.started_at DESC LIMIT 1`,
		uuid.Must(uuid.NewV7()), a.ID, box, b.called(), count, net, act.At, act.Staff, b.ID, portion)
	if err == nil && tag.RowsAffected() == 0 {
		err = domain.Refuse("table", "%s has never been on the table. Look at its number again.", string(a.Number))
	}
	return err
}

// DestroyBatch throws a batch away: the lead, a second person and a reason. Every
// owner in it is to be told.
func (db *DB) DestroyBatch(ctx context.Context, act Act, number int, why string, second uuid.UUID) error {
	switch why = strings.TrimSpace(why); {
	case why == "":
		return domain.Wrong("why", "Say why it is thrown away.")
	case second == uuid.Nil || second == act.Staff:
		return domain.Wrong("second", "A second person looks at it too. Choose another name.")
	}
	return db.act(ctx, act, "destroy batch", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchOpen, BatchMixed, BatchFinished)
		if err != nil {
			return line{}, err
		}
		lead, err := isLead(ctx, tx, act.Staff)
		if err != nil {
			return line{}, err
		}
		if !lead {
			return line{}, domain.Refuse("lead", "Only the lead throws a batch away.")
		}
		var given int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM batch_shares WHERE batch_id = $1 AND given_at IS NOT NULL`, b.ID).Scan(&given); err != nil {
			return line{}, err
		}
		if given > 0 {
			return line{}, domain.Refuse("batch", "Some of its packs are with their animals already. Hold those animals instead.")
		}
		if _, err := tx.Exec(ctx, `UPDATE batches SET status = 'destroyed', ended_why = $2, ended_with = $3 WHERE id = $1`, b.ID, why, second); err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "destroy-batch", Detail: b.named(), Why: why}
		return l, tell(ctx, tx, act, in, l)
	})
}
