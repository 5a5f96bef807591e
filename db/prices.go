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

// itemOf is a price of the domain's as a line of a list.
func itemOf(i billing.Item) PriceItem {
	return PriceItem{Code: i.Code, Label: i.Label, Basis: string(i.Basis), PriceCents: i.Price, MinimumCents: i.Minimum, Taxable: i.Taxable,
		Species: i.Species, Forms: i.Forms, Treatments: i.Treatments}
}

// Items are the lines as the domain reckons with them.
func Items(list []PriceItem) []billing.Item {
	items := make([]billing.Item, len(list))
	for i, p := range list {
		items[i] = p.item()
	}
	return items
}

// PriceList is one version of what the shop charges. The one in force at
// drop-off binds.
type PriceList struct {
	ID      int
	Version int
	Name    string
	Since   time.Time
	Why     string
	MadeAt  *time.Time // nil: it came with the shop's first prices
	By      string     // initials; empty: nobody's name stands under it
}

const priceListQuery = `
	SELECT p.id, p.version, p.name, p.since, p.why, p.made_at, coalesce(s.initials, '') AS by
	FROM price_lists p LEFT JOIN staff s ON s.id = p.made_by`

// pricesAt is the version in force at $1: of those that had begun the one that began
// last, and of two that begin together the later made.
const pricesAt = ` WHERE p.since <= $1 ORDER BY p.since DESC, p.version DESC LIMIT 1`

// AddPriceList puts a new version in force from now.
func (db *DB) AddPriceList(ctx context.Context, name string, items []PriceItem, by uuid.UUID, now time.Time) (p PriceList, err error) {
	if err := billing.CheckList(Items(items)); err != nil {
		return p, err
	}
	return p, db.tx(ctx, "add price list", func(tx pgx.Tx) error {
		p, err = addPriceList(ctx, tx, PriceList{Name: name, Since: now, MadeAt: &now}, items, by)
		return err
	})
}

// FirstPrices puts the first list in force; whoever comes second is told.
func (db *DB) FirstPrices(ctx context.Context, name string, items []PriceItem, by uuid.UUID, now time.Time) error {
	if err := billing.CheckList(Items(items)); err != nil {
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
			return domain.Taken("The shop has prices already. Change them in the office, under Prices.")
		}
		_, err := addPriceList(ctx, tx, PriceList{Name: name, Since: now, MadeAt: &now}, items, by)
		return err
	})
}

func addPriceList(ctx context.Context, tx pgx.Tx, p PriceList, items []PriceItem, by uuid.UUID) (PriceList, error) {
	err := tx.QueryRow(ctx, `
		INSERT INTO price_lists (version, name, since, made_by, why, made_at)
		SELECT coalesce(max(version), 0) + 1, $1, $2, $3, $4, $5 FROM price_lists RETURNING id, version`,
		p.Name, p.Since, orNull(by), p.Why, p.MadeAt).Scan(&p.ID, &p.Version)
	if err != nil {
		return p, err
	}
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"price_items"}, append(priceColumns, "price_list_id"),
		pgx.CopyFromSlice(len(items), func(i int) ([]any, error) { return append(items[i].row(i+1), p.ID), nil }))
	return p, err
}

// priceColumns are the columns that row fills, of a list and of the one prepared.
var priceColumns = []string{"code", "label", "basis", "price_cents", "minimum_cents", "taxable", "species", "forms", "treatments", "ord"}

func (p PriceItem) row(ord int) []any {
	return []any{p.Code, p.Label, p.Basis, int64(p.PriceCents), int64(p.MinimumCents), p.Taxable, texts(p.Species), texts(p.Forms), texts(p.Treatments), ord}
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
	return all[PriceList](ctx, db.pool, priceListQuery+` ORDER BY p.version DESC LIMIT 200`)
}

// PricesInForce is the list that binds what comes in now; found is false where the
// shop has none yet.
func (db *DB) PricesInForce(ctx context.Context, now time.Time) (p PriceList, found bool, err error) {
	return one[PriceList](ctx, db.pool, priceListQuery+pricesAt, now)
}

// PriceVersion finds one version of the list.
func (db *DB) PriceVersion(ctx context.Context, version int) (PriceList, error) {
	p, found, err := one[PriceList](ctx, db.pool, priceListQuery+` WHERE p.version = $1`, version)
	if err == nil && !found {
		err = domain.Missing("There is no price list number %d.", version)
	}
	return p, err
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
