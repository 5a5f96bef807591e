package db

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"coldrail/domain"
	"coldrail/migrations"

	"github.com/golang-migrate/migrate/v4"
	migratepgx "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"
)

// Migrate brings the schema at url up to this program, then the job queue's own
// tables, then the default protocols. The role of url must own the tables. Two
// at once wait for each other.
func Migrate(ctx context.Context, url string) error {
	return withMigrator(ctx, url, func(m *migrate.Migrate, pool *pgxpool.Pool) error {
		if err := repair(ctx, m, pool); err != nil {
			return err
		}
		if err := m.Up(); err != nil && !errors.Is(err, migrate.ErrNoChange) {
			return fmt.Errorf("migrate: %w", err)
		}
		if err := migrateJobs(ctx, pool); err != nil {
			return err
		}
		return installProtocols(ctx, pool)
	})
}

// MigrateDown takes back the newest change of the schema, with whatever stands
// in the tables it made.
func MigrateDown(ctx context.Context, url string) error {
	return withMigrator(ctx, url, func(m *migrate.Migrate, pool *pgxpool.Pool) error {
		if err := repair(ctx, m, pool); err != nil {
			return err
		}
		if err := m.Steps(-1); err != nil {
			return fmt.Errorf("migrate down: %w", err)
		}
		return nil
	})
}

// Schema is how far a database is, and how far this program would take it.
type Schema struct {
	Version, Newest uint
	Unfinished      bool // a change was interrupted; the next Migrate mends it
}

// SchemaOf looks without changing anything.
func SchemaOf(ctx context.Context, url string) (s Schema, err error) {
	if s.Newest, err = NewestSchema(); err != nil {
		return s, err
	}
	err = withMigrator(ctx, url, func(m *migrate.Migrate, _ *pgxpool.Pool) error {
		v, dirty, err := m.Version()
		if errors.Is(err, migrate.ErrNilVersion) {
			return nil
		}
		s.Version, s.Unfinished = v, dirty
		return err
	})
	return s, err
}

// repair mends a schema whose last change was cut off. Each file runs as one
// transaction that ends by writing its number on the schema, so that number
// tells whether the interrupted file took effect.
func repair(ctx context.Context, m *migrate.Migrate, pool *pgxpool.Pool) error {
	v, dirty, err := m.Version()
	if errors.Is(err, migrate.ErrNilVersion) || err == nil && !dirty {
		return nil
	}
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	var mark string
	err = pool.QueryRow(ctx, `SELECT coalesce(obj_description('public'::regnamespace), '')`).Scan(&mark)
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	stands, err := strconv.Atoi(strings.TrimPrefix(mark, "coldrail "))
	if err != nil {
		stands = int(v) - 1 // the very first change: nothing written yet
	}
	if stands, err = numbered(stands); err != nil {
		return err
	}
	if stands == 0 {
		stands = -1 // golang-migrate's word for an empty schema
	}
	if err := m.Force(stands); err != nil {
		return fmt.Errorf("migrate: set version %d after an interrupted change: %w", stands, err)
	}
	return nil
}

// withMigrator opens a migrator on a pool of its own and closes both.
func withMigrator(ctx context.Context, url string, do func(*migrate.Migrate, *pgxpool.Pool) error) error {
	pool, err := pgxpool.New(ctx, url)
	if err != nil {
		return fmt.Errorf("the database address cannot be read: %w", err)
	}
	defer pool.Close()
	if err := pool.Ping(ctx); err != nil {
		return fmt.Errorf("the database does not answer: %w", err)
	}
	source, err := iofs.New(migrations.FS, ".")
	if err != nil {
		return err
	}
	driver, err := migratepgx.WithInstance(stdlib.OpenDBFromPool(pool), &migratepgx.Config{})
	if err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	m, err := migrate.NewWithInstance("iofs", source, "pgx5", driver)
	if err != nil {
		return err
	}
	defer m.Close()
	return do(m, pool)
}

// migrateJobs makes River's tables and lets the program work with them.
func migrateJobs(ctx context.Context, pool *pgxpool.Pool) error {
	m, err := rivermigrate.New(riverpgxv5.New(pool), nil)
	if err != nil {
		return fmt.Errorf("migrate jobs: %w", err)
	}
	done, err := m.Migrate(ctx, rivermigrate.DirectionUp, nil)
	if err != nil {
		return fmt.Errorf("migrate jobs: %w", err)
	}
	if len(done.Versions) == 0 {
		return nil
	}
	_, err = pool.Exec(ctx, `
		DO $$
		DECLARE t text;
		BEGIN
		  FOR t IN SELECT tablename FROM pg_tables WHERE schemaname = 'public' AND tablename LIKE 'river\_%' LOOP
		    EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON %I TO coldrail_app', t);
		  END LOOP;
		  GRANT USAGE ON ALL SEQUENCES IN SCHEMA public TO coldrail_app;
		END
		$$`)
	if err != nil {
		return fmt.Errorf("migrate jobs: %w", err)
	}
	return nil
}

// numbered is the highest number of a file up to n: a way back writes the number
// below its own, and not every number has a file.
func numbered(n int) (int, error) {
	files, err := migrations.FS.ReadDir(".")
	if err != nil {
		return 0, err
	}
	top := 0
	for _, f := range files {
		if v, err := strconv.Atoi(f.Name()[:6]); err == nil && v <= n {
			top = max(top, v)
		}
	}
	return top, nil
}

// NewestSchema is the number this program brings a database to: the highest among
// the migration files.
func NewestSchema() (uint, error) {
	files, err := migrations.FS.ReadDir(".")
	if err != nil {
		return 0, err
	}
	var top uint
	for _, f := range files {
		n, err := strconv.ParseUint(f.Name()[:6], 10, 32)
		if err != nil {
			return 0, fmt.Errorf("migration %s has no number: %w", f.Name(), err)
		}
		top = max(top, uint(n))
	}
	return top, nil
}

// Ready says in a sentence why the program cannot work on this schema, or nil.
func (s Schema) Ready() error {
	switch {
	case s.Unfinished:
		return domain.Refuse("schema", "The last change of the database was interrupted. Run: coldrail migrate up")
	case s.Version < s.Newest:
		return domain.Refuse("schema", "The database is at version %d, this program needs %d. Run: coldrail migrate up", int(s.Version), int(s.Newest))
	case s.Version > s.Newest:
		return domain.Refuse("schema", "The database is at version %d, newer than this program knows (%d). Start the newer program.", int(s.Version), int(s.Newest))
	}
	return nil
}
