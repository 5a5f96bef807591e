package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/batch"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BatchStatus says how far a batch is.
type BatchStatus string

// The statuses of a batch, in order; destroyed ends it at any point before its
// packs were given back.
const (
	BatchOpen      BatchStatus = "open"     // meat goes in
	BatchMixed     BatchStatus = "mixed"    // nothing goes in any more
	BatchFinished  BatchStatus = "finished" // weighed, counted and shared out on paper
	BatchGiven     BatchStatus = "given"    // every share is with its animal's boxes
	BatchDestroyed BatchStatus = "destroyed"
)

// Batch is one mix as its row has it.
type Batch struct {
	ID          uuid.UUID
	Number      int
	Product     batch.Product
	Flavour     string
	Kind        batch.Kind
	Pork, Beef  bool
	Status      BatchStatus
	StartedAt   time.Time
	StartedBy   string // initials
	MixedAt     *time.Time
	AcceptedBy  string // initials of who let a missed table pass
	AcceptedWhy string
	FinishedAt  *time.Time
	Packs       int
	PackedKg    domain.Kilogram
	OddKg       domain.Kilogram
	OddTo       string
	EndedWhy    string
	Animals     int
	OwnersKg    domain.Kilogram // the animals' meat
	AddedKg     domain.Kilogram // pork and beef of the shop
}

// InKg is all that went in.
func (b Batch) InKg() domain.Kilogram { return b.OwnersKg + b.AddedKg }

const batchQuery = `
	SELECT b.id, b.number, b.product, b.flavour, b.kind, b.pork, b.beef, b.status, b.started_at, s.initials AS started_by, b.mixed_at,
	       coalesce(l.initials, '') AS accepted_by, b.accepted_why, b.finished_at, coalesce(b.packs, 0) AS packs,
	       coalesce(b.packed_kg, 0) AS packed_kg, coalesce(b.odd_kg, 0) AS odd_kg, b.odd_to, b.ended_why,
	       (SELECT count(DISTINCT animal_id)::int FROM batch_inputs WHERE batch_id = b.id) AS animals,
	       (SELECT coalesce(sum(kg), 0) FROM batch_inputs WHERE batch_id = b.id) AS owners_kg,
	       (SELECT coalesce(sum(kg), 0) FROM batch_lots WHERE batch_id = b.id) AS added_kg
	FROM batches b JOIN staff s ON s.id = b.started_by LEFT JOIN staff l ON l.id = b.accepted_by`

// Batches lists the batches under way, and then the last finished ones.
func (db *DB) Batches(ctx context.Context, limit int) ([]Batch, error) {
	return all[Batch](ctx, db.pool, batchQuery+`
		ORDER BY b.status IN ('given', 'destroyed'), b.number DESC LIMIT $1`, limit)
}

// Batch finds one by its number.
func (db *DB) Batch(ctx context.Context, number int) (Batch, error) {
	b, found, err := one[Batch](ctx, db.pool, batchQuery+` WHERE b.number = $1`, number)
	if err == nil && !found {
		err = domain.Missing("There is no batch %d.", number)
	}
	return b, err
}

// lockBatch reads the batch and keeps others from changing it until tx ends; a
// batch that is further or not so far as it has to be is refused.
func lockBatch(ctx context.Context, tx pgx.Tx, number int, allowed ...BatchStatus) (Batch, error) {
	var id uuid.UUID
	err := tx.QueryRow(ctx, `SELECT id FROM batches WHERE number = $1 FOR UPDATE`, number).Scan(&id)
	if err == pgx.ErrNoRows {
		return Batch{}, domain.Missing("There is no batch %d.", number)
	}
	if err != nil {
		return Batch{}, err
	}
	b, _, err := one[Batch](ctx, tx, batchQuery+` WHERE b.id = $1`, id)
	if err != nil {
		return b, err
	}
	for _, s := range allowed {
		if b.Status == s {
			return b, nil
		}
	}
	return b, domain.Refuse("batch", "Batch %d is %s. Look at it again.", number, b.Status.Words())
}

// Words says how far a batch is.
func (s BatchStatus) Words() domain.Words {
	switch s {
	case BatchOpen:
		return domain.Say("open: meat goes in")
	case BatchMixed:
		return domain.Say("mixed")
	case BatchFinished:
		return domain.Say("finished, not given back yet")
	case BatchGiven:
		return domain.Say("given back")
	}
	return domain.Say("destroyed")
}

