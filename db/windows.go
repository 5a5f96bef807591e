package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"

	"github.com/google/uuid"
)

// WindowsAt says when an animal may be cut if its room ran at each of these
// airs from now on. None where nothing can be said of it.
func (db *DB) WindowsAt(ctx context.Context, id uuid.UUID, revision int, now time.Time, airs ...domain.Celsius) ([]ageing.Window, error) {
	h, err := db.readHouse(ctx, now)
	if err != nil {
		return nil, err
	}
	facts, err := db.refresh(ctx, []asked{{id, revision}})
	if err != nil {
		return nil, err
	}
	k := facts[id]
	if k == nil || len(k.stays) == 0 {
		return nil, nil
	}
	cooler := k.stays[len(k.stays)-1].cooler
	if h.records[cooler] == nil {
		return nil, nil
	}
	f, stays := k.put(h, h.asTheyCome, h.evening[cooler])
	return ageing.WindowsAt(f, stays, now, airs...)
}
