package db

import (
	"context"
	"time"
)

// Protocol is one version of how a kind of animal hangs in this shop.
type Protocol struct {
	ID          int
	Key         string
	Version     int
	Label       string
	Aged        bool
	Target      *float64 // part of all that hanging can give, 0 to 1; nil: not aged
	MouldSign   string   // never, no, optional or required
	UsualDays   string
	CeilingDays float64
	Cites       string
	Since       time.Time
}

// Protocols lists the newest version of each.
func (db *DB) Protocols(ctx context.Context) ([]Protocol, error) {
	return all[Protocol](ctx, db.pool, `
		SELECT DISTINCT ON (key) id, key, version, label, aged, target, mould_sign, usual_days, ceiling_days, cites, since
		FROM protocols ORDER BY key, version DESC`)
}

func installProtocols(ctx context.Context, pool any) error { return nil }
