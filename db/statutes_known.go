package db

import (
	"sync"

	"github.com/jackc/pgx/v5"
)

// statutesMemory keeps the rules that reached the last drop-offs, by the state of the
// kill as it was told. An owner writes a rule once a year, and every drop-off asks for
// all of them.
type statutesMemory struct {
	mu      sync.Mutex
	reached map[string]statutesKnown
}

// statutesKnown are the rules as they stood at a stamp.
type statutesKnown struct {
	stamp string
	list  []Statute // never changed
}

// mostStatesTold bounds the memory: the state of the kill is typed.
const mostStatesTold = 100

// statutesStamp is another one after any change of a rule or of the shop's own state: a
// row that is changed carries the number of the transaction that did it.
const statutesStamp = `(SELECT format('%s-%s-%s', shop.home_state, count(*), sum(s.xmin::text::bigint)) FROM statutes s, shop GROUP BY shop.home_state)`

func (m *statutesMemory) as(state string) statutesKnown {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.reached[state]
}

func (m *statutesMemory) keep(state string, k statutesKnown) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.reached == nil || len(m.reached) >= mostStatesTold {
		m.reached = map[string]statutesKnown{}
	}
	m.reached[state] = k
}

// statutesAsked reads the stamp, and the rules only where it is another than before.
type statutesAsked struct {
	before, now statutesKnown
}

func (a *statutesAsked) queue(b *pgx.Batch, state string) {
	b.Queue(`SELECT ` + statutesStamp).QueryRow(func(row pgx.Row) error { return row.Scan(&a.now.stamp) })
	queueAll(b, &a.now.list, statutesAtDoor, state, a.before.stamp)
}

// known are the rules as read, or as remembered where the stamp is the same.
func (a *statutesAsked) known() statutesKnown {
	if len(a.now.list) == 0 && a.now.stamp == a.before.stamp {
		return a.before
	}
	return a.now
}
