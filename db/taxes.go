package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/billing"

	"github.com/jackc/pgx/v5"
)

// TaxRate is a tax as it was set: it counts from a day on, until another of its name
// takes its place. A rate of nothing ends it.
type TaxRate struct {
	Name       string
	PerMillion int
	Since      time.Time // the day, at midnight UTC
	Why        string
	MadeAt     time.Time
	By         string // initials
}

// Rate is the tax as the domain reckons with it.
func (t TaxRate) Rate() billing.Rate { return billing.Rate{Name: t.Name, PerMillion: t.PerMillion} }

// TaxRates lists every tax that was ever set, the newest first.
func (db *DB) TaxRates(ctx context.Context) ([]TaxRate, error) {
	return all[TaxRate](ctx, db.pool, `
		SELECT t.name, t.per_million, t.since::timestamptz AS since, t.why, t.made_at, s.initials AS by
		FROM tax_rates t JOIN staff s ON s.id = t.made_by ORDER BY t.made_at DESC, t.id DESC LIMIT 200`)
}

// TaxesOn are the taxes in force on the shop's day of now, by name.
func (db *DB) TaxesOn(ctx context.Context, now time.Time) ([]billing.Rate, error) {
	return taxRatesOn(ctx, db.pool, now)
}

func taxRatesOn(ctx context.Context, q querier, now time.Time) ([]billing.Rate, error) {
	return all[billing.Rate](ctx, q, `
		SELECT name, per_million FROM (
		  SELECT DISTINCT ON (name) name, per_million FROM tax_rates
		  WHERE since <= (SELECT ($1::timestamptz AT TIME ZONE zone)::date FROM shop) ORDER BY name, since DESC, made_at DESC, id DESC) t
		WHERE per_million > 0 ORDER BY name LIMIT 10`, now)
}

// SetTax sets a tax from a day on: the owner's, with the reason. Bills
// that are made stay as they are. Seen is how many rates the form showed: whoever
// comes second is told.
func (db *DB) SetTax(ctx context.Context, act Act, seen int, r billing.Rate, since time.Time, why string) error {
	r.Name, why = tidy(r.Name), tidy(why)
	if err := r.Check(); err != nil {
		return err
	}
	if why == "" {
		return domain.Wrong("why", "Say why, such as the letter or the page where the rate stands.")
	}
	return db.act(ctx, act, "set tax", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `SELECT FROM shop FOR UPDATE`); err != nil {
			return line{}, err
		}
		var there int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM tax_rates`).Scan(&there); err != nil {
			return line{}, err
		}
		if there != seen {
			return line{}, domain.Taken("Somebody else has just set a tax. Look at the list again before you change it.")
		}
		_, err := tx.Exec(ctx, `
			INSERT INTO tax_rates (id, name, per_million, since, why, made_at, made_by) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			act.ID, r.Name, r.PerMillion, since.Format(time.DateOnly), why, act.At, act.Staff)
		return line{What: "tax", Detail: map[string]any{"tax": r.Name, "rate": r.Percent(), "since": since.Format(time.DateOnly), "why": why}}, err
	})
}
