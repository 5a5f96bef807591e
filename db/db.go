// Package db is the shop's memory: one file per thing remembered, the SQL right
// above its scan. Each exported method is one thing somebody does or one thing a
// screen shows; each write is one transaction with one line on the time line.
package db

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"
	"github.com/jackc/pgx/v5/pgxpool"
	pgxuuid "github.com/vgarvardt/pgx-google-uuid/v5"
)

// DB holds the connections, all of them under the program's own role, which can
// neither change nor delete a line of the time line or the register.
type DB struct {
	pool     *pgxpool.Pool
	rooms    rooms // what is remembered of the rooms' temperatures
	bench    bench // what is remembered of the animals on the rail
	board    markMemory
	hanging  hangingMemory
	owned    ownedMemory
	marks    markDesk
	layout   layoutMemory
	statutes statutesMemory
	learned  learnedMemory
	plans    planMemory // the last cut plan
	told     toldMemory

	connects atomic.Int64 // connections made so far
}

// asOf is what a reading was read from. Two that are the same saw the same rows: the
// snapshot tells the transactions they saw (Postgres, pg_current_snapshot), and no
// connection was made between them, as after a crash, which may give the numbers of
// transactions it lost to others.
type asOf struct {
	snapshot string
	connects int64 // of a reading that is kept, before it; of one that is compared, after it
}

// Role is the Postgres role the program works under.
const Role = "coldrail_app"

// Open connects to the database at url, which must have been migrated. It does
// not wait for the first connection: a database that is away shows on the page.
func Open(ctx context.Context, url string) (*DB, error) {
	cfg, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, fmt.Errorf("the database address cannot be read: %w", err)
	}
	// Twice the cores: more connections only lengthen the queue inside Postgres.
	cfg.MaxConns = int32(max(4, 2*runtime.NumCPU()))
	cfg.MinIdleConns = 2
	// Without its codec an id goes the long way through text, at thirty times the price;
	// a drop-off writes some fifty.
	db := &DB{}
	cfg.AfterConnect = func(_ context.Context, c *pgx.Conn) error {
		db.connects.Add(1)
		pgxuuid.Register(c.TypeMap())
		return nil
	}
	cfg.ConnConfig.RuntimeParams["role"] = Role
	cfg.ConnConfig.RuntimeParams["timezone"] = "UTC"
	cfg.ConnConfig.RuntimeParams["application_name"] = "coldrail"
	if db.pool, err = pgxpool.NewWithConfig(ctx, cfg); err != nil {
		return nil, fmt.Errorf("open database: %w", err)
	}
	return db, nil
}

// Close gives all connections back.
func (db *DB) Close() { db.pool.Close() }

// Pool is for the libraries that bring their own queries: sessions and jobs.
func (db *DB) Pool() *pgxpool.Pool { return db.pool }

// Ping asks the database for a sign of life.
func (db *DB) Ping(ctx context.Context) error { return translate(db.pool.Ping(ctx)) }

// tx runs do in one transaction, the only place where one begins.
func (db *DB) tx(ctx context.Context, what string, do func(tx pgx.Tx) error) error {
	if err := pgx.BeginFunc(ctx, db.pool, do); err != nil {
		return fmt.Errorf("%s: %w", what, translate(err))
	}
	return nil
}

// Act is one thing a person does: who, when, on which device. Its ID is made
// where the form was made, so that the same act sent twice is done once.
type Act struct {
	ID     uuid.UUID
	At     time.Time
	Staff  uuid.UUID
	Device uuid.UUID // zero: none, such as the command line
	Said   []byte    // what the form said, in whatever words it was sent; nil: no form

	// Of an act that was kept on a tablet and sent later; zero for one done now.
	Arrived  time.Time     // by the shop's clock; At is when it was done, by the same clock
	DeviceAt time.Time     // when it was done, by the tablet's own clock
	Ahead    time.Duration // what the tablet's clock runs ahead by, measured as it was sent
}

// Kept reports whether the act was made on a tablet and sent later.
func (a Act) Kept() bool { return !a.Arrived.IsZero() }

// Arrival is when the act reached the shop's machine.
func (a Act) Arrival() time.Time {
	if a.Kept() {
		return a.Arrived
	}
	return a.At
}

// True is a moment of the tablet's clock as the shop's clock had it.
func (a Act) True(device time.Time) time.Time { return device.Add(-a.Ahead) }

// line is what an act leaves on the time line of an animal or a room.
type line struct {
	Animal uuid.UUID // zero: an act on a room
	Cooler int16     // zero: an act on an animal
	What   string
	Detail map[string]any
	Why    string     // what was typed, a reason or a note, which may hold a name: it can be blanked, Detail never; only of an animal
	Rows   *pgx.Batch // still to be written; they travel with the line in one trip
}

