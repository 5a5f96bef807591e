package db

import (
	"context"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
)

// Changes tells of acts as they are committed, on this server or on another one of
// the same database.
type Changes struct {
	mu    sync.Mutex
	ended bool
	ears  map[chan struct{}]struct{}
}

// listenAgain is the pause after the connection that listens was lost.
const listenAgain = time.Second

// Listen begins to tell, on a connection of its own, until ctx ends. Where the
// connection was lost everybody is told once it is back: something may have been
// missed.
func (db *DB) Listen(ctx context.Context) *Changes {
	c := &Changes{ears: map[chan struct{}]struct{}{}}
	go func() {
		defer c.end()
		for first := true; ctx.Err() == nil; first = false {
			c.tellFrom(ctx, db.pool.Config().ConnConfig, !first)
			select {
			case <-ctx.Done():
			case <-time.After(listenAgain):
			}
		}
	}()
	return c
}

// tellFrom listens on one connection for as long as it lasts; again says that one
// was lost before.
func (c *Changes) tellFrom(ctx context.Context, to *pgx.ConnConfig, again bool) {
	conn, err := pgx.ConnectConfig(ctx, to)
	if err != nil {
		return // the pages say that the database is away
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, `LISTEN changed`); err != nil {
		return
	}
	if again {
		c.tell()
	}
	for {
		if _, err := conn.WaitForNotification(ctx); err != nil {
			return
		}
		c.tell()
	}
}

// tell rings each ear once; one that has not yet heard the last ring needs no
// second.
func (c *Changes) tell() {
	c.mu.Lock()
	defer c.mu.Unlock()
	for ear := range c.ears {
		select {
		case ear <- struct{}{}:
		default:
		}
	}
}

func (c *Changes) end() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.ended = true
	for ear := range c.ears {
		close(ear)
		delete(c.ears, ear)
	}
}

// Hear returns a channel that rings after every change and is closed when the
// program ends, and what to call when nobody listens any more.
func (c *Changes) Hear() (ear <-chan struct{}, deaf func()) {
	ring := make(chan struct{}, 1)
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.ended {
		close(ring)
		return ring, func() {}
	}
	c.ears[ring] = struct{}{}
	return ring, func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		delete(c.ears, ring)
	}
}
