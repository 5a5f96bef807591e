package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/backup"

	"filippo.io/age"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BackupSettings say where the nightly copies of the records go.
type BackupSettings struct {
	Directory string // empty: none are made
	Hour      int    // of the shop's clock
	Recipient string // age public key they are encrypted for; empty: they are not
	OnSince   *time.Time
}

// To is whom the copies are encrypted for; nil where they are not.
func (s BackupSettings) To() (age.Recipient, error) {
	if s.Recipient == "" {
		return nil, nil
	}
	to, err := age.ParseX25519Recipient(s.Recipient)
	if err != nil {
		return nil, domain.Wrong("recipient", "That is no public key. It begins with age1; run: coldrail backup --new-key FILE")
	}
	return to, nil
}

// BackupSettings reads them.
func (db *DB) BackupSettings(ctx context.Context) (BackupSettings, error) {
	s, _, err := one[BackupSettings](ctx, db.pool, `SELECT directory, hour, recipient, on_since FROM backup_settings`)
	return s, err
}

// SetBackups turns the nightly copies on, elsewhere or off.
func (db *DB) SetBackups(ctx context.Context, act Act, s BackupSettings) error {
	if s.Hour < 0 || s.Hour > 23 {
		return domain.Wrong("hour", "The hour is a number from 0 to 23.")
	}
	if _, err := s.To(); err != nil {
		return err
	}
	return db.act(ctx, act, "set backups", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `
			UPDATE backup_settings SET hour = $2, recipient = $3, directory = $1,
			       on_since = CASE WHEN $1 = '' THEN NULL WHEN directory = $1 THEN on_since ELSE $4 END`, s.Directory, s.Hour, s.Recipient, act.At)
		return line{What: "set-backups", Detail: map[string]any{"directory": s.Directory, "hour": s.Hour, "encrypted": s.Recipient != ""}}, err
	})
}

// Backup is one nightly copy that was begun, and what became of it.
type Backup struct {
	ID      uuid.UUID
	File    string
	BeganAt time.Time
	EndedAt time.Time
	Bytes   int64
	Sealed  bool
	Thinned int    // old copies taken away after it
	Wrong   string // empty: it is whole
}

// BackupEnded writes down what became of a copy. Done twice it changes nothing
// the second time.
func (db *DB) BackupEnded(ctx context.Context, b Backup) error {
	return db.tx(ctx, "backup ended", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO backups (id, file, began_at, ended_at, bytes, sealed, thinned, wrong) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
			ON CONFLICT (id) DO NOTHING`, b.ID, b.File, b.BeganAt, b.EndedAt, b.Bytes, b.Sealed, b.Thinned, b.Wrong)
		return err
	})
}

// Backups lists the last copies, the newest first.
func (db *DB) Backups(ctx context.Context) ([]Backup, error) {
	return all[Backup](ctx, db.pool, `
		SELECT id, file, began_at, ended_at, bytes, sealed, thinned, wrong FROM backups ORDER BY began_at DESC LIMIT 30`)
}

// BackupsSoFar is what decides whether one is due or the last is too old.
type BackupsSoFar struct {
	backup.Past
	Wrong string // what the last one met, where it failed
}

// BackupsSoFar reads it.
func (db *DB) BackupsSoFar(ctx context.Context) (b BackupsSoFar, err error) {
	var on, good, tried *time.Time
	err = db.pool.QueryRow(ctx, `
		SELECT s.on_since, (SELECT max(ended_at) FROM backups WHERE wrong = ''), l.began_at, coalesce(l.wrong, '')
		FROM backup_settings s LEFT JOIN LATERAL (SELECT began_at, wrong FROM backups ORDER BY began_at DESC LIMIT 1) l ON true`).
		Scan(&on, &good, &tried, &b.Wrong)
	for _, t := range []struct {
		into *time.Time
		from *time.Time
	}{{&b.OnSince, on}, {&b.Good, good}, {&b.Tried, tried}} {
		if t.from != nil {
			*t.into = *t.from
		}
	}
	return b, translate(err)
}
