package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain/exposure"

	"github.com/google/uuid"
)

// Lived is a stretch of time an animal hung in one room, and the room's air in
// that time.
type Lived struct {
	Room     string // as people call it
	From, To time.Time
	Readings []exposure.Reading // in order of time
	Silences []exposure.Silence // when nobody watched
}

// Lived returns the air an animal hung in from the drop-off until the moment
// given: one stretch for each time it changed rooms. A room without any reading
// has none.
func (db *DB) Lived(ctx context.Context, id uuid.UUID, revision int, until time.Time) ([]Lived, error) {
	facts, err := db.refresh(ctx, []asked{{id, revision}})
	if err != nil || facts[id] == nil {
		return nil, err
	}
	records, err := db.roomRecords(ctx, until)
	if err != nil {
		return nil, err
	}
	rooms, err := db.Coolers(ctx)
	if err != nil {
		return nil, fmt.Errorf("lived: %w", err)
	}
	label := map[int16]string{}
	for _, r := range rooms {
		label[r.ID] = r.Label
	}
	stays := facts[id].stays
	lived := make([]Lived, 0, len(stays))
	for i, s := range stays {
		to := until
		if i+1 < len(stays) {
			to = stays[i+1].from
		}
		if !to.After(s.from) {
			continue
		}
		l := Lived{Room: label[s.cooler], From: s.from, To: to}
		if room := records[s.cooler]; room != nil {
			h := room.History()
			l.Readings, l.Silences = h.Within(s.from, to), h.Unwatched(s.from, to)
		} else {
			l.Silences = []exposure.Silence{{From: s.from, To: to}}
		}
		lived = append(lived, l)
	}
	return lived, nil
}
