package db

import (
	"context"
	"sync"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
)

// owingRow is an animal that may owe something, and the last line of the register
// that tells of it.
type owingRow struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Species    domain.Species
	Form       domain.Form
	ReceivedAt time.Time
	Name       string
	Phone      string
	Upto       int64
}

// toldSoFar is what the lines of the register up to one of them tell of an animal.
type toldSoFar struct {
	Upto   int64 `db:"-"`
	Given  map[string]string
	Sealed []string
}

// toldMemory keeps what was told of the animals that owe something. Lines are only
// ever added to the register, so that up to one line it stays true; hundreds wait on
// opening weekend, and the first page asks for all of them each time.
type toldMemory struct {
	mu   sync.Mutex
	kept map[uuid.UUID]toldSoFar // never changed: each reading makes a new one
}

// of gives what is told of these, and reads of those alone of which there is more.
func (m *toldMemory) of(ctx context.Context, q querier, rows []owingRow) (map[uuid.UUID]toldSoFar, error) {
	m.mu.Lock()
	kept := m.kept
	m.mu.Unlock()
	now, upto := make(map[uuid.UUID]toldSoFar, len(rows)), map[uuid.UUID]int64{}
	var more []uuid.UUID
	for _, r := range rows {
		if known, ok := kept[r.ID]; ok && known.Upto == r.Upto {
			now[r.ID] = known
		} else {
			more, upto[r.ID] = append(more, r.ID), r.Upto
		}
	}
	if len(more) > 0 {
		type row struct {
			ID uuid.UUID
			toldSoFar
		}
		read, err := all[row](ctx, q, `SELECT a.id, `+toldOf+` FROM animals a WHERE a.id = ANY ($1)`, more)
		if err != nil {
			return nil, err
		}
		for _, r := range read {
			r.Upto = upto[r.ID]
			now[r.ID] = r.toldSoFar
		}
	}
	m.mu.Lock()
	m.kept = now
	m.mu.Unlock()
	return now, nil
}
