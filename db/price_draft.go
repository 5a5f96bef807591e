package db

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/billing"

	"github.com/jackc/pgx/v5"
)

// PriceDraft is the one price list that is being prepared: nothing is charged by it
// until it is put in force.
type PriceDraft struct {
	Base    int // the version it began as a copy of; 0: none
	BegunAt time.Time
	By      string // initials
}

// DraftItem is one line of it.
type DraftItem struct {
	PriceItem
	Revision int // so that whoever comes second with a line is told
}

// PriceDraft reads the list being prepared; found is false where there is none.
func (db *DB) PriceDraft(ctx context.Context) (d PriceDraft, items []DraftItem, found bool, err error) {
	return priceDraft(ctx, db.pool, "")
}

// priceDraft reads it, with lock "FOR UPDATE" for an act on it.
func priceDraft(ctx context.Context, q querier, lock string) (d PriceDraft, items []DraftItem, found bool, err error) {
	if lock != "" {
		lock += " OF d"
	}
	d, found, err = one[PriceDraft](ctx, q, `
		SELECT d.base, d.begun_at, s.initials AS by FROM price_draft d JOIN staff s ON s.id = d.begun_by `+lock)
	if err != nil || !found {
		return d, nil, found, err
	}
	items, err = all[DraftItem](ctx, q, `
		SELECT code, label, basis, price_cents, minimum_cents, taxable, species, forms, treatments, revision
		FROM price_draft_items ORDER BY ord, code LIMIT 301`)
	return d, items, true, err
}

// BeginPrices begins a new list as a copy of the one in force. Whoever comes second
// is told who prepares one already.
func (db *DB) BeginPrices(ctx context.Context, act Act) error {
	return db.act(ctx, act, "begin prices", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `SELECT FROM shop FOR UPDATE`); err != nil {
			return line{}, err
		}
		if d, _, found, err := priceDraft(ctx, tx, ""); err != nil || found {
			if err == nil {
				err = domain.Taken("%s began a new list %s. Go on with that one, or throw it away first.", d.By, d.BegunAt)
			}
			return line{}, err
		}
		now, _, err := one[PriceList](ctx, tx, priceListQuery+pricesAt, act.At)
		if err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO price_draft (base, begun_at, begun_by) VALUES ($1, $2, $3)`, now.Version, act.At, act.Staff); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO price_draft_items (code, label, basis, price_cents, minimum_cents, taxable, species, forms, treatments, ord)
			SELECT code, label, basis, price_cents, minimum_cents, taxable, species, forms, treatments, ord FROM price_items WHERE price_list_id = $1`, now.ID)
		return line{What: "begin-prices", Detail: map[string]any{"from version": now.Version}}, err
	})
}

// draftAct does one thing to the list being prepared.
func (db *DB) draftAct(ctx context.Context, act Act, what string, do func(tx pgx.Tx, d PriceDraft, items []DraftItem) (line, error)) error {
	return db.act(ctx, act, what, func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		d, items, found, err := priceDraft(ctx, tx, "FOR UPDATE")
		if err == nil && !found {
			err = domain.Taken("No new price list is being prepared any more. Look at the prices again.")
		}
		if err != nil {
			return line{}, err
		}
		return do(tx, d, items)
	})
}

// SetPrice writes one line of the list being prepared: a new one where code is
// empty, else the line of that code. Seen is the revision that the form showed.
func (db *DB) SetPrice(ctx context.Context, act Act, code string, seen int, to billing.Item) error {
	return db.draftAct(ctx, act, "set price", func(tx pgx.Tx, _ PriceDraft, items []DraftItem) (line, error) {
		at := slices.IndexFunc(items, func(i DraftItem) bool { return i.Code == code })
		switch {
		case code != "" && at < 0:
			return line{}, domain.Taken("That line has just been dropped from the new list. Look at it again.")
		case code != "" && items[at].Revision != seen:
			return line{}, domain.Taken("Somebody else has just changed this line. Look at it again before you change it.")
		}
		to.Label = tidy(to.Label)
		if to.Code = code; code == "" {
			to.Code = billing.CodeFor(to.Label, func(c string) bool { return slices.ContainsFunc(items, func(i DraftItem) bool { return i.Code == c }) })
		}
		if err := to.Check(); err != nil {
			return line{}, err
		}
		if i := slices.IndexFunc(items, func(i DraftItem) bool { return i.Code != code && strings.EqualFold(i.Label, to.Label) }); i >= 0 {
			return line{}, domain.Wrong("label", "Two prices of the list are called %s. Give one another name.", to.Label)
		}
		_, err := tx.Exec(ctx, `
			INSERT INTO price_draft_items AS d (code, label, basis, price_cents, minimum_cents, taxable, species, forms, treatments, ord)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, (SELECT coalesce(max(ord), 0) + 1 FROM price_draft_items))
			ON CONFLICT (code) DO UPDATE SET label = $2, basis = $3, price_cents = $4, minimum_cents = $5, taxable = $6, species = $7, forms = $8,
			       treatments = $9, revision = d.revision + 1`, itemOf(to).row(0)[:9]...)
		return line{What: "set-price", Detail: map[string]any{"line": to.Label, "price": to.Price.String()}}, err
	})
}

