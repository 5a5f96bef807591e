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

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// kept is how many templates stay on the server: one for each working copy that
// is being tested, with room for some edits. One takes about 10 MB.
const kept = 8

// copyTemplate makes a database from the template, making that first if needed.
func (s *server) copyTemplate(ctx context.Context) (name string, err error) {
	name = s.freshName()
	for range 3 { // another binary may drop an old template between two statements
		template, err := s.migrated(ctx)
		if err != nil {
			return "", err
		}
		sql := "CREATE DATABASE " + name + " TEMPLATE " + template
		if s.version >= 150000 {
			sql += " STRATEGY file_copy" // 12 ms against 17 in memory; the only way before version 15
		}
		_, err = s.admin.Exec(ctx, sql)
		if e, ok := errors.AsType[*pgconn.PgError](err); ok && e.Code == "3D000" {
			s.forget(template)
			continue
		}
		return name, err
	}
	return "", errors.New("the template database keeps vanishing")
}

func (s *server) forget(template string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.template == template {
		s.template = ""
	}
}

// migrated returns the template's name. It is built under a lock, beside its
// name, and renamed when whole, so test binaries neither race nor see half of it.
func (s *server) migrated(ctx context.Context) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.template != "" {
		return s.template, nil
	}
	name, err := templateName()
	if err != nil {
		return "", err
	}
	conn, err := s.admin.Acquire(ctx)
	if err != nil {
		return "", err
	}
	defer conn.Release()
	if _, err := conn.Exec(ctx, "SELECT pg_advisory_lock(hashtext('coldrail template'))"); err != nil {
		return "", err
	}
	defer conn.Exec(context.WithoutCancel(ctx), "SELECT pg_advisory_unlock(hashtext('coldrail template'))")
	var there bool
	if err := conn.QueryRow(ctx, "SELECT EXISTS (SELECT FROM pg_database WHERE datname = $1)", name).Scan(&there); err != nil {
		return "", err
	}
	if !there {
		if err := s.build(ctx, conn, name); err != nil {
			return "", fmt.Errorf("migrate the template database: %w", err)
		}
	}
	s.template = name
	return name, nil
}

func (s *server) build(ctx context.Context, conn *pgxpool.Conn, name string) error {
	const growing = "template_growing"
	if err := s.drop(ctx, growing); err != nil {
		return err
	}
	if _, err := conn.Exec(ctx, "CREATE DATABASE "+growing); err != nil {
		return err
	}
	if err := db.Migrate(ctx, s.address(growing)); err != nil {
		return err
	}
	// No more connections: a copy cannot be made while anybody is connected.
	for _, sql := range []string{
		"ALTER DATABASE " + growing + " ALLOW_CONNECTIONS false",
		"ALTER DATABASE " + growing + " RENAME TO " + name,
	} {
		if _, err := conn.Exec(ctx, sql); err != nil {
			return err
		}
	}
	return s.dropOld(ctx, conn)
}

func (s *server) dropOld(ctx context.Context, conn *pgxpool.Conn) error {
	rows, err := conn.Query(ctx, `
		SELECT datname FROM pg_database WHERE datname LIKE 'template\_%' AND length(datname) = 25 ORDER BY oid DESC OFFSET $1`, kept)
	if err != nil {
		return err
	}
	defer rows.Close()
	var old []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			return err
		}
		old = append(old, name)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	for _, name := range old {
		if err := s.drop(ctx, name); err != nil {
			return err
		}
	}
	return nil
}

// templateName carries the hash of all that decides what db.Migrate makes: the
// SQL, the code that runs it, and the versions of the libraries with tables.
func templateName() (string, error) {
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
	return "template_" + hex.EncodeToString(sum.Sum(nil)[:8]), nil
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
