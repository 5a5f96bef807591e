package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BatchInput is meat of one animal, weighed into a batch at once.
type BatchInput struct {
	ID      uuid.UUID
	Number  domain.ShopNumber
	Species domain.Species
	Owner   string
	Kg      domain.Kilogram
	At      time.Time
	By      string // initials
}

// BatchLot is pork or beef that the shop added.
type BatchLot struct {
	Kind     string // pork or beef
	Supplier string
	Mark     string // of the inspected establishment
	Lot      string // or the day it was packed
	Kg       domain.Kilogram
	At       time.Time
	By       string // initials
}

// ownerName is who owns the animal a, as the counter says it.
const ownerName = `coalesce((
	SELECT p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = a.id
	ORDER BY array_position(ARRAY['owner', 'taker', 'deliverer', 'payer', 'collector'], ap.role), ap.since LIMIT 1), '')`

// BatchInputs lists what went into a batch, in order.
func (db *DB) BatchInputs(ctx context.Context, number int) ([]BatchInput, error) {
	return all[BatchInput](ctx, db.pool, `
		SELECT i.id, a.number, a.species, `+ownerName+` AS owner, i.kg, i.at, s.initials AS by
		FROM batch_inputs i JOIN batches b ON b.id = i.batch_id JOIN animals a ON a.id = i.animal_id JOIN staff s ON s.id = i.by_staff
		WHERE b.number = $1 ORDER BY i.at, i.id LIMIT 300`, number)
}

// BatchLots lists the pork and beef in a batch, in order.
func (db *DB) BatchLots(ctx context.Context, number int) ([]BatchLot, error) {
	return all[BatchLot](ctx, db.pool, `
		SELECT l.kind, l.supplier, l.mark, l.lot, l.kg, l.at, s.initials AS by
		FROM batch_lots l JOIN batches b ON b.id = l.batch_id JOIN staff s ON s.id = l.by_staff
		WHERE b.number = $1 ORDER BY l.at, l.id LIMIT 100`, number)
}

