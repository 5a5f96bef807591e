package archive

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"coldrail/domain"

	"filippo.io/age"
)

// Write copies the database at address, whose user must own the tables, into a
// new file at path, readable by its owner alone. With to it is encrypted for
// whoever holds the key. A file is whole or not there: until the disk has it
// all, it is called path.part.
func Write(ctx context.Context, address, path string, to age.Recipient, now time.Time) (s Seal, err error) {
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return s, domain.Refuse("backup", "There is a file %s already. It was left as it is; give another name.", path)
	}
	part := path + ".part"
	f, err := os.OpenFile(part, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return s, fmt.Errorf("backup: %w", err)
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, f.Close(), os.Remove(part))
		}
	}()
	if s, err = fill(ctx, address, f, to, now); err != nil {
		return s, err
	}
	if err = f.Sync(); err != nil {
		return s, fmt.Errorf("backup: %w", err)
	}
	if err = os.Rename(part, path); err != nil {
		return s, fmt.Errorf("backup: %w", err)
	}
	return s, errors.Join(f.Close(), syncFolder(filepath.Dir(path)))
}

// fill writes the copy and its seal, encrypted where to is given.
func fill(ctx context.Context, address string, f io.Writer, to age.Recipient, now time.Time) (s Seal, err error) {
	out := nopCloser(f)
	if to != nil {
		if out, err = age.Encrypt(f, to); err != nil {
			return s, fmt.Errorf("encrypt the backup: %w", err)
		}
	}
	sum := &counted{Hash: sha256.New()}
	if s.Schema, err = dump(ctx, address, &telling{Writer: io.MultiWriter(out, sum), ctx: ctx}); err != nil {
		return s, err
	}
	s.Format, s.Made, s.Bytes, s.SHA256 = 1, now.UTC().Truncate(time.Second), sum.n, hex.EncodeToString(sum.Sum(nil))
	line, err := s.line()
	if err != nil {
		return s, err
	}
	if _, err := out.Write(line); err != nil {
		return s, fmt.Errorf("backup: %w", err)
	}
	return s, out.Close()
}

// dump runs pg_dump: one consistent moment of the records, while the shop works on.
func dump(ctx context.Context, address string, out io.Writer) (schema int, err error) {
	major, schema, empty, err := server(ctx, address)
	if err != nil {
		return 0, err
	}
	if empty || schema == 0 {
		return 0, domain.Refuse("backup", "There are no records in this database yet.")
	}
	cmd, err := tool(ctx, "pg_dump", major, address, "--format=custom")
	if err != nil {
		return 0, err
	}
	var complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = out, &complaint
	if err := cmd.Run(); err != nil {
		return 0, said("pg_dump", complaint.String(), err)
	}
	return schema, nil
}

// counted is a hash that knows how much it has seen.
type counted struct {
	hash.Hash
	n int64
}

// Write implements io.Writer.
func (c *counted) Write(p []byte) (int, error) {
	c.n += int64(len(p))
	return c.Hash.Write(p)
}

type plainFile struct{ io.Writer }

func (plainFile) Close() error { return nil }

func nopCloser(w io.Writer) io.WriteCloser { return plainFile{w} }

// syncFolder lets a new name survive a power cut.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return fmt.Errorf("backup: %w", err)
	}
	defer f.Close()
	return f.Sync()
}
