package db

import (
	"context"
	"time"

	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// Linked is an animal with what its owners' links are made from.
type Linked struct {
	ID       uuid.UUID
	Physical animal.Physical
	Mark
	LastAt time.Time         // of the last thing done to it
	Shares []cutting.Portion // of a shared animal, those whose owner is known
}

// Linked lists, after the animal with that id, the next 500 that are neither picked up
// nor went home uncut.
func (db *DB) Linked(ctx context.Context, after uuid.UUID) ([]Linked, error) {
	return all[Linked](ctx, db.pool, `
		SELECT a.id, a.physical, a.revision, a.link_revision, (`+choicesMade+`)::int AS choices,
		       greatest(a.received_at, (SELECT max(t.at) FROM time_line t WHERE t.animal_id = a.id)) AS last_at,
		       ARRAY(SELECT o.portion FROM orders o WHERE o.animal_id = a.id AND o.void_at IS NULL AND o.portion <> '' AND o.for_whom <> ''
		             UNION SELECT s.portion FROM shares s WHERE s.animal_id = a.id AND s.portion <> ''
		               AND s.correction_id IS NOT DISTINCT FROM (SELECT c.id FROM kill_corrections c WHERE c.animal_id = a.id ORDER BY c.n DESC LIMIT 1)
		             ORDER BY 1 LIMIT 10) AS shares
		FROM animals a WHERE a.id > $1 AND a.physical NOT IN ('released', 'returned') ORDER BY a.id LIMIT 500`, after)
}
