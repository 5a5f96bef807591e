package hunter

import (
	"context"
	"reflect"
	"sync"
	"time"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
)

// house is what the shop says to every owner alike.
type house struct {
	answers      db.Answers
	stubCollects bool
	closed       []animal.Intake
	rates        []billing.Rate // the taxes of the day
}

// houseMemory keeps it for a few seconds. What has not changed stays the same
// pointer, so that pages made from it still hold.
type houseMemory struct {
	mu   sync.Mutex
	last *house
	till time.Time
}

func (m *houseMemory) get(ctx context.Context, d *db.DB, now time.Time) (*house, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if age := m.till.Sub(now); m.last != nil && age > 0 && age <= houseFor {
		return m.last, nil
	}
	fresh, err := readHouse(ctx, d, now)
	if err != nil {
		return nil, err
	}
	if m.last == nil || !reflect.DeepEqual(*m.last, fresh) {
		m.last = &fresh
	}
	m.till = now.Add(houseFor)
	return m.last, nil
}

// houseFor is how old it may be.
const houseFor = 15 * time.Second

func readHouse(ctx context.Context, d *db.DB, now time.Time) (h house, err error) {
	if h.rates, err = d.TaxesOn(ctx, now); err != nil {
		return h, err
	}
	if h.answers, err = d.Answers(ctx); err != nil {
		return h, err
	}
	fetching, err := d.Fetching(ctx)
	if err != nil {
		return h, err
	}
	h.stubCollects = fetching.StubCollects
	doors, err := d.IntakeDoors(ctx)
	for _, form := range animal.Intakes {
		if doors[form].Closed {
			h.closed = append(h.closed, form)
		}
	}
	return h, err
}
