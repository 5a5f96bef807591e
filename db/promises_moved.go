package db

import (
	"context"
	"time"

	"coldrail/domain"
)

// Moved is an animal whose promised day was moved and whose owner nobody has
// spoken to, called or written to since. One of whom a message tells is not listed:
// it is sent, or stands on the call list itself.
type Moved struct {
	Number     domain.ShopNumber
	Species    domain.Species
	PromisedOn time.Time
	Was        string // the day named before, 2026-11-20
	MovedAt    time.Time
	By         string // initials
}

// PromisesMoved lists the owners to tell, the nearest day first.
func (db *DB) PromisesMoved(ctx context.Context) ([]Moved, error) {
	return all[Moved](ctx, db.pool, `
		SELECT a.number, a.species, a.promised_on, l.detail->>'before' AS was, l.at AS moved_at, s.initials AS by
		FROM animals a
		JOIN LATERAL (SELECT detail, at, seq, by_staff FROM time_line WHERE animal_id = a.id AND what = 'promise' ORDER BY seq DESC LIMIT 1) l ON true
		JOIN staff s ON s.id = l.by_staff
		WHERE a.promised_on IS NOT NULL AND a.physical IN ('arrived', 'received', 'chilling', 'hanging', 'on-table', 'split')
		  AND l.detail ? 'before' AND l.detail->>'before' <> l.detail->>'day'
		  AND NOT EXISTS (SELECT FROM time_line t WHERE t.animal_id = a.id AND t.what = 'call' AND t.seq > l.seq)
		  AND NOT EXISTS (SELECT FROM messages m WHERE m.animal_id = a.id AND m.kind = 'moved' AND m.queued_at >= l.at AND m.state <> 'dropped')
		ORDER BY a.promised_on, a.number LIMIT 200`)
}