// act does one thing once: do runs in a transaction that ends with its line on
// the time line. If the same act was done before, nothing happens and act
// returns nil, also when both arrive at the same moment and the second was
// refused because the first had won.
func (db *DB) act(ctx context.Context, a Act, what string, do func(tx pgx.Tx) (line, error)) error {
	return db.once(ctx, a, what, func(tx pgx.Tx) error {
		if done, err := actDone(ctx, tx, a); err != nil || done {
			return err
		}
		l, err := do(tx)
		if err != nil {
			return err
		}
		return addLine(ctx, tx, a, l)
	})
}

// once is act for a verb that asks itself whether it was done, among its other
// questions, and adds its own line.
func (db *DB) once(ctx context.Context, a Act, what string, do func(tx pgx.Tx) error) error {
	if a.ID == uuid.Nil {
		return fmt.Errorf("%s: the act has no id", what)
	}
	err := db.tx(ctx, what, do)
	if err == nil {
		return nil
	}
	if done, asked := actDone(ctx, db.pool, a); done {
		return asked
	}
	return err
}

// querier is what a pool, a connection and a transaction have in common.
type querier interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// addLine writes l on the time line.
func addLine(ctx context.Context, tx pgx.Tx, a Act, l line) error {
	if l.Detail == nil {
		l.Detail = map[string]any{}
	}
	if l.Rows == nil {
		l.Rows = &pgx.Batch{}
	}
	l.Rows.Queue(`
		INSERT INTO time_line (act, animal_id, cooler_id, what, detail, at, by_staff, device_id, device_at)
		VALUES ($1, $2, nullif($3, 0::smallint), $4, $5, $6, $7, $8, nullif($9, '0001-01-01Z'::timestamptz))`,
		a.ID, orNull(l.Animal), l.Cooler, l.What, l.Detail, a.At, orNull(a.Staff), orNull(a.Device), a.DeviceAt)
	if l.Why != "" && l.Animal != uuid.Nil {
		l.Rows.Queue(`INSERT INTO typed_reasons (act, animal_id, why) VALUES ($1, $2, $3)`, a.ID, l.Animal, l.Why)
	}
	queueForm(l.Rows, a)
	return tx.SendBatch(ctx, l.Rows).Close()
}

// orNull stores the zero id as NULL.
func orNull(id uuid.UUID) pgtype.UUID {
	return pgtype.UUID{Bytes: id, Valid: id != uuid.Nil}
}

// one collects the single row of a query; found is false where there is none.
func one[T any](ctx context.Context, q querier, sql string, args ...any) (row T, found bool, err error) {
	rows, err := q.Query(ctx, sql, args...)
	if err != nil {
		return row, false, translate(err)
	}
	row, err = pgx.CollectExactlyOneRow(rows, pgx.RowToStructByName[T])
	if errors.Is(err, pgx.ErrNoRows) {
		return row, false, nil
	}
	return row, err == nil, translate(err)
}

// queueOne asks for the single row of a query as part of a batch, so that several
// questions cost one trip; into stays as it is, and found false, where there is none.
func queueOne[T any](b *pgx.Batch, into *T, found *bool, sql string, args ...any) {
	b.Queue(sql, args...).Query(func(rows pgx.Rows) error {
		row, err := pgx.CollectExactlyOneRow(rows, pgx.RowToStructByName[T])
		if errors.Is(err, pgx.ErrNoRows) {
			return nil
		}
		*into, *found = row, err == nil
		return err
	})
}

// queueAll asks for every row of a query as part of a batch.
func queueAll[T any](b *pgx.Batch, into *[]T, sql string, args ...any) {
	b.Queue(sql, args...).Query(func(rows pgx.Rows) (err error) {
		*into, err = pgx.CollectRows(rows, pgx.RowToStructByName[T])
		return err
	})
}

// all collects every row of a query.
func all[T any](ctx context.Context, q querier, sql string, args ...any) ([]T, error) {
	rows, err := q.Query(ctx, sql, args...)
	if err != nil {
		return nil, translate(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[T])
	return list, translate(err)
}

// Clock asks the database for its time.
func (db *DB) Clock(ctx context.Context) (now time.Time, err error) {
	err = db.pool.QueryRow(ctx, `SELECT clock_timestamp()`).Scan(&now)
	return now, translate(err)
}

// ServerMajor asks the database for the first part of its version, such as 15.
func (db *DB) ServerMajor(ctx context.Context) (major int, err error) {
	err = db.pool.QueryRow(ctx, `SELECT current_setting('server_version_num')::int / 10000`).Scan(&major)
	return major, translate(err)
}