// DropPrice takes a line off the list being prepared.
func (db *DB) DropPrice(ctx context.Context, act Act, code string) error {
	return db.draftAct(ctx, act, "drop price", func(tx pgx.Tx, _ PriceDraft, items []DraftItem) (line, error) {
		at := slices.IndexFunc(items, func(i DraftItem) bool { return i.Code == code })
		if at < 0 {
			return line{}, domain.Taken("That line has just been dropped from the new list. Look at it again.")
		}
		_, err := tx.Exec(ctx, `DELETE FROM price_draft_items WHERE code = $1`, code)
		return line{What: "drop-price", Detail: map[string]any{"line": items[at].Label}}, err
	})
}

// LeavePrices throws the list being prepared away; what is in force stays.
func (db *DB) LeavePrices(ctx context.Context, act Act) error {
	return db.draftAct(ctx, act, "leave prices", func(tx pgx.Tx, _ PriceDraft, _ []DraftItem) (line, error) {
		return line{What: "leave-prices"}, emptyDraft(ctx, tx)
	})
}

func emptyDraft(ctx context.Context, tx pgx.Tx) error {
	batch := &pgx.Batch{}
	batch.Queue(`DELETE FROM price_draft_items`)
	batch.Queue(`DELETE FROM price_draft`)
	return tx.SendBatch(ctx, batch).Close()
}

// PutInForce makes the list being prepared the newest version, from since on, which
// may be ahead and is never behind: what came in by then keeps the list it came
// under. Why is kept with it.
func (db *DB) PutInForce(ctx context.Context, act Act, name string, since time.Time, why string) error {
	name, why = tidy(name), tidy(why)
	if since.IsZero() {
		since = act.At
	}
	switch {
	case name == "":
		return domain.Wrong("name", "Give the list a name, such as Season 2026.")
	case why == "":
		return domain.Wrong("why", "Say why the prices change. Whoever reads it later wants to know.")
	case since.Before(act.At):
		return domain.Wrong("since", "That moment is past. A list counts from now or later, because what came in before keeps its own.")
	case since.After(act.At.AddDate(2, 0, 0)):
		return domain.Wrong("since", "That is more than two years ahead. Choose a nearer day.")
	}
	return db.draftAct(ctx, act, "put prices in force", func(tx pgx.Tx, d PriceDraft, items []DraftItem) (line, error) {
		list := make([]PriceItem, len(items))
		for i, it := range items {
			list[i] = it.PriceItem
		}
		if err := billing.CheckList(Items(list)); err != nil {
			return line{}, err
		}
		if err := differs(ctx, tx, d.Base, list); err != nil {
			return line{}, err
		}
		p, err := addPriceList(ctx, tx, PriceList{Name: name, Since: since, Why: why, MadeAt: &act.At}, list, act.Staff)
		if err != nil {
			return line{}, err
		}
		return line{What: "prices", Detail: map[string]any{"version": p.Version, "since": since.Format(time.RFC3339), "why": why}}, emptyDraft(ctx, tx)
	})
}

// differs refuses a list that says what the version it began from says.
func differs(ctx context.Context, tx pgx.Tx, base int, list []PriceItem) error {
	was, err := all[PriceItem](ctx, tx, `
		SELECT code, label, basis, price_cents, minimum_cents, taxable, species, forms, treatments
		FROM price_items i JOIN price_lists p ON p.id = i.price_list_id WHERE p.version = $1 ORDER BY ord LIMIT 300`, base)
	if err == nil && len(billing.Changes(Items(was), Items(list))) == 0 {
		err = domain.Wrong("why", "Nothing is different from the list it began from, so nothing was changed.")
	}
	return err
}
