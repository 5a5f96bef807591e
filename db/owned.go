package db

import (
	"context"
	"slices"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/yield"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Owned is what the page of an animal's owner is made from. It names nobody:
// neither another person nor anyone of the shop.
type Owned struct {
	Animal
	Holds     []hold.Kind // open ones
	Packs     int
	PackedKg  domain.Kilogram
	Loose     int // packs in no box yet
	Boxes     int // all of them
	Here      int // boxes still in the shop
	LastLeft  *time.Time
	ToCome    []cutting.Treatment // specials ordered and not packed yet
	Expected  yield.Estimate      // zero where nothing can be said
	Invoice   billing.Invoice
	Low, High []billing.Line // between which bills its own will lie, before it is made; none where nothing can be said
	Shared    bool           // it has an order a portion: money and boxes are each owner's own
	Storage   Storage        // zero where nobody approved it
	Shown

	parted  []int64 // one share's part of Low and High, and the rest; nil: all of them
	choices int     // as in the mark it was read at
}

// IsBilled reports whether the bill has been made.
func (o Owned) IsBilled() bool { return Account{Animal: o.Animal}.IsBilled() }

// Quote is between which sums the bill will lie, the taxes in it: what an owner may be
// told before it is made.
type Quote struct {
	Low, High domain.Cents
	Known     bool
	Taxed     bool // a tax is in it
}

func quoted(low, high []billing.Line, rates []billing.Rate) Quote {
	of := func(lines []billing.Line) domain.Cents {
		return billing.Invoice{Lines: billing.Taxed(rates, lines)}.Total()
	}
	q := Quote{Low: of(low), High: of(high)}
	q.Known, q.Taxed = q.High > 0, len(billing.Tax(rates, high)) > 0
	return q
}

// Quote reckons it with the taxes of a day, which are no part of what is remembered.
func (o Owned) Quote(rates []billing.Rate) Quote {
	q := quoted(o.Low, o.High, rates)
	if o.parted != nil {
		q.Low, q.High = billing.Split(q.Low, o.parted)[0], billing.Split(q.High, o.parted)[0]
	}
	return q
}

// ownedMemory keeps what was read for owners' pages, each as of the animal's
// revision. Every act raises the revision, so a page is never older than the
// row, on this server or another.
type ownedMemory struct {
	mu sync.Mutex
	by map[uuid.UUID]Owned
}

// mostOwned bounds the memory: a season's animals, a few kB each.
const mostOwned = 3000

// Owned reads what the owner's page needs, unless it is remembered as of the
// mark.
func (db *DB) Owned(ctx context.Context, id uuid.UUID, m Mark) (Owned, error) {
	db.owned.mu.Lock()
	o, found := db.owned.by[id]
	db.owned.mu.Unlock()
	if found && o.Revision == m.Revision && o.choices == m.Choices {
		return o, nil
	}
	o, err := db.readOwned(ctx, id)
	if err != nil {
		return o, err
	}
	db.owned.mu.Lock()
	defer db.owned.mu.Unlock()
	if db.owned.by == nil || len(db.owned.by) >= mostOwned {
		db.owned.by = map[uuid.UUID]Owned{}
	}
	o.choices = m.Choices
	db.owned.by[id] = o
	return o, nil
}

// readOwned reads all of it in one view of the records, so that it is that of
// one revision.
func (db *DB) readOwned(ctx context.Context, id uuid.UUID) (o Owned, err error) {
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return o, err
	}
	err = pgx.BeginTxFunc(ctx, db.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error {
		a, _, err := one[Animal](ctx, tx, `SELECT `+animalColumns+` FROM animals a WHERE a.id = $1`, id)
		if err != nil {
			return err
		}
		o.Animal, o.Expected = a, numbers.Expected(a)
		var storing bool
		if err := tx.QueryRow(ctx, `
			SELECT ARRAY(SELECT kind FROM holds WHERE animal_id = $1 AND closed_at IS NULL),
			       (SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1),
			       (SELECT coalesce(sum(net_kg), 0) FROM packs WHERE animal_id = $1),
			       (SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1 AND box_id IS NULL),
			       (SELECT count(*)::int FROM boxes WHERE animal_id = $1),
			       (SELECT count(*)::int FROM boxes WHERE animal_id = $1 AND released_at IS NULL),
			       (SELECT max(h.at) FROM handovers h WHERE h.animal_id = $1 AND `+tookPlace("h")+`),
			       EXISTS (SELECT FROM orders WHERE animal_id = $1 AND void_at IS NULL AND portion <> ''),
			       EXISTS (SELECT FROM storage_approvals WHERE animal_id = $1 AND ended_at IS NULL)`, id).
			Scan(&o.Holds, &o.Packs, &o.PackedKg, &o.Loose, &o.Boxes, &o.Here, &o.LastLeft, &o.Shared, &storing); err != nil {
			return err
		}
		acc, err := account(ctx, tx, a)
		if err != nil {
			return err
		}
		o.Invoice = acc.Invoice()
		if storing {
			if o.Storage, err = storageOf(ctx, tx, a); err != nil {
				return err
			}
		}
		if err := o.show(ctx, tx); err != nil {
			return err
		}
		return o.reckon(ctx, tx)
	})
	return o, translate(err)
}

// reckon says what is still to come, and what the bill will be.
func (o *Owned) reckon(ctx context.Context, q querier) error {
	done, err := worked(ctx, q, o.Animal)
	if err != nil {
		return err
	}
	o.ToCome = cutting.ToCome(done.Ordered, done.Packed)
	if o.IsBilled() {
		return nil
	}
	prices, err := priceItems(ctx, q, o.PriceListID)
	if err != nil {
		return err
	}
	most := domain.Kilogram(0)
	if !o.Physical.Cut() {
		most = o.Expected.Clean
	}
	o.Low, o.High, err = billing.Range(Items(prices), done, o.HangingKg, most)
	if e := domain.As(err); err != nil && e.Kind == domain.Internal {
		return err
	}
	if err == nil && len(o.High) > 0 { // and the lines that wait for the bill
		o.Low, o.High = append(o.Low, o.Invoice.Lines...), append(o.High, o.Invoice.Lines...)
	}
	return nil
}

// MustCall reports whether the page may say nothing but "please call us": bad
// news waits that the lead tells by mouth, or a question only people can settle.
func (o Owned) MustCall() bool {
	return o.CallFirst || o.Physical.TellByMouth() || slices.ContainsFunc(o.Holds, hold.Kind.TellByMouth)
}

// NewLink makes the owner's page reachable only by a new link; the old one
// works no longer.
func (db *DB) NewLink(ctx context.Context, act Act, number domain.ShopNumber) error {
	return db.act(ctx, act, "new link", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE animals SET link_revision = link_revision + 1, revision = revision + 1 WHERE id = $1`, a.ID)
		return line{Animal: a.ID, What: "new-link"}, err
	})
}
