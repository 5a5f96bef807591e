package db

import (
	"context"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// addPhoto keeps the picture of a look.
func addPhoto(ctx context.Context, tx pgx.Tx, act Act, l Look) error {
	if len(l.Photo) == 0 {
		return nil
	}
	_, err := tx.Exec(ctx, `INSERT INTO photos (id, look_id, at, by_staff, jpeg) VALUES ($1, $2, $3, $4, $5)`,
		uuid.Must(uuid.NewV7()), l.ID, l.At, act.Staff, l.Photo)
	return err
}

// addSheet keeps the picture of the sheet a round was written on.
func addSheet(ctx context.Context, tx pgx.Tx, act Act, r Round) error {
	if len(r.Sheet) == 0 {
		return nil
	}
	_, err := tx.Exec(ctx, `INSERT INTO photos (id, round_id, at, by_staff, jpeg) VALUES ($1, $2, $3, $4, $5)`,
		uuid.Must(uuid.NewV7()), act.ID, act.Arrival(), act.Staff, r.Sheet)
	return err
}

// SheetOf finds the picture of the sheet a round was written on; the zero id where
// none was taken.
func (db *DB) SheetOf(ctx context.Context, round uuid.UUID) (uuid.UUID, error) {
	p, _, err := one[struct{ ID uuid.UUID }](ctx, db.pool, `SELECT id FROM photos WHERE round_id = $1 ORDER BY id LIMIT 1`, round)
	return p.ID, err
}

// Photo finds a picture by its id.
func (db *DB) Photo(ctx context.Context, id uuid.UUID) ([]byte, error) {
	p, found, err := one[struct{ Jpeg []byte }](ctx, db.pool, `
		SELECT jpeg FROM photos WHERE id = $1 UNION ALL SELECT jpeg FROM door_photos WHERE id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("That picture is not in the records.")
	}
	return p.Jpeg, err
}