// NewBatch is what is said when a batch begins.
type NewBatch struct {
	Product batch.Product
	Flavour string
	Kind    batch.Kind
	Pork    string // "yes" or "no": asked plainly, never left blank
	Beef    string
}

// StartBatch begins a batch and returns its number, the next of the shop's own.
func (db *DB) StartBatch(ctx context.Context, act Act, n NewBatch) (number int, err error) {
	switch {
	case !n.Product.Known():
		return 0, domain.Wrong("product", "Choose what it becomes.")
	case n.Kind != batch.Own && n.Kind != batch.Pooled:
		return 0, domain.Wrong("kind", "Say whose meat it is: one owner's own, or pooled.")
	case n.Pork != "yes" && n.Pork != "no":
		return 0, domain.Wrong("pork", "Say yes or no: is pork added?")
	case n.Beef != "yes" && n.Beef != "no":
		return 0, domain.Wrong("beef", "Say yes or no: is beef added?")
	}
	err = db.act(ctx, act, "start batch", func(tx pgx.Tx) (line, error) {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('batch numbers'))`); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `
			INSERT INTO batches (id, number, product, flavour, kind, pork, beef, status, started_at, started_by)
			SELECT $1, coalesce(max(number), 0) + 1, $2, $3, $4, $5, $6, 'open', $7, $8 FROM batches`,
			act.ID, n.Product, strings.TrimSpace(n.Flavour), n.Kind, n.Pork == "yes", n.Beef == "yes", act.At, act.Staff)
		return line{What: "batch", Detail: map[string]any{"product": n.Product.Words().String()}}, err
	})
	if err != nil {
		return 0, err
	}
	err = db.pool.QueryRow(ctx, `SELECT number FROM batches WHERE id = $1`, act.ID).Scan(&number)
	return number, translate(err)
}

// tell writes the line l on the time line of each animal and raises its revision. The
// lines' own ids follow from the act's, so that each is there once.
func tell(ctx context.Context, tx pgx.Tx, act Act, animals []uuid.UUID, l line) error {
	for _, id := range animals {
		each := act
		each.ID = uuid.NewSHA1(act.ID, id[:])
		if err := addLine(ctx, tx, each, line{Animal: id, What: l.What, Detail: l.Detail, Why: l.Why}); err != nil {
			return err
		}
		if err := touch(ctx, tx, id); err != nil {
			return err
		}
	}
	return nil
}

// animalsIn lists whose meat is in the batch, by number, and locks them in that
// order.
func animalsIn(ctx context.Context, tx pgx.Tx, b Batch) ([]uuid.UUID, error) {
	rows, err := tx.Query(ctx, `
		SELECT id FROM animals WHERE id IN (SELECT animal_id FROM batch_inputs WHERE batch_id = $1) ORDER BY number FOR UPDATE`, b.ID)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowTo[uuid.UUID])
}

// named is how a batch stands on an animal's time line.
func (b Batch) named(more ...any) map[string]any {
	d := map[string]any{"batch": b.Number, "product": string(b.Product)}
	for i := 0; i+1 < len(more); i += 2 {
		d[more[i].(string)] = more[i+1]
	}
	return d
}

// inBatch finds the batches with meat of the animal a whose share is not back with
// it.
const inBatch = `
	SELECT FROM batch_inputs i JOIN batches z ON z.id = i.batch_id LEFT JOIN batch_shares h ON h.batch_id = z.id AND h.animal_id = i.animal_id
	WHERE i.animal_id = a.id AND z.status <> 'destroyed' AND h.given_at IS NULL`

// inBatches words what of an animal is in batches and not back with it yet, such as
// "summer sausage, batch 3".
func inBatches(ctx context.Context, q querier, id uuid.UUID) ([]domain.Words, error) {
	type row struct {
		Number  int
		Product batch.Product
	}
	rows, err := all[row](ctx, q, `
		SELECT b.number, b.product FROM batches b, animals a WHERE a.id = $1 AND b.status NOT IN ('given', 'destroyed') AND EXISTS (`+inBatch+` AND i.batch_id = b.id)
		ORDER BY b.number LIMIT 20`, id)
	if err != nil {
		return nil, err
	}
	list := make([]domain.Words, len(rows))
	for i, r := range rows {
		list[i] = domain.Say("%s, batch %d", r.Product.Words(), r.Number)
	}
	return list, nil
}
