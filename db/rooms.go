package db

import (
	"context"
	"fmt"
	"sync"
	"time"

	"coldrail/domain/exposure"
)

// roomDays is how far back a room is remembered: longer than anything hangs.
const roomDays = 120

// rooms remembers the temperature record of each room with its running sums, so
// that the board judges hundreds of animals without reading it again. What is
// remembered is only ever a copy of the readings table: a server that starts
// afresh, or a second one, comes to the same.
type rooms struct {
	mu sync.Mutex
	of map[int16]*remembered
}

// remembered is one room and how many good readings it had when last asked.
type remembered struct {
	room *exposure.Room
	kept int64
}

// roomRecords returns the record of every room that has any reading, and for
// each room the number of good readings behind it.
func (db *DB) roomRecords(ctx context.Context, now time.Time) (map[int16]*exposure.Room, error) {
	type count struct {
		ID           int16
		ReadingsKept int64
	}
	counts, err := all[count](ctx, db.pool, `SELECT id, readings_kept FROM coolers WHERE readings_kept > 0`)
	if err != nil {
		return nil, fmt.Errorf("room records: %w", err)
	}
	db.rooms.mu.Lock()
	defer db.rooms.mu.Unlock()
	if db.rooms.of == nil {
		db.rooms.of = map[int16]*remembered{}
	}
	records := make(map[int16]*exposure.Room, len(counts))
	for _, c := range counts {
		known := db.rooms.of[c.ID]
		if known == nil || known.kept != c.ReadingsKept {
			if known, err = db.readRoom(ctx, c.ID, c.ReadingsKept, known, now); err != nil {
				return nil, fmt.Errorf("room records: %w", err)
			}
		}
		if known != nil {
			db.rooms.of[c.ID] = known
			records[c.ID] = known.room
		}
	}
	return records, nil
}

// readRoom brings a room up to date: only the newer readings where they are all
// that is missing, else all of them.
func (db *DB) readRoom(ctx context.Context, id int16, kept int64, known *remembered, now time.Time) (*remembered, error) {
	if known != nil {
		newer, err := db.readingsAfter(ctx, id, known.room.History().Last().At)
		if err != nil {
			return nil, err
		}
		if int64(len(newer)) == kept-known.kept {
			return &remembered{known.room, kept}, known.room.Add(newer)
		}
	}
	readings, err := db.readingsAfter(ctx, id, now.AddDate(0, 0, -roomDays))
	if err != nil || len(readings) == 0 {
		return nil, err
	}
	history, err := exposure.NewHistory(readings)
	if err != nil {
		return nil, err
	}
	return &remembered{exposure.NewRoom(history), kept}, nil
}

// readingsAfter lists the good air readings of a room in order of time.
func (db *DB) readingsAfter(ctx context.Context, id int16, after time.Time) ([]exposure.Reading, error) {
	return all[exposure.Reading](ctx, db.pool, `
		SELECT r.at, r.c FROM readings r JOIN sensors s ON s.id = r.sensor_id
		WHERE r.cooler_id = $1 AND r.at > $2 AND r.flag = 'ok' AND s.measures = 'air' ORDER BY r.at, r.id`, id, after)
}
