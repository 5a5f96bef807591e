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
	Said    string
	At      time.Time
	By      string // initials
	Photos  []uuid.UUID
}

// RefuseAtDoor writes down that something was turned away: what was found, why,
// who brought it if they said, and a picture if one was taken. The time line
// keeps the finding alone, no person. Rule is the rule of the state it was turned away
// by, in the version that stands; empty where the shop decided by itself.
func (db *DB) RefuseAtDoor(ctx context.Context, act Act, r animal.Refusal, rule string, picture []byte) error {
	r.Reason, r.Name, r.Phone, r.Tag, r.Told, r.Said = tidy(r.Reason), tidy(r.Name), tidy(r.Phone), tidy(r.Tag), tidy(r.Told), tidy(r.Said)
	if err := r.Check(); err != nil {
		return err
	}
	return db.act(ctx, act, "refuse at door", func(tx pgx.Tx) (line, error) {
		by, err := ruleAtDoor(ctx, tx, rule)
		if err != nil {
			return line{}, err
		}
		rows := &pgx.Batch{}
		rows.Queue(`
			INSERT INTO refusals (id, finding, reason, species, name, phone, tag, deep_c, told, said, statute_id, at, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
			act.ID, r.Finding, r.Reason, r.Species, r.Name, r.Phone, r.Tag, r.Deep, r.Told, r.Said, by, act.At, act.Staff)
		queueDoorPhoto(rows, act, doorPhoto{Refusal: act.ID, Jpeg: picture})
		return line{What: "refuse", Detail: map[string]any{"finding": string(r.Finding)}, Rows: rows}, nil
	})
}

// ruleAtDoor finds the rule of the state that was named, as it stands.
func ruleAtDoor(ctx context.Context, tx pgx.Tx, key string) (*uuid.UUID, error) {
	if key == "" {
		return nil, nil
	}
	list, err := all[Statute](ctx, tx, statutesHere)
	if err != nil {
		return nil, err
	}
	for _, s := range list {
		if s.Key == key && s.AtDoor() {
			return &s.ID, nil
		}
	}
	return nil, domain.Wrong("rule", "That rule is not in force here. Choose one from the list.")
}

const refusalColumns = `
	SELECT r.id, r.finding, r.reason, r.species, r.name, r.phone, r.tag, r.deep_c, r.told, r.said, r.at, s.initials AS by,
	       ARRAY(SELECT p.id FROM door_photos p WHERE p.refusal_id = r.id ORDER BY p.at) AS photos
	FROM refusals r JOIN staff s ON s.id = r.by_staff `

// RefusalSlip reads one refusal and the version of the rule it was made by, nil where
// the shop decided by itself.
func (db *DB) RefusalSlip(ctx context.Context, id uuid.UUID) (r RefusedAtDoor, by *Statute, err error) {
	r, found, err := one[RefusedAtDoor](ctx, db.pool, refusalColumns+`WHERE r.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("Nothing like that was turned away.")
	}
	if err != nil {
		return r, nil, err
	}
	s, found, err := one[Statute](ctx, db.pool, `SELECT `+statuteColumns+`, '' AS by FROM statutes r JOIN refusals f ON f.statute_id = r.id WHERE f.id = $1`, id)
	if found {
		by = &s
	}
	return r, by, err
}

// RefusedAtDoor lists what was turned away, the newest first.
func (db *DB) RefusedAtDoor(ctx context.Context, limit int) ([]RefusedAtDoor, error) {
	return all[RefusedAtDoor](ctx, db.pool, refusalColumns+`ORDER BY r.at DESC, r.id DESC LIMIT $1`, limit)
}

// doorPhoto is a picture of one thing at the door: an animal, a refusal or a find of
// the bay; or of an animal's letter that came back.
type doorPhoto struct {
	Animal, Refusal, Find, Letter uuid.UUID
	Jpeg                          []byte
}

// queueDoorPhoto keeps the picture where one was taken.
func queueDoorPhoto(rows *pgx.Batch, act Act, p doorPhoto) {
	if len(p.Jpeg) == 0 {
		return
	}
	rows.Queue(`INSERT INTO door_photos (id, animal_id, refusal_id, find_id, letter_id, at, by_staff, jpeg) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		uuid.Must(uuid.NewV7()), orNull(p.Animal), orNull(p.Refusal), orNull(p.Find), orNull(p.Letter), act.At, act.Staff, p.Jpeg)
}

// DoorPhotos lists the pictures taken of an animal at the door, those of the bay
// it was found in among them.
func (db *DB) DoorPhotos(ctx context.Context, id uuid.UUID) ([]uuid.UUID, error) {
	list, err := all[struct{ ID uuid.UUID }](ctx, db.pool, `
		SELECT p.id FROM door_photos p LEFT JOIN night_finds f ON f.id = p.find_id
		WHERE (p.animal_id = $1 OR f.animal_id = $1) AND p.letter_id IS NULL ORDER BY p.at LIMIT 20`, id)
	ids := make([]uuid.UUID, len(list))
	for i, p := range list {
		ids[i] = p.ID
	}
	return ids, err
}
