package dbtest

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"coldrail/db"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// kept is how many templates of a kind stay on the server: one for each working
// copy that is being tested, with room for some edits. One takes about 14 MB.
const kept = 8

// mould is a kind of database that tests get copies of. A template of it is made
// once for all test binaries and carries what fill has to say about it as its comment.
type mould struct {
	kind string
	from *mould // its copy is what fill starts from; nil: a database with nothing in it
	fill func(ctx context.Context, address string) (note string, err error)
}

// migrated has the schema and no row.
var migrated = &mould{kind: "migrated", fill: func(ctx context.Context, address string) (string, error) {
	return "", db.Migrate(ctx, address)
}}

// template is one that stands on the server.
type template struct{ name, note string }

// copyOf makes a database from the mould's template, making that first if needed.
func (s *server) copyOf(ctx context.Context, m *mould) (name string, made template, err error) {
	name = s.freshName()
	for range 3 { // another binary may drop an old template between two statements
		if made, err = s.template(ctx, m); err != nil {
			return "", made, err
		}
		err = s.copyInto(ctx, name, made.name)
		if e, ok := errors.AsType[*pgconn.PgError](err); ok && e.Code == "3D000" {
			s.forget(m, made)
			continue
		}
		return name, made, err
	}
	return "", made, errors.New("the template database keeps vanishing")
}

func (s *server) copyInto(ctx context.Context, name, template string) error {
	sql := "CREATE DATABASE " + name + " TEMPLATE " + template
	if s.version >= 150000 {
		sql += " STRATEGY file_copy" // 12 ms against 17 in memory; the only way before version 15
	}
	_, err := s.admin.Exec(ctx, sql)
	return err
}

func (s *server) forget(m *mould, vanished template) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.templates[m.kind] == vanished {
		delete(s.templates, m.kind)
	}
}

// template is the one of this mould. It is built under a lock, beside its name,
// and renamed when whole, so test binaries neither race nor see half of it.
func (s *server) template(ctx context.Context, m *mould) (made template, err error) {
	if m.from != nil { // before the lock, which is one for all moulds
		if _, err := s.template(ctx, m.from); err != nil {
			return made, err
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if made, ok := s.templates[m.kind]; ok {
		return made, nil
	}
	hash, err := templateHash()
	if err != nil {
		return made, err
	}
	made.name = m.kind + "_" + hash
	conn, err := s.admin.Acquire(ctx)
	if err != nil {
		return made, err
	}
	defer conn.Release()
	if _, err := conn.Exec(ctx, "SELECT pg_advisory_lock(hashtext('coldrail template'))"); err != nil {
		return made, err
	}
	defer conn.Exec(context.WithoutCancel(ctx), "SELECT pg_advisory_unlock(hashtext('coldrail template'))")
	err = conn.QueryRow(ctx, "SELECT coalesce(shobj_description(oid, 'pg_database'), '') FROM pg_database WHERE datname = $1", made.name).Scan(&made.note)
	if errors.Is(err, pgx.ErrNoRows) {
		made.note, err = s.build(ctx, conn, m, made.name)
	}
	if err != nil {
		return made, fmt.Errorf("build the template %s: %w", made.name, err)
	}
	s.templates[m.kind] = made
	return made, nil
}

func (s *server) build(ctx context.Context, conn *pgxpool.Conn, m *mould, name string) (note string, err error) {
	const growing = "template_growing"
	if err := s.drop(ctx, growing); err != nil {
		return "", err
	}
	if m.from != nil {
		err = s.copyInto(ctx, growing, s.templates[m.from.kind].name)
	} else {
		_, err = conn.Exec(ctx, "CREATE DATABASE "+growing)
	}
	if err != nil {
		return "", err
	}
	if note, err = m.fill(ctx, s.address(growing)); err != nil {
		return "", err
	}
	// No more connections: a copy cannot be made while anybody is connected.
	for _, sql := range []string{
		"COMMENT ON DATABASE " + growing + " IS '" + strings.ReplaceAll(note, "'", "''") + "'",
		"ALTER DATABASE " + growing + " ALLOW_CONNECTIONS false",
		"ALTER DATABASE " + growing + " RENAME TO " + name,
	} {
		if _, err := conn.Exec(ctx, sql); err != nil {
			return "", err
		}
	}
	return note, s.dropOld(ctx, conn, m.kind)
}

func (s *server) dropOld(ctx context.Context, conn *pgxpool.Conn, kind string) error {
	rows, err := conn.Query(ctx, `SELECT datname::text FROM pg_database WHERE starts_with(datname, $1) ORDER BY oid DESC OFFSET $2`, kind+"_", kept)
	if err != nil {
		return err
	}
	old, err := pgx.CollectRows(rows, pgx.RowTo[string])
	for _, name := range old {
		err = errors.Join(err, s.drop(ctx, name))
	}
	return err
}

// templateHash is the hash of all that decides what db.Migrate makes: the
// SQL, the code that runs it, and the versions of the libraries with tables.
func templateHash() (string, error) {
	root, err := moduleRoot()
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	for _, part := range []string{"go.sum", "migrations", "db", "domain"} {
		err := filepath.WalkDir(filepath.Join(root, part), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") {
				return err
			}
			f, err := os.Open(path)
			if err != nil {
				return err
			}
			defer f.Close()
			fmt.Fprintln(sum, d.Name())
			_, err = io.Copy(sum, f)
			return err
		})
		if err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:8]), nil
}

// moduleRoot is the nearest folder above with go.mod: tests run in their package's folder.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for ; ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		if dir == filepath.Dir(dir) {
			return "", errors.New("no go.mod above the test's folder")
		}
	}
}
