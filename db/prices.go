package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/billing"

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
	Species      []domain.Species // it is charged by itself for these,
	Forms        []domain.Form    // in these forms (empty: any),
	Treatments   []string         // and for these treatments of the cut order; species and treatments empty: only when ticked
}

// item is the line as the domain reckons with it.
func (p PriceItem) item() billing.Item {
	return billing.Item{Code: p.Code, Label: p.Label, Basis: billing.Basis(p.Basis), Price: p.PriceCents, Minimum: p.MinimumCents,
		Taxable: p.Taxable, Applies: billing.Applies{Species: p.Species, Forms: p.Forms, Treatments: p.Treatments}}
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
	if err := checkItems(items); err != nil {
		return p, err
	}
	return p, db.tx(ctx, "add price list", func(tx pgx.Tx) error {
		p, err = addPriceList(ctx, tx, name, items, by, now)
		return err
	})
}

// FirstPrices puts the first list in force; whoever comes second is told.
func (db *DB) FirstPrices(ctx context.Context, name string, items []PriceItem, by uuid.UUID, now time.Time) error {
	if err := checkItems(items); err != nil {
		return err
	}
	return db.tx(ctx, "first prices", func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT FROM shop FOR UPDATE`); err != nil {
			return err
		}
		var there bool
		if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM price_lists)`).Scan(&there); err != nil {
			return err
		}
		if there {
			return domain.Taken("The shop has prices already. Change them in the office.")
		}
		_, err := addPriceList(ctx, tx, name, items, by, now)
		return err
	})
}

func checkItems(items []PriceItem) error {
	for _, it := range items {
		if err := it.item().Check(); err != nil {
			return err
		}
	}
	return nil
}

func addPriceList(ctx context.Context, tx pgx.Tx, name string, items []PriceItem, by uuid.UUID, now time.Time) (PriceList, error) {
	p := PriceList{Name: name, Since: now}
	err := tx.QueryRow(ctx, `
		INSERT INTO price_lists (version, name, since, made_by)
		SELECT coalesce(max(version), 0) + 1, $1, $2, $3 FROM price_lists RETURNING id, version`,
		name, now, orNull(by)).Scan(&p.ID, &p.Version)
	if err != nil {
		return p, err
	}
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"price_items"},
		[]string{"price_list_id", "code", "label", "basis", "price_cents", "minimum_cents", "taxable", "species", "forms", "treatments", "ord"},
		pgx.CopyFromSlice(len(items), func(i int) ([]any, error) {
			it := items[i]
			return []any{p.ID, it.Code, it.Label, it.Basis, int64(it.PriceCents), int64(it.MinimumCents), it.Taxable,
				texts(it.Species), texts(it.Forms), texts(it.Treatments), i + 1}, nil
		}))
	return p, err
}

// texts are the words as the database keeps them, an empty list for none.
func texts[S ~string](words []S) []string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	return list
}

// PriceLists lists every version, the newest first.
func (db *DB) PriceLists(ctx context.Context) ([]PriceList, error) {
	return all[PriceList](ctx, db.pool, `SELECT id, version, name, since FROM price_lists ORDER BY version DESC LIMIT 50`)
}

// PriceItems lists the lines of a price list in the order they are read out.
func (db *DB) PriceItems(ctx context.Context, list int) ([]PriceItem, error) {
	return priceItems(ctx, db.pool, list)
}

func priceItems(ctx context.Context, q querier, list int) ([]PriceItem, error) {
	return all[PriceItem](ctx, q, `
		SELECT code, label, basis, price_cents, minimum_cents, taxable, species, forms, treatments
		FROM price_items WHERE price_list_id = $1 ORDER BY ord LIMIT 300`, list)
}
