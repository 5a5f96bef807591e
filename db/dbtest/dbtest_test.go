package dbtest

import (
	"fmt"
	"testing"

	"coldrail/db"

	"github.com/jackc/pgx/v5/pgxpool"
)

// Each test has a database of its own, with the schema and without a row.
func TestOwnDatabase(t *testing.T) {
	seen := make(chan string, 6)
	t.Run("six at once", func(t *testing.T) {
		for i := range cap(seen) {
			t.Run(fmt.Sprint(i), func(t *testing.T) {
				t.Parallel()
				d := Open(t)
				var name string
				var rows int
				if err := d.Pool().QueryRow(t.Context(), `
					SELECT current_database(), (SELECT count(*) FROM animals)`).Scan(&name, &rows); err != nil {
					t.Fatal(err)
				}
				if rows != 0 {
					t.Errorf("a new database holds %d animals, want 0", rows)
				}
				seen <- name
			})
		}
	})
	close(seen)
	names := map[string]bool{}
	for name := range seen {
		names[name] = true
	}
	if len(names) != cap(seen) {
		t.Errorf("%d tests got %d databases: %v", cap(seen), len(names), names)
	}
	var left int
	err := serverFor(t).admin.QueryRow(t.Context(), `SELECT count(*) FROM pg_database WHERE datname = ANY ($1)`, keys(names)).Scan(&left)
	if err != nil || left != 0 {
		t.Errorf("%d of the databases are still there (%v), want none", left, err)
	}
}

func keys(m map[string]bool) (names []string) {
	for name := range m {
		names = append(names, name)
	}
	return names
}

// A test works under the program's rights, and the owner's connection under more.
func TestRights(t *testing.T) {
	d := Open(t)
	owner := Owner(t, d)
	for _, tt := range []struct {
		who     string
		pool    *pgxpool.Pool
		allowed bool
	}{{"program", d.Pool(), false}, {"owner", owner, true}} {
		_, err := tt.pool.Exec(t.Context(), "CREATE TABLE scratch (id int)")
		if (err == nil) != tt.allowed {
			t.Errorf("%s makes a table: %v, want allowed = %v", tt.who, err, tt.allowed)
		}
	}
	var same bool
	if err := d.Pool().QueryRow(t.Context(), "SELECT to_regclass('scratch') IS NOT NULL").Scan(&same); err != nil || !same {
		t.Errorf("the owner's table does not show in the program's database (%v)", err)
	}
}

// A bare database has not even the schema.
func TestBare(t *testing.T) {
	pool, err := pgxpool.New(t.Context(), Bare(t))
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	var tables int
	err = pool.QueryRow(t.Context(), "SELECT count(*) FROM pg_tables WHERE schemaname = 'public'").Scan(&tables)
	if err != nil || tables != 0 {
		t.Errorf("a bare database has %d tables (%v), want none", tables, err)
	}
}

// BenchmarkDatabase is what a test pays: copy, connect, ask, close, drop.
func BenchmarkDatabase(b *testing.B) {
	s := serverFor(b)
	for b.Loop() {
		name, _, err := s.copyOf(b.Context(), migrated)
		if err != nil {
			b.Fatal(err)
		}
		d, err := db.Open(b.Context(), s.address(name))
		if err != nil {
			b.Fatal(err)
		}
		if err := d.Ping(b.Context()); err != nil {
			b.Fatal(err)
		}
		d.Close()
		if err := s.drop(b.Context(), name); err != nil {
			b.Fatal(err)
		}
	}
}
