package db

import (
	"context"
	"errors"
	"time"

	"coldrail/domain"
	"coldrail/domain/register"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// VerifyRegister walks the whole register from its first line and says which
// line is not as it was written, or nil. A personal value that was blanked in
// its time leaves the chain whole; one that was changed does not.
func (db *DB) VerifyRegister(ctx context.Context) error {
	_, err := db.walkRegister(ctx)
	return err
}

// walkRegister says how many lines it found whole before it ended.
func (db *DB) walkRegister(ctx context.Context) (whole int64, err error) {
	var last register.Sealed
	for {
		lines, err := all[RegisterLine](ctx, db.pool, `
			SELECT `+registerColumns+` FROM register r JOIN animals a ON a.id = r.animal_id
			WHERE r.seq > $1 ORDER BY r.seq LIMIT $2`, last.Seq, registerBatch)
		if err != nil || len(lines) == 0 {
			return whole, err
		}
		walked := make([]register.Sealed, len(lines))
		for i, l := range lines {
			walked[i] = l.sealed()
		}
		if _, err := register.VerifyAfter(last, walked); err != nil {
			return whole, err
		}
		if err := matchBeside(last, lines, walked); err != nil {
			return whole, err
		}
		whole, last = whole+int64(len(walked)), walked[len(walked)-1]
	}
}

// RegisterCheck is one walk of the whole register by the program itself.
type RegisterCheck struct {
	BeganAt time.Time
	EndedAt time.Time
	Lines   int64  // found whole
	Wrong   string // what is not as it was written; empty: nothing
}

// CheckRegister walks the register and keeps what it met. ended is asked once the
// walk is over. What is wrong with the register is no error here; it is the answer.
func (db *DB) CheckRegister(ctx context.Context, id uuid.UUID, began time.Time, ended func() time.Time) (RegisterCheck, error) {
	c := RegisterCheck{BeganAt: began}
	lines, err := db.walkRegister(ctx)
	var wrong *domain.Error
	if errors.As(err, &wrong) && wrong.Kind == domain.Refused {
		c.Wrong, err = wrong.Error(), nil
	}
	if err != nil {
		return c, err
	}
	c.Lines, c.EndedAt = lines, ended()
	if c.Wrong == "" {
		if c.Wrong, err = db.cutShort(ctx, lines); err != nil {
			return c, err
		}
	}
	return c, db.tx(ctx, "check register", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO register_checks (id, began_at, ended_at, lines, wrong) VALUES ($1, $2, $3, $4, $5) ON CONFLICT (id) DO NOTHING`,
			id, c.BeganAt, c.EndedAt, c.Lines, c.Wrong)
		return err
	})
}

// cutShort says that lines at the end are gone which an earlier walk found: the chain
// alone does not show that.
func (db *DB) cutShort(ctx context.Context, lines int64) (string, error) {
	most, found, err := one[RegisterCheck](ctx, db.pool, `
		SELECT began_at, ended_at, lines, wrong FROM register_checks WHERE lines > $1 ORDER BY began_at DESC LIMIT 1`, lines)
	if err != nil || !found {
		return "", err
	}
	return domain.Say("The register has %d lines; there were %d on %s. Lines at its end are gone.", lines, most.Lines, most.BeganAt.Format(time.DateOnly)).String(), nil
}

// LastRegisterCheck is the newest walk; found is false before the first.
func (db *DB) LastRegisterCheck(ctx context.Context) (c RegisterCheck, found bool, err error) {
	return one[RegisterCheck](ctx, db.pool, `SELECT began_at, ended_at, lines, wrong FROM register_checks ORDER BY began_at DESC LIMIT 1`)
}
