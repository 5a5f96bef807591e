package db

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"time"

	"coldrail/domain"

	"github.com/jackc/pgx/v5"
)

// doneBefore asks whether an act was done, and what its form said then.
const doneBefore = `
	SELECT EXISTS (SELECT FROM time_line WHERE act = $1), f.salt, f.code
	FROM (SELECT) AS once LEFT JOIN sent_forms f ON f.act = $1`

// before is what was done under the id of an act.
type before struct {
	Done       bool
	Salt, Code []byte // nil: nobody knows what its form said
}

func (b *before) scan(row pgx.Row) error { return row.Scan(&b.Done, &b.Salt, &b.Code) }

// same reports whether the act was done. One that says something else than it did then
// is refused: somebody went back to a form that was sent, changed it and takes it for
// done. What a tablet kept it sends again by itself, and nobody changed it.
func (b before) same(a Act) (done bool, err error) {
	if b.Done && b.Code != nil && a.Said != nil && !a.Kept() && !bytes.Equal(b.Code, saltedForm(b.Salt, a.Said)) {
		return true, domain.Taken("This form was sent before with other words, and those count. Open the page again, look, and change it there.")
	}
	return b.Done, nil
}

func actDone(ctx context.Context, q querier, a Act) (bool, error) {
	var b before
	if err := b.scan(q.QueryRow(ctx, doneBefore, a.ID)); err != nil {
		return false, err
	}
	return b.same(a)
}

// queueForm writes down what the form of an act said.
func queueForm(rows *pgx.Batch, a Act) {
	if a.Said == nil {
		return
	}
	salt := make([]byte, 32)
	rand.Read(salt) // never fails: see crypto/rand
	rows.Queue(`INSERT INTO sent_forms (act, salt, code, at) VALUES ($1, $2, $3, $4)`, a.ID, salt, saltedForm(salt, a.Said), a.Arrival())
}

func saltedForm(salt, said []byte) []byte {
	sum := sha256.Sum256(append(bytes.Clone(salt), said...))
	return sum[:]
}

// formsKept is how long it is remembered what a form said.
const formsKept = 30 * 24 * time.Hour

// DropOldForms forgets what forms said a month ago.
func (db *DB) DropOldForms(ctx context.Context, now time.Time) error {
	return db.tx(ctx, "drop old forms", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `DELETE FROM sent_forms WHERE at < $1`, now.Add(-formsKept))
		return err
	})
}
