package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Print is one time a label was printed.
type Print struct {
	ID     uuid.UUID
	What   string // pack, box, tag or piece
	Which  string // the line of packs, the box, the letters; empty for the tag
	Labels int
	Why    string // of every time but the first
	Paper  string // which printer: pack, 4x6 or letter
	At     time.Time
	By     string // initials
}

// PrintsOf lists when a label of the animal was printed, the first time first.
func (db *DB) PrintsOf(ctx context.Context, number domain.ShopNumber, what, which string) ([]Print, error) {
	return all[Print](ctx, db.pool, `
		SELECT p.id, p.what, p.which, p.labels, p.why, p.paper, p.at, s.initials AS by
		FROM prints p JOIN animals a ON a.id = p.animal_id JOIN staff s ON s.id = p.by_staff
		WHERE a.number = $1 AND p.what = $2 AND p.which = $3 ORDER BY p.at, p.id LIMIT 50`, number, what, which)
}

// NotePrint keeps that a label was printed. Two labels of one pack are how packs
// get miscounted (trade.md 6.6), so every time but the first needs a reason. A
// printer whose letters are too small prints none.
func (db *DB) NotePrint(ctx context.Context, act Act, number domain.ShopNumber, p Print) error {
	return db.act(ctx, act, "print", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := mayPrint(ctx, tx, p.Paper); err != nil {
			return line{}, err
		}
		p.Why = strings.TrimSpace(p.Why)
		before, printed, err := one[Print](ctx, tx, `
			SELECT p.id, p.what, p.which, p.labels, p.why, p.paper, p.at, s.initials AS by FROM prints p JOIN staff s ON s.id = p.by_staff
			WHERE p.animal_id = $1 AND p.what = $2 AND p.which = $3 ORDER BY p.at DESC LIMIT 1`, a.ID, p.What, p.Which)
		switch {
		case err != nil:
			return line{}, err
		case printed && p.Why == "":
			return line{}, domain.Wrong("why", "%s printed this label, %s. Say in a word why it is printed again, and throw the old one away.", before.By, before.At)
		case !printed:
			p.Why = ""
		}
		_, err = tx.Exec(ctx, `INSERT INTO prints (id, animal_id, what, which, labels, why, at, by_staff, paper) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			act.ID, a.ID, p.What, p.Which, p.Labels, p.Why, act.At, act.Staff, p.Paper)
		return line{Animal: a.ID, What: "print", Detail: map[string]any{"label": p.What, "labels": p.Labels}, Why: p.Why}, err
	})
}
