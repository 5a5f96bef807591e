package archive

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"

	"coldrail/domain"

	"filippo.io/age"
	"github.com/jackc/pgx/v5"
)

// Look reads the whole file and says what it is. A file that was cut short or
// changed is refused.
func Look(path string, keys ...age.Identity) (s Seal, err error) {
	sum := &counted{Hash: sha256.New()}
	line, err := read(path, sum, keys)
	if err != nil {
		return s, err
	}
	if s, err = readSeal(line); err != nil {
		return s, err
	}
	if s.Bytes != sum.n || s.SHA256 != hex.EncodeToString(sum.Sum(nil)) {
		return s, domain.Refuse("backup", "This backup is damaged: its content is not what was written. Take another file.")
	}
	return s, nil
}

// Restore brings the records of a copy into the empty database at address. It is
// one transaction: all of them are there afterwards, or none. A copy newer than
// schema, the newest this program knows, is refused.
func Restore(ctx context.Context, address, path string, schema int, keys ...age.Identity) (Seal, error) {
	s, err := Look(path, keys...)
	if err != nil {
		return s, err
	}
	if s.Schema > schema {
		return s, domain.Refuse("backup", "This backup has schema %d, newer than this program knows (%d). Restore it with the newer program.", s.Schema, schema)
	}
	major, _, empty, err := server(ctx, address)
	if err != nil {
		return s, err
	}
	if !empty {
		return s, domain.Refuse("backup", "This database is not empty. A backup is restored into an empty one only; give another COLDRAIL_DATA or DATABASE_URL.")
	}
	if err := makeRole(ctx, address); err != nil {
		return s, err
	}
	cmd, err := tool(ctx, "pg_restore", major, address, "--no-owner", "--single-transaction", "--exit-on-error")
	if err != nil {
		return s, err
	}
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	in, err := cmd.StdinPipe()
	if err != nil {
		return s, err
	}
	if err := cmd.Start(); err != nil {
		return s, err
	}
	// What is left after pg_restore has read all it wants is no trouble of ours.
	_, fed := read(path, &telling{Writer: in, ctx: ctx, all: s.Bytes}, keys)
	in.Close()
	if err := cmd.Wait(); err != nil {
		return s, errors.Join(said("pg_restore", complaint.String(), err), fed)
	}
	return s, nil
}

// makeRole makes the role the program works under: roles belong to the server,
// not to the database that was copied.
func makeRole(ctx context.Context, address string) error {
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return fmt.Errorf("the database does not answer: %w", err)
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, `
		DO $$
		BEGIN
		  CREATE ROLE coldrail_app NOLOGIN;
		EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
		END
		$$`)
	return err
}

// read opens the copy, decrypting it where it is encrypted, writes all but its
// last line to w and returns that line.
func read(path string, w io.Writer, keys []age.Identity) (line []byte, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, domain.Refuse("backup", "The file %s cannot be read. Is the drive plugged in, the name right?", path)
	}
	defer f.Close()
	in := bufio.NewReader(f)
	if head, _ := in.Peek(len(sealedHead)); string(head) != sealedHead {
		return split(in, w)
	}
	if len(keys) == 0 {
		return nil, domain.Refuse("backup", "This backup is encrypted. Give its key with --key FILE or its passphrase with --passphrase FILE.")
	}
	plain, err := age.Decrypt(in, keys...)
	if err != nil {
		return nil, domain.Refuse("backup", "That key or passphrase does not open this backup.")
	}
	line, err = split(plain, w)
	if err != nil && !errors.Is(err, errWriting) {
		return nil, domain.Refuse("backup", "This backup is damaged: its content is not what was written. Take another file.")
	}
	return line, err
}

// sealedHead begins every file of the age format.
const sealedHead = "age-encryption.org/v1\n"

var errWriting = errors.New("write")

// split writes all but the last line of r to w.
func split(r io.Reader, w io.Writer) (line []byte, err error) {
	buf, held := make([]byte, 64<<10+sealBytes), 0
	for {
		n, err := r.Read(buf[held:])
		held += n
		if held > sealBytes {
			if _, err := w.Write(buf[:held-sealBytes]); err != nil {
				return nil, errors.Join(errWriting, err)
			}
			copy(buf, buf[held-sealBytes:held])
			held = sealBytes
		}
		if errors.Is(err, io.EOF) {
			return buf[:held], nil
		}
		if err != nil {
			return nil, err
		}
	}
}
