package migrations_test

import (
	"errors"
	"io/fs"
	"os"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/migrations"

	"github.com/golang-migrate/migrate/v4"
	migratepgx "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
)

// A shop that began with the first version and took every step since, with rows
// in every table at each of them: no step fails on them, and none loses a row.
func TestUpgradeFromTheFirstWithDataInEveryTable(t *testing.T) {
	t.Parallel()
	ctx, url := t.Context(), dbtest.Bare(t)
	pool, err := pgxpool.New(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	source, err := iofs.New(migrations.FS, ".")
	if err != nil {
		t.Fatal(err)
	}
	driver, err := migratepgx.WithInstance(stdlib.OpenDBFromPool(pool), &migratepgx.Config{})
	if err != nil {
		t.Fatal(err)
	}
	m, err := migrate.NewWithInstance("iofs", source, "pgx5", driver)
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	before, steps, filled := map[string]int{}, 0, 0
	for ; ; steps++ {
		if err := m.Steps(1); errors.Is(err, fs.ErrNotExist) || errors.Is(err, os.ErrNotExist) {
			break
		} else if err != nil {
			t.Fatalf("step %d, with rows in every table: %v", steps+1, err)
		}
		after := rows(t, url)
		for table, n := range before {
			if left, stands := after[table]; stands && left < n {
				t.Errorf("step %d: %s has %d rows of %d", steps+1, table, left, n)
			}
		}
		filled += dbtest.Fill(t, url)
		before = rows(t, url)
	}
	upgraded(t, url) // what the program itself adds: the job queue's tables and the default protocols
	after := rows(t, url)
	for table, n := range before {
		if after[table] < n || n == 0 {
			t.Errorf("in the end %s has %d rows of %d", table, after[table], n)
		}
	}
	if s, err := db.SchemaOf(ctx, url); err != nil || s.Ready() != nil || steps < 24 || filled < 70 {
		t.Errorf("%d steps, %d tables filled, %+v, %v", steps, filled, s, err)
	}
}

// rows counts each table of the shop's.
func rows(t *testing.T, url string) map[string]int {
	t.Helper()
	conn, count := connect(t, url), map[string]int{}
	names, err := dbtest.Tables(t.Context(), conn)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		var n int
		if err := conn.QueryRow(t.Context(), `SELECT count(*) FROM "`+name+`"`).Scan(&n); err != nil {
			t.Fatal(err)
		}
		count[name] = n
	}
	return count
}
