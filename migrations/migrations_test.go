package migrations_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/migrations"

	"github.com/jackc/pgx/v5"
)

var name = regexp.MustCompile(`^(\d{6})_[a-z0-9_]+\.(up|down)\.sql$`)

// Numbers rise from 1, each with its way back, and each file ends by
// writing its number on the schema, which is how an interrupted change is mended.
func TestFilesAreNumberedPairs(t *testing.T) {
	files, err := migrations.FS.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 || len(files)%2 != 0 {
		t.Fatalf("%d files, want pairs", len(files))
	}
	n := 0
	for i, f := range files {
		parts := name.FindStringSubmatch(f.Name())
		if parts == nil {
			t.Fatalf("file %d is called %s", i+1, f.Name())
		}
		got, err := strconv.Atoi(parts[1])
		if err != nil || i == 0 && got != 1 || i%2 == 0 && got <= n || i%2 == 1 && got != n {
			t.Fatalf("file %d is called %s, after number %d", i+1, f.Name(), n)
		}
		n = got
		mark := n
		if parts[2] == "down" {
			mark--
		}
		text, err := migrations.FS.ReadFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("COMMENT ON SCHEMA public IS 'coldrail %d';", mark); !strings.HasSuffix(strings.TrimSpace(string(text)), want) {
			t.Errorf("%s does not end with: %s", f.Name(), want)
		}
	}
}

// Up, down to nothing and up again must end in the same schema.
func TestUpDownUp(t *testing.T) {
	t.Parallel()
	ctx, url := t.Context(), dbtest.Bare(t)
	upgraded(t, url)
	first := schema(t, url)
	s, err := db.SchemaOf(ctx, url)
	if err != nil || s.Ready() != nil || s.Version == 0 {
		t.Fatalf("after up: %+v, %v", s, err)
	}
	for s.Version > 0 {
		if err := db.MigrateDown(ctx, url); err != nil {
			t.Fatalf("down from %d: %v", s.Version, err)
		}
		if s, err = db.SchemaOf(ctx, url); err != nil {
			t.Fatal(err)
		}
	}
	if left := ours(schema(t, url)); len(left) > 0 {
		t.Errorf("all the way down, this is left:\n%s", strings.Join(left, "\n"))
	}
	upgraded(t, url)
	if second := schema(t, url); !slices.Equal(first, second) {
		t.Errorf("up again differs:\n%s\n---\n%s", strings.Join(first, "\n"), strings.Join(second, "\n"))
	}
}

// A change that was cut off, before or after it took effect, is mended by the
// next start.
func TestInterruptedChangeIsMended(t *testing.T) {
	t.Parallel()
	ctx, url := t.Context(), dbtest.Bare(t)
	upgraded(t, url)
	whole := schema(t, url)
	s, err := db.SchemaOf(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Run("the file ran, the note did not", func(t *testing.T) {
		exec(t, url, `UPDATE schema_migrations SET dirty = true`)
		upgraded(t, url)
	})
	t.Run("the note ran, the file did not", func(t *testing.T) {
		if err := db.MigrateDown(ctx, url); err != nil {
			t.Fatal(err)
		}
		exec(t, url, fmt.Sprintf(`UPDATE schema_migrations SET version = %d, dirty = true`, s.Version))
		if dirty, err := db.SchemaOf(ctx, url); err != nil || dirty.Ready() == nil {
			t.Fatalf("an interrupted change passes as ready: %+v, %v", dirty, err)
		}
		upgraded(t, url)
	})
	t.Run("nothing ran yet", func(t *testing.T) {
		bare := dbtest.Bare(t)
		exec(t, bare, `CREATE TABLE schema_migrations (version bigint NOT NULL PRIMARY KEY, dirty boolean NOT NULL)`)
		exec(t, bare, `INSERT INTO schema_migrations VALUES (1, true)`)
		upgraded(t, bare)
	})
	if got := schema(t, url); !slices.Equal(got, whole) {
		t.Error("the mended schema differs from the whole one")
	}
}

func upgraded(t *testing.T, url string) {
	t.Helper()
	if err := db.Migrate(t.Context(), url); err != nil {
		t.Fatal(err)
	}
}

func exec(t *testing.T, url, sql string) {
	t.Helper()
	conn := connect(t, url)
	if _, err := conn.Exec(t.Context(), sql); err != nil {
		t.Fatal(err)
	}
}

func connect(t *testing.T, url string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close(context.WithoutCancel(t.Context())) })
	return conn
}

// schema writes down every table, column, constraint, index, trigger, function
// and right of the schema, a line each.
func schema(t *testing.T, url string) []string {
	t.Helper()
	rows, err := connect(t, url).Query(t.Context(), `
		SELECT format('column %s.%s %s %s %s', table_name, column_name, data_type, is_nullable, column_default)
		FROM information_schema.columns WHERE table_schema = 'public'
		UNION ALL SELECT format('constraint %s %s %s', conrelid::regclass, conname, pg_get_constraintdef(oid))
		FROM pg_constraint WHERE connamespace = 'public'::regnamespace
		UNION ALL SELECT 'index ' || indexdef FROM pg_indexes WHERE schemaname = 'public'
		UNION ALL SELECT format('trigger %s on %s', tgname, tgrelid::regclass) FROM pg_trigger WHERE NOT tgisinternal
		UNION ALL SELECT 'function ' || oid::regprocedure FROM pg_proc WHERE pronamespace = 'public'::regnamespace
		UNION ALL SELECT format('right %s %s %s', table_name, grantee, privilege_type)
		FROM information_schema.role_table_grants WHERE table_schema = 'public' AND grantee = 'coldrail_app'
		ORDER BY 1`)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	return lines
}

// ours leaves out what the migration and job libraries made for themselves.
func ours(lines []string) []string {
	return slices.DeleteFunc(lines, func(l string) bool {
		return strings.Contains(l, "schema_migrations") || strings.Contains(l, "river_")
	})
}
