package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"

	"github.com/google/uuid"
)

// factsNow is what Judge is asked with.
type factsNow struct {
	facts ageing.Facts
	stays []exposure.Stay
}

// factsAt reads what Judge needs of one animal at now; false where nothing can
// be said of it, because its room has no reading.
func (db *DB) factsAt(ctx context.Context, id uuid.UUID, revision int, now time.Time) (n factsNow, ok bool, err error) {
	h, err := db.readHouse(ctx, now)
	if err != nil {
		return n, false, err
	}
	facts, err := db.refresh(ctx, []asked{{id, revision}})
	if err != nil {
		return n, false, err
	}
	k := facts[id]
	if k == nil || len(k.stays) == 0 {
		return n, false, nil
	}
	cooler := k.stays[len(k.stays)-1].cooler
	if h.records[cooler] == nil {
		return n, false, nil
	}
	n.facts, n.stays = k.put(h, h.asTheyCome, h.evening[cooler])
	return n, true, nil
}

// WindowsAt says when an animal may be cut if its room ran at each of these
// airs from now on. None where nothing can be said of it.
func (db *DB) WindowsAt(ctx context.Context, id uuid.UUID, revision int, now time.Time, airs ...domain.Celsius) ([]ageing.Window, error) {
	n, ok, err := db.factsAt(ctx, id, revision, now)
	if err != nil || !ok {
		return nil, err
	}
	return ageing.WindowsAt(n.facts, n.stays, now, airs...)
}

// Course says how an animal stood at each of the instants from its drop-off to
// now. None where nothing can be said of it.
func (db *DB) Course(ctx context.Context, id uuid.UUID, revision int, now time.Time, instants ...time.Time) ([]ageing.Stood, error) {
	n, ok, err := db.factsAt(ctx, id, revision, now)
	if err != nil || !ok {
		return nil, err
	}
	return ageing.Course(n.facts, n.stays, instants...)
}
