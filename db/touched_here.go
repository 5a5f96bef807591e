package db

import (
	"context"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
)

// AlsoTouched is what else somebody has to lay hands on or think of when a test came
// back detected, beside packs and people: for the page of the day, not for the tasks.
type AlsoTouched struct {
	Batches []Batch       // that were reached, and how far each is
	Pieces  []Piece       // head, cape, hide, tubs and sides, of every animal on the way
	Hanging []TouchedHung // what hangs, and where
	Given   []TouchedGift // meat of these animals that went to others
	Table   []TouchedTable
	Tasks   []Notice // that the result raised, the first due first; the done ones last
}

// TouchedHung is a carcass or a part of it on a hook.
type TouchedHung struct {
	Number domain.ShopNumber
	Mark   string // empty: the carcass
	Place  string
	Room   string
}

// TouchedGift is meat that was given away, or that is a programme's.
type TouchedGift struct {
	Number domain.ShopNumber
	To     string
	At     time.Time
}

// TouchedTable is an animal that lay on the table after the positive one, before the
// table's next full clean-out. Which table and which knife nobody has written down, so a
// person judges it.
type TouchedTable struct {
	Number domain.ShopNumber
	At     time.Time
	By     string // initials of who started it
}

// AlsoTouched reads what else there is of an animal and of what it reached.
func (db *DB) AlsoTouched(ctx context.Context, a Animal, t Touched) (also AlsoTouched, err error) {
	batches, animals := t.things(a.Number)
	for _, read := range []func() error{
		func() error {
			also.Batches, err = all[Batch](ctx, db.pool, batchQuery+` WHERE b.number = ANY ($1) ORDER BY b.number LIMIT $2`, batches, mostTraced)
			return err
		},
		func() error {
			also.Pieces, err = all[Piece](ctx, db.pool, pieceColumns+` WHERE a.number = ANY ($1) ORDER BY a.number, p.mark LIMIT $2`, animals, mostTraced)
			return err
		},
		func() error {
			also.Hanging, err = all[TouchedHung](ctx, db.pool, `
				SELECT a.number, coalesce(k.mark, '') AS mark, r.name || '-' || p.position AS place, c.label AS room
				FROM occupancies o JOIN animals a ON a.id = o.animal_id JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
				LEFT JOIN pieces k ON k.id = o.piece_id WHERE o.until IS NULL AND a.number = ANY ($1) ORDER BY a.number, mark LIMIT $2`, animals, mostTraced)
			return err
		},
		func() error { also.Given, err = db.givenOf(ctx, batches, animals); return err },
		func() error { also.Table, err = db.afterOnTable(ctx, a.ID); return err },
		func() error {
			also.Tasks, err = all[Notice](ctx, db.pool, noticeQuery+` WHERE a.number = $1 AND r.trigger = 'positive' ORDER BY n.sent_at IS NOT NULL, n.due_at, n.id LIMIT $2`, a.Number, mostTraced)
			return err
		},
	} {
		if err := read(); err != nil {
			return also, err
		}
	}
	return also, nil
}

// givenOf lists what of the animals, and of those in the batches, is a programme's or was
// given away.
func (db *DB) givenOf(ctx context.Context, batches []int, animals []string) ([]TouchedGift, error) {
	return all[TouchedGift](ctx, db.pool, `
		WITH those AS (SELECT id, number FROM animals WHERE number = ANY ($2)
		  UNION SELECT a.id, a.number FROM batch_inputs i JOIN animals a ON a.id = i.animal_id JOIN batches b ON b.id = i.batch_id WHERE b.number = ANY ($1))
		SELECT t.number, p.name AS "to", d.at FROM programme_deer d JOIN those t ON t.id = d.animal_id JOIN programmes p ON p.id = d.programme_id
		UNION ALL SELECT t.number, g.recipient, g.at FROM donations g JOIN those t ON t.id = g.animal_id ORDER BY 1, 3 LIMIT $3`, batches, animals, mostTraced)
}

// afterOnTable lists what lay on the table from the first time the animal did until the
// first full clean-out of the table after it had left.
func (db *DB) afterOnTable(ctx context.Context, animal uuid.UUID) ([]TouchedTable, error) {
	return all[TouchedTable](ctx, db.pool, `
		WITH it AS (SELECT min(started_at) AS first, max(coalesce(stopped_at, started_at)) AS last FROM sessions_at_table WHERE animal_id = $1)
		SELECT DISTINCT ON (a.number) a.number, t.started_at AS at, s.initials AS by
		FROM it, sessions_at_table t JOIN animals a ON a.id = t.animal_id JOIN staff s ON s.id = t.started_by
		WHERE t.started_at >= it.first AND a.id <> $1 AND t.started_at < coalesce((
		  SELECT min(r.at) FROM machine_runs r JOIN machines m ON m.id = r.machine_id WHERE m.name = $2 AND r.clean IN ('full', 'prion') AND r.at >= it.last), 'infinity')
		ORDER BY a.number, t.started_at LIMIT $3`, animal, TableName, mostTraced)
}
