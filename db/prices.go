package db

import (
	"context"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// PriceItem is one line of a price list.
type PriceItem struct {
	Code         string
	Label        string
	Basis        string // animal, lb-hanging, lb-finished or each
	PriceCents   domain.Cents
	MinimumCents domain.Cents
	Taxable      bool
}

// PriceList is one version of what the shop charges. The one in force at
// drop-off binds.
type PriceList struct {
	ID      int
	Version int
	Name    string
	Since   time.Time
}

// AddPriceList puts a new version in force from now.
func (db *DB) AddPriceList(ctx context.Context, name string, items []PriceItem, by uuid.UUID, now time.Time) (p PriceList, err error) {
	p = PriceList{Name: name, Since: now}
	return p, db.tx(ctx, "add price list", func(tx pgx.Tx) error {
		err := tx.QueryRow(ctx, `
			INSERT INTO price_lists (version, name, since, made_by)
			SELECT coalesce(max(version), 0) + 1, $1, $2, $3 FROM price_lists RETURNING id, version`,
			name, now, orNull(by)).Scan(&p.ID, &p.Version)
		if err != nil {
			return err
		}
		_, err = tx.CopyFrom(ctx, pgx.Identifier{"price_items"},
			[]string{"price_list_id", "code", "label", "basis", "price_cents", "minimum_cents", "taxable", "ord"},
			pgx.CopyFromSlice(len(items), func(i int) ([]any, error) {
				it := items[i]
				return []any{p.ID, it.Code, it.Label, it.Basis, int64(it.PriceCents), int64(it.MinimumCents), it.Taxable, i + 1}, nil
			}))
		return err
	})
}

// PriceListNow returns the list in force at now.
func (db *DB) PriceListNow(ctx context.Context, now time.Time) (PriceList, error) {
	p, found, err := one[PriceList](ctx, db.pool, `
		SELECT id, version, name, since FROM price_lists WHERE since <= $1 ORDER BY version DESC LIMIT 1`, now)
	if err == nil && !found {
		err = domain.Refuse("prices", "The shop has no price list yet. The owner makes one first.")
	}
	return p, err
}

// PriceLists lists every version, the newest first.
func (db *DB) PriceLists(ctx context.Context) ([]PriceList, error) {
	return all[PriceList](ctx, db.pool, `SELECT id, version, name, since FROM price_lists ORDER BY version DESC LIMIT 50`)
}

// PriceItems lists the lines of a price list in the order they are read out.
func (db *DB) PriceItems(ctx context.Context, list int) ([]PriceItem, error) {
	return all[PriceItem](ctx, db.pool, `
		SELECT code, label, basis, price_cents, minimum_cents, taxable FROM price_items WHERE price_list_id = $1 ORDER BY ord`, list)
}