// AddToBatch weighs meat of an animal into an open batch, if its test, its holds,
// its order and its owner's word allow it. What a look stopped waits for the lead's
// decision.
func (db *DB) AddToBatch(ctx context.Context, act Act, number int, of domain.ShopNumber, kg domain.Kilogram) error {
	if !(kg > 0 && kg <= 1500) {
		return domain.Wrong("weight", "Weigh the meat that goes in.")
	}
	return db.act(ctx, act, "add to batch", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchOpen)
		if err != nil {
			return line{}, err
		}
		a, err := lockAnimal(ctx, tx, of)
		if err != nil {
			return line{}, err
		}
		if err := mayJoin(ctx, tx, b, a); err != nil {
			return line{}, err
		}
		if err := leadDecides(ctx, tx, act, of); err != nil {
			return line{}, err
		}
		if err := enoughLeft(ctx, tx, a, kg); err != nil {
			return line{}, err
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`,
			uuid.Must(uuid.NewV7()), b.ID, a.ID, kg, act.At, act.Staff)
		return line{Animal: a.ID, What: "into-batch", Detail: b.named("kg", round3(kg))}, err
	})
}

// mayJoin puts the animal and the batch before the domain.
func mayJoin(ctx context.Context, tx pgx.Tx, b Batch, a Animal) error {
	holds, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	c := batch.Candidate{Number: a.Number, Species: a.Species, Damaged: a.Door == "damaged", Disease: a.Disease, Holds: holds,
		Cut: a.Physical == animal.OnTable || a.Physical.Cut()}
	err = tx.QueryRow(ctx, `
		WITH o AS (SELECT * FROM orders WHERE animal_id = $1 AND void_at IS NULL)
		SELECT coalesce(bool_or(own_meat_only), true), coalesce(bool_and(added_meat = 'pork'), false), coalesce(bool_and(added_meat = 'beef'), false),
		       EXISTS (SELECT FROM order_lines l WHERE l.order_id IN (SELECT id FROM o) AND l.treatment = ANY ($2)),
		       coalesce((SELECT string_agg(person_id::text, ' ' ORDER BY person_id) FROM animal_people WHERE animal_id = $1 AND role = 'owner'), $1::text)
		FROM o`, a.ID, b.Product.Treatments()).Scan(&c.OwnOnly, &c.PorkOK, &c.BeefOK, &c.Ordered, &c.Owner)
	if err != nil {
		return err
	}
	to := batch.Batch{Product: b.Product, Kind: b.Kind, Pork: b.Pork, Beef: b.Beef, Empty: b.Animals == 0}
	if !to.Empty {
		var first uuid.UUID
		var species domain.Species
		if err := tx.QueryRow(ctx, `
			SELECT a.id, a.species, coalesce((SELECT string_agg(person_id::text, ' ' ORDER BY person_id) FROM animal_people WHERE animal_id = a.id AND role = 'owner'), a.id::text)
			FROM batch_inputs i JOIN animals a ON a.id = i.animal_id WHERE i.batch_id = $1 ORDER BY i.at, i.id LIMIT 1`, b.ID).
			Scan(&first, &species, &to.Owner); err != nil {
			return err
		}
		to.Game = species.Game()
	}
	return batch.MayJoin(to, c)
}

// enoughLeft refuses more meat in batches than the animal weighed hanging: that is
// a slip of the finger or the wrong animal.
func enoughLeft(ctx context.Context, tx pgx.Tx, a Animal, kg domain.Kilogram) error {
	if a.HangingKg == nil {
		return nil
	}
	var before domain.Kilogram
	err := tx.QueryRow(ctx, `
		SELECT coalesce(sum(i.kg), 0) FROM batch_inputs i JOIN batches b ON b.id = i.batch_id WHERE i.animal_id = $1 AND b.status <> 'destroyed'`, a.ID).Scan(&before)
	if err == nil && before+kg > *a.HangingKg {
		return domain.Wrong("weight", "That makes %s in batches from a carcass of %s. Read the scale and the tag again.", before+kg, *a.HangingKg)
	}
	return err
}

// TakeOut takes meat that was weighed in by a slip out of an open batch again.
func (db *DB) TakeOut(ctx context.Context, act Act, number int, input uuid.UUID, why string) error {
	if why = strings.TrimSpace(why); why == "" {
		return domain.Wrong("why", "Say in a word why it comes out again.")
	}
	return db.act(ctx, act, "take out of batch", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchOpen)
		if err != nil {
			return line{}, err
		}
		type gone struct {
			Animal uuid.UUID
			Kg     domain.Kilogram
		}
		g, found, err := one[gone](ctx, tx, `
			DELETE FROM batch_inputs WHERE id = $1 AND batch_id = $2 RETURNING animal_id AS animal, kg`, input, b.ID)
		if err == nil && !found {
			err = domain.Taken("That line is gone already. Look at the batch again.")
		}
		if err != nil {
			return line{}, err
		}
		return line{Animal: g.Animal, What: "out-of-batch", Detail: b.named("kg", round3(g.Kg)), Why: why}, touch(ctx, tx, g.Animal)
	})
}

// AddLot notes pork or beef that goes in, with where it comes from. The batch has
// to have been begun with a yes to it.
func (db *DB) AddLot(ctx context.Context, act Act, number int, l BatchLot) error {
	l.Supplier, l.Mark, l.Lot = strings.TrimSpace(l.Supplier), strings.TrimSpace(l.Mark), strings.TrimSpace(l.Lot)
	switch {
	case l.Kind != "pork" && l.Kind != "beef":
		return domain.Wrong("added", "Say what is added: pork or beef.")
	case l.Supplier == "":
		return domain.Wrong("supplier", "Write down who supplied it.")
	case l.Mark == "":
		return domain.Wrong("mark", "Write down the mark of inspection: the establishment's number on the case.")
	case !(l.Kg > 0 && l.Kg <= 1500):
		return domain.Wrong("lot_weight", "Weigh what is added.")
	}
	return db.act(ctx, act, "add lot", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchOpen)
		if err != nil {
			return line{}, err
		}
		if l.Kind == "pork" && !b.Pork || l.Kind == "beef" && !b.Beef {
			return line{}, domain.Refuse("added", "Batch %d was begun without %s, and its owners agreed to that. Start another batch.", number, l.Kind)
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO batch_lots (id, batch_id, kind, supplier, mark, lot, kg, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			uuid.Must(uuid.NewV7()), b.ID, l.Kind, l.Supplier, l.Mark, l.Lot, l.Kg, act.At, act.Staff); err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "batch-lot", Detail: b.named("added", l.Kind, "kg", round3(l.Kg), "mark", l.Mark)}
		return l, tell(ctx, tx, act, in, l)
	})
}
