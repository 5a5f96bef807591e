package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"

	"github.com/jackc/pgx/v5"
)

// NextBill is what the bill would say now, from what is known so far.
type NextBill struct {
	Lines  []billing.Line  // with the taxes of the day
	Later  []billing.Item  // prices by the finished pound that miss something yet
	Packed domain.Kilogram // finished weight so far
}

// Quote reckons it at now.
func (db *DB) Quote(ctx context.Context, a Animal, now time.Time) (NextBill, error) {
	q, err := readQuote(ctx, db.pool, a, now)
	if err != nil {
		return NextBill{}, err
	}
	lines, err := q.lines(false, nil)
	if err != nil {
		return NextBill{}, err
	}
	next := NextBill{Lines: append(lines, q.taxes(lines)...), Later: q.later()}
	for _, kg := range q.worked.Packed {
		next.Packed += kg
	}
	return next, nil
}

// Unbilled is what was packed or ordered since the bill and is not on it, and the
// storage that has run; none before there is a bill, nor of an animal that is not cut, nor once everything left.
func (db *DB) Unbilled(ctx context.Context, a Animal, now time.Time) ([]billing.Line, error) {
	return unbilled(ctx, db.pool, a, now)
}

func unbilled(ctx context.Context, q querier, a Animal, now time.Time) ([]billing.Line, error) {
	if !(Account{Animal: a}).IsBilled() || a.Money == animal.WrittenOff || !a.Physical.InHouse() || !a.Physical.Cut() {
		return nil, nil
	}
	r, err := readQuote(ctx, q, a, now)
	if err != nil {
		return nil, err
	}
	done := billing.Asked(r.list, r.worked)
	if len(r.later()) > 0 {
		done = billing.WithoutLeast(r.list, done)
	}
	lines, err := billing.More(r.list, done, a.HangingKg, r.billed)
	if err != nil {
		return nil, err
	}
	lines = append(lines, r.storage...)
	return append(lines, billing.Tax(r.rates, lines)...), nil
}

// BillRest adds to the bill what was packed since it was made, and the storage that
// has run, each with its own line, and the taxes of the day on them.
func (db *DB) BillRest(ctx context.Context, act Act, number domain.ShopNumber) error {
	return db.act(ctx, act, "bill the rest", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		added, err := billMore(ctx, tx, act, a, "packed since the bill")
		if err == nil && added == 0 {
			err = domain.Taken("Everything that was packed is on the bill already.")
		}
		return line{Animal: a.ID, What: "bill-rest", Detail: map[string]any{"amount": added.String()}}, err
	})
}

// billMore puts what the bill lacks on it and says what it comes to.
func billMore(ctx context.Context, tx pgx.Tx, act Act, a Animal, why string) (domain.Cents, error) {
	lines, err := unbilled(ctx, tx, a, act.At)
	if err != nil || len(lines) == 0 {
		return 0, err
	}
	if err := charge(ctx, tx, act, a, chargesOf(lines, why)...); err != nil {
		return 0, err
	}
	return billing.Invoice{Lines: lines}.Total(), reckon(ctx, tx, a, animal.BillMore, 0)
}

// toQuote is what a bill is reckoned from.
type toQuote struct {
	animal Animal
	list   []billing.Item
	worked billing.Animal
	rates  []billing.Rate
	billed []billing.Line // on the bill, or waiting for it

	storage []billing.Line // that has run and is not on it
}

func readQuote(ctx context.Context, q querier, a Animal, now time.Time) (r toQuote, err error) {
	r.animal = a
	prices, err := priceItems(ctx, q, a.PriceListID)
	if err != nil {
		return r, err
	}
	r.list = Items(prices)
	if r.worked, err = worked(ctx, q, a); err != nil {
		return r, err
	}
	if r.rates, err = taxRatesOn(ctx, q, now); err != nil {
		return r, err
	}
	acc, err := account(ctx, q, a)
	if err != nil {
		return r, err
	}
	r.billed = acc.Invoice().Lines
	r.storage, err = storageDue(ctx, q, a, now)
	return r, err
}

// later lists the prices that a bill made now would miss something of.
func (r toQuote) later() []billing.Item {
	toCome := cutting.ToCome(r.worked.Ordered, r.worked.Packed)
	treatments := make([]string, len(toCome))
	for i, t := range toCome {
		treatments[i] = string(t)
	}
	return billing.Later(r.list, r.worked, treatments, r.animal.Physical == animal.InPieces)
}

// lines are those of a first bill, or of its part.
func (r toQuote) lines(part bool, ticked []billing.Done) ([]billing.Line, error) {
	done := append(billing.Asked(r.list, r.worked), ticked...)
	if part {
		done = billing.WithoutLeast(r.list, done)
	}
	lines, err := billing.Lines(r.list, done, r.animal.HangingKg)
	return append(lines, r.storage...), err
}

// taxes are reckoned once on the lines and on what waited for the bill.
func (r toQuote) taxes(lines []billing.Line) []billing.Line {
	return billing.Tax(r.rates, append(lines[:len(lines):len(lines)], r.billed...))
}
