package db

import (
	"context"
	"fmt"
	"strings"
	"time"

	"coldrail/domain/ageing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Protocol is one version of how a kind of animal hangs in this shop.
type Protocol struct {
	ID              int
	Key             string
	Version         int
	Label           string
	Aged            bool
	Target          *float64 // part of all that hanging can give, 0 to 1; nil: not aged
	MouldSign       string   // never, no, optional or required
	UsualDays       string
	CeilingDays     float64
	LongCeilingDays float64 // on the owner's signed wish; 0: not offered
	Cites           string
	Since           time.Time
}

// Protocols lists the newest version of each.
func (db *DB) Protocols(ctx context.Context) ([]Protocol, error) {
	return all[Protocol](ctx, db.pool, `
		SELECT DISTINCT ON (key) id, key, version, label, aged, target, mould_sign, usual_days, ceiling_days, long_ceiling_days, cites, since
		FROM protocols ORDER BY key, version DESC`)
}

// installProtocols writes the defaults as version 1 of each protocol the shop
// does not have yet. What the shop has made its own stays.
func installProtocols(ctx context.Context, pool *pgxpool.Pool) error {
	batch := &pgx.Batch{}
	for _, p := range ageing.Protocols {
		var target *float64
		if p.Aged {
			target = &p.Target
		}
		batch.Queue(`
			INSERT INTO protocols (key, version, label, aged, target, mould_sign, usual_days, ceiling_days, long_ceiling_days, cites, since)
			SELECT $1, 1, $2, $3, $4, $5, $6, $7, $8, $9, '2000-01-01Z'
			WHERE NOT EXISTS (SELECT FROM protocols WHERE key = $1)
			ON CONFLICT DO NOTHING`,
			p.Key, p.Label.String(), p.Aged, target, string(p.Sign), usualDays(p.Usual), p.Ceiling, p.LongCeiling, strings.Join(p.Cites, "; "))
	}
	if err := pool.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("install protocols: %w", err)
	}
	return nil
}

func usualDays(d ageing.Days) string {
	if d.From == d.To {
		return fmt.Sprintf("%g", d.From)
	}
	return fmt.Sprintf("%g to %g", d.From, d.To)
}
