package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Looked is a look at what only some work in the shop needs of a person.
type Looked struct {
	Number domain.ShopNumber // empty: a list of many, or a person alone
	Person uuid.UUID
	Shown  []domain.Private
	Page   string // what was opened: owed, letters, slip, known, sheet, notices, csv
	About  string // of a list: which part of it
}

// SeePrivate writes a look down before anything is shown. Only groups that are logged
// and that the holder's work needs are kept; where none is left, nothing is written.
func (db *DB) SeePrivate(ctx context.Context, h Holder, at time.Time, l Looked) error {
	var shown []string
	for _, p := range l.Shown {
		if p.Logged() && p.SeenBy(h.Staff.Roles) {
			shown = append(shown, string(p))
		}
	}
	if len(shown) == 0 {
		return nil
	}
	return db.tx(ctx, "write a look down", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO private_looks (id, at, by_staff, device_id, animal_id, person_id, shown, page, about) VALUES ($1, $2, $3, $4, (SELECT id FROM animals WHERE number = $5), $6, $7, $8, $9)`,
			uuid.Must(uuid.NewV7()), at, h.Staff.ID, orNull(h.Device), l.Number, orNull(l.Person), shown, l.Page, l.About)
		return err
	})
}

// PrivateLook is a look as the owner reads it.
type PrivateLook struct {
	At     time.Time
	By     string
	Device string
	Number domain.ShopNumber // empty: about no animal
	Person string
	Shown  []domain.Private
	Page   string
	About  string
}

// PrivateLooks lists the looks, the latest first; typed is a shop number or how a
// name or initials of the shop's people begin, empty for all.
func (db *DB) PrivateLooks(ctx context.Context, typed string) ([]PrivateLook, error) {
	typed = strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(strings.ToLower(tidy(typed)))
	return all[PrivateLook](ctx, db.pool, `
		SELECT l.at, s.name AS by, coalesce(d.name, '') AS device, coalesce(a.number, '') AS number, coalesce(p.name, '') AS person, l.shown, l.page, l.about
		FROM private_looks l JOIN staff s ON s.id = l.by_staff LEFT JOIN devices d ON d.id = l.device_id
		LEFT JOIN animals a ON a.id = l.animal_id LEFT JOIN people p ON p.id = l.person_id
		WHERE $1 = '' OR a.number = $1 OR lower(s.name) LIKE $1 || '%' OR lower(s.initials) = $1
		ORDER BY l.at DESC, l.id DESC LIMIT 300`, typed)
}
