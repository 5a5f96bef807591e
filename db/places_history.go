package db

import (
	"context"
	"time"

	"github.com/google/uuid"
)

// Stood is one time an animal, or a side of it, had a
// place.
type Stood struct {
	Mark  string // of a side
	Room  string
	Place string // R2-7
	Since time.Time
	Until *time.Time
	By    string // initials
}

// StoodAt lists every place the animal ever had, the first one first.
func (db *DB) StoodAt(ctx context.Context, id uuid.UUID) ([]Stood, error) {
	return all[Stood](ctx, db.pool, `
		SELECT coalesce(k.mark, '') AS mark, c.label AS room, r.name || '-' || p.position AS place, o.since, o.until, s.initials AS by
		FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		JOIN staff s ON s.id = o.by_staff LEFT JOIN pieces k ON k.id = o.piece_id
		WHERE o.animal_id = $1 ORDER BY o.since, k.mark LIMIT 100`, id)
}
