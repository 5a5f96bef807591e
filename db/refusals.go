package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// RefusedAtDoor is what was turned away, as it was written down.
type RefusedAtDoor struct {
	ID      uuid.UUID
	Finding animal.Finding
	Reason  string
	Species domain.Species
	Name    string
	Phone   string
	Tag     string
	DeepC   *domain.Celsius
	Told    string
	At      time.Time
	By      string // initials
	Photos  []uuid.UUID
}

// RefuseAtDoor writes down that something was turned away: what was found, why,
// who brought it if they said, and a picture if one was taken. The time line
// keeps the finding alone, no person.
func (db *DB) RefuseAtDoor(ctx context.Context, act Act, r animal.Refusal, picture []byte) error {
	r.Reason, r.Name, r.Phone, r.Tag, r.Told = tidy(r.Reason), tidy(r.Name), tidy(r.Phone), tidy(r.Tag), tidy(r.Told)
	if err := r.Check(); err != nil {
		return err
	}
	return db.act(ctx, act, "refuse at door", func(tx pgx.Tx) (line, error) {
		rows := &pgx.Batch{}
		rows.Queue(`
			INSERT INTO refusals (id, finding, reason, species, name, phone, tag, deep_c, told, at, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
			act.ID, r.Finding, r.Reason, r.Species, r.Name, r.Phone, r.Tag, r.Deep, r.Told, act.At, act.Staff)
		queueDoorPhoto(rows, act, doorPhoto{Refusal: act.ID, Jpeg: picture})
		return line{What: "refuse", Detail: map[string]any{"finding": string(r.Finding)}, Rows: rows}, nil
	})
}

// RefusedAtDoor lists what was turned away, the newest first.
func (db *DB) RefusedAtDoor(ctx context.Context, limit int) ([]RefusedAtDoor, error) {
	return all[RefusedAtDoor](ctx, db.pool, `
		SELECT r.id, r.finding, r.reason, r.species, r.name, r.phone, r.tag, r.deep_c, r.told, r.at, s.initials AS by,
		       ARRAY(SELECT p.id FROM door_photos p WHERE p.refusal_id = r.id ORDER BY p.at) AS photos
		FROM refusals r JOIN staff s ON s.id = r.by_staff ORDER BY r.at DESC, r.id DESC LIMIT $1`, limit)
}

// doorPhoto is a picture of one thing at the door: one of the three is set.
type doorPhoto struct {
	Animal, Refusal, Find uuid.UUID
	Jpeg                  []byte
}

// queueDoorPhoto keeps the picture where one was taken.
func queueDoorPhoto(rows *pgx.Batch, act Act, p doorPhoto) {
	if len(p.Jpeg) == 0 {
		return
	}
	rows.Queue(`INSERT INTO door_photos (id, animal_id, refusal_id, find_id, at, by_staff, jpeg) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		uuid.Must(uuid.NewV7()), orNull(p.Animal), orNull(p.Refusal), orNull(p.Find), act.At, act.Staff, p.Jpeg)
}

// DoorPhotos lists the pictures taken of an animal at the door, those of the bay
// it was found in among them.
func (db *DB) DoorPhotos(ctx context.Context, id uuid.UUID) ([]uuid.UUID, error) {
	list, err := all[struct{ ID uuid.UUID }](ctx, db.pool, `
		SELECT p.id FROM door_photos p LEFT JOIN night_finds f ON f.id = p.find_id
		WHERE p.animal_id = $1 OR f.animal_id = $1 ORDER BY p.at LIMIT 20`, id)
	ids := make([]uuid.UUID, len(list))
	for i, p := range list {
		ids[i] = p.ID
	}
	return ids, err
}
