package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/db/archive"

	"filippo.io/age"
)

var backupCommand = command{
	use:  "FILE [--for age1... | --passphrase FILE] | --look FILE [...] | --new-key FILE",
	does: "Copy all records, pictures included, into one file.",
	help: `
The shop works on meanwhile. The file ends with a checksum; pg_restore reads it
too. Needs PostgreSQL's pg_dump (Debian: apt-get install postgresql-client).

--for          encrypts it for the holder of that age key
--passphrase   encrypts it with the first line of that file
--look         reads a backup to its end and says whether it is whole
--new-key      makes a key, writes it to a file and prints what --for needs; keep
               that file away from the shop: without it nobody can read the copies

Nightly backups by themselves are turned on at /office/backups.`,
	run: runBackup,
}

var restoreCommand = command{
	use:  "FILE [--key FILE | --passphrase FILE]",
	does: "Bring a backup's records into an empty database.",
	help: `
The file is read to its end before anything is written. A database that holds
anything is refused: give another COLDRAIL_DATA or DATABASE_URL. A backup of an
older program is brought up to date. Needs pg_restore (postgresql-client).`,
	run: runRestore,
}

// backupWords are what backup and restore were told.
type backupWords struct {
	file, to, passphrase, key, look, newKey string
}

func readBackupWords(name string, args []string) (w backupWords, err error) {
	set := flag.NewFlagSet(name, flag.ContinueOnError)
	set.SetOutput(io.Discard)
	if name == "backup" {
		set.StringVar(&w.to, "for", "", "")
		set.StringVar(&w.look, "look", "", "")
		set.StringVar(&w.newKey, "new-key", "", "")
	}
	set.StringVar(&w.key, "key", "", "")
	set.StringVar(&w.passphrase, "passphrase", "", "")
	for rest := args; len(rest) > 0; { // the file may stand before or behind
		if err := set.Parse(rest); err != nil {
			return w, usage("%s: %w", name, err)
		}
		if rest = set.Args(); len(rest) > 0 {
			if w.file != "" {
				return w, usage("%s needs one file, not %q as well", name, rest[0])
			}
			w.file, rest = rest[0], rest[1:]
		}
	}
	given := 0
	for _, f := range []string{w.file, w.look, w.newKey} {
		if f != "" {
			given++
		}
	}
	if given != 1 {
		return w, usage("%s needs the name of one file", name)
	}
	return w, nil
}

func runBackup(ctx context.Context, c call) error {
	w, err := readBackupWords("backup", c.args)
	if err != nil {
		return err
	}
	switch {
	case w.newKey != "":
		return newKey(c, w.newKey)
	case w.look != "":
		keys, err := w.keys()
		if err != nil {
			return err
		}
		s, err := archive.Look(w.look, keys...)
		if err == nil {
			fmt.Fprintf(c.out, "It is whole: made %s, schema %d, %s, SHA-256 %s.\n", s.Made.Local().Format(time.DateTime), s.Schema, size(s.Bytes), s.SHA256)
		}
		return err
	}
	to, err := w.recipient()
	if err != nil {
		return err
	}
	log := newLog(c.cfg, c.report)
	base, err := openDatabase(ctx, c.cfg, log)
	if err != nil {
		return err
	}
	defer base.close(log)
	watched, done := c.watching(ctx, bytesSaid("Backing up"))
	s, err := archive.Write(watched, base.ownerURL, w.file, to, time.Now())
	done()
	if err == nil {
		fmt.Fprintf(c.out, "Backed up to %s: schema %d, %s, SHA-256 %s.\n", w.file, s.Schema, size(s.Bytes), s.SHA256)
	}
	return err
}

func runRestore(ctx context.Context, c call) error {
	w, err := readBackupWords("restore", c.args)
	if err != nil {
		return err
	}
	keys, err := w.keys()
	if err != nil {
		return err
	}
	newest, err := db.NewestSchema()
	if err != nil {
		return err
	}
	log := newLog(c.cfg, c.report)
	base, err := openDatabase(ctx, c.cfg, log)
	if err != nil {
		return err
	}
	defer base.close(log)
	watched, done := c.watching(ctx, bytesSaid("Bringing the records back"))
	s, err := archive.Restore(watched, base.ownerURL, w.file, int(newest), keys...)
	done()
	if err != nil {
		return err
	}
	if err := db.Migrate(ctx, base.ownerURL); err != nil {
		return err
	}
	d, err := db.Open(ctx, base.url)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.VerifyRegister(ctx); err != nil {
		return fmt.Errorf("the records are back, but the register: %w", err)
	}
	fmt.Fprintf(c.out, "The records of %s are back; the register is whole.\n", s.Made.Local().Format(time.DateTime))
	return nil
}

// recipient is whom the copy is encrypted for; nil: nobody, it is plain.
func (w backupWords) recipient() (age.Recipient, error) {
	switch {
	case w.to != "" && w.passphrase != "":
		return nil, usage("give --for or --passphrase, not both")
	case w.to != "":
		return db.BackupSettings{Recipient: w.to}.To()
	case w.passphrase != "":
		words, err := firstLine(w.passphrase)
		if err != nil {
			return nil, err
		}
		return age.NewScryptRecipient(words)
	}
	return nil, nil
}

// keys open an encrypted copy.
func (w backupWords) keys() ([]age.Identity, error) {
	switch {
	case w.key != "" && w.passphrase != "":
		return nil, usage("give --key or --passphrase, not both")
	case w.key != "":
		f, err := os.Open(w.key)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		return age.ParseIdentities(f)
	case w.passphrase != "":
		words, err := firstLine(w.passphrase)
		if err != nil {
			return nil, err
		}
		id, err := age.NewScryptIdentity(words)
		return []age.Identity{id}, err
	}
	return nil, nil
}

func firstLine(file string) (string, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return "", err
	}
	first, _, _ := strings.Cut(string(text), "\n")
	if first = strings.TrimRight(first, "\r"); len(first) < 12 {
		return "", usage("the first line of %s is the passphrase; it needs 12 letters or more", filepath.Base(file))
	}
	return first, nil
}

// newKey makes a key for encrypted copies. A file that is there is left alone.
func newKey(c call, file string) error {
	id, err := age.GenerateX25519Identity()
	if err != nil {
		return err
	}
	f, err := os.OpenFile(file, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(f, "# Key to Coldrail's backups. Keep it away from the shop's machine.\n%s\n", id)
	if err = errors.Join(err, f.Close()); err == nil {
		fmt.Fprintf(c.out, "The key is in %s. Backups are encrypted for: %s\n", file, id.Recipient())
	}
	return err
}

// size writes a number of bytes as a person reads it.
func size(bytes int64) string {
	switch {
	case bytes >= 1e9:
		return fmt.Sprintf("%.1f GB", float64(bytes)/1e9)
	case bytes >= 1e6:
		return fmt.Sprintf("%.1f MB", float64(bytes)/1e6)
	}
	return fmt.Sprintf("%.1f kB", float64(bytes)/1e3)
}
