package db

import (
	"context"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Mark is as of what an animal's row is, and how often the owner chose between the
// table and the shop's own numbers or set the storage fee: what is known at the same
// two still holds, and a link of the same link revision still works.
type Mark struct{ Revision, LinkRevision, Choices int }

// choicesMade counts what the owner of the shop chose that every page stands on.
const choicesMade = `(SELECT count(*) FROM number_choices) + (SELECT count(*) FROM storage_rules)`

// markDesk answers the phones that ask for marks. One query is on its way at a
// time; whoever comes meanwhile shares the next, which begins after all of them
// asked. So a crowd of phones costs hardly more than one, and nobody is told what
// was true before he asked.
type markDesk struct {
	turn sync.Mutex // held while a query is on its way
	mu   sync.Mutex
	next *markQuestion // gathers askers; nil: the next asker opens one

	// What was read and what from; whoever has the turn reads and writes it.
	from  asOf
	known map[uuid.UUID]Mark
}

type markQuestion struct {
	ids      [][16]byte
	answered chan struct{} // closed once marks and err are there
	marks    map[uuid.UUID]Mark
	err      error
}

// MarkOf reads the mark of an animal by primary key, all that an owner's page asks
// the database while nothing happens to the animal. Where nothing at all was written
// since it was read, it asks no more than that.
func (db *DB) MarkOf(ctx context.Context, id uuid.UUID) (m Mark, found bool, err error) {
	q, first := db.marks.join(id)
	if first {
		// The others wait for it too: it goes on if this one's phone hangs up.
		go db.marks.ask(q, func() { q.marks, q.err = db.readMarks(context.WithoutCancel(ctx), q.ids) })
	}
	select {
	case <-ctx.Done():
		return m, false, ctx.Err()
	case <-q.answered:
		m, found = q.marks[id]
		return m, found, q.err
	}
}

func (d *markDesk) join(id uuid.UUID) (q *markQuestion, first bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if first = d.next == nil; first {
		d.next = &markQuestion{answered: make(chan struct{})}
	}
	d.next.ids = append(d.next.ids, id)
	return d.next, first
}

// ask waits for its turn, lets nobody join any more and reads.
func (d *markDesk) ask(q *markQuestion, read func()) {
	d.turn.Lock()
	defer d.turn.Unlock()
	d.mu.Lock()
	d.next = nil
	d.mu.Unlock()
	read()
	close(q.answered)
}

func (db *DB) readMarks(ctx context.Context, ids [][16]byte) (map[uuid.UUID]Mark, error) {
	ctx, stop := context.WithTimeout(ctx, 10*time.Second)
	defer stop()
	began, now := db.connects.Load(), asOf{}
	if err := db.pool.QueryRow(ctx, `SELECT pg_current_snapshot()::text`).Scan(&now.snapshot); err != nil {
		return nil, translate(err)
	}
	d := &db.marks
	if now.connects = db.connects.Load(); d.known == nil || d.from != now {
		d.from, d.known = asOf{now.snapshot, began}, map[uuid.UUID]Mark{}
	}
	if marks, all := d.knows(ids); all {
		return marks, nil
	}
	// This may see a later snapshot. Then no other question ever meets the one above.
	rows, err := db.pool.Query(ctx, `
		SELECT id, revision, link_revision, `+choicesMade+` FROM animals WHERE id = ANY ($1)`, ids)
	if err != nil {
		return nil, translate(err)
	}
	var id [16]byte
	var m Mark
	_, err = pgx.ForEachRow(rows, []any{&id, &m.Revision, &m.LinkRevision, &m.Choices}, func() error {
		d.known[id] = m
		return nil
	})
	marks, _ := d.knows(ids)
	return marks, translate(err)
}

// knows picks the marks of these animals; all is false where one is missing.
func (d *markDesk) knows(ids [][16]byte) (marks map[uuid.UUID]Mark, all bool) {
	marks, all = make(map[uuid.UUID]Mark, len(ids)), true
	for _, id := range ids {
		m, found := d.known[id]
		if all = all && found; found {
			marks[id] = m
		}
	}
	return marks, all
}
