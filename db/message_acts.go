package db

import (
	"context"
	"strings"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// messageAct does what a person decides about one message, its animal and then its
// row locked: the order in which the acts that cause a message lock them.
func (db *DB) messageAct(ctx context.Context, act Act, what string, id uuid.UUID, do func(tx pgx.Tx, m Message) (line, error)) error {
	return db.act(ctx, act, what, func(tx pgx.Tx) (line, error) {
		if _, err := tx.Exec(ctx, `SELECT FROM animals WHERE id = (SELECT animal_id FROM messages WHERE id = $1) FOR UPDATE`, id); err != nil {
			return line{}, err
		}
		m, found, err := one[Message](ctx, tx, messageColumns+`WHERE m.id = $1 FOR UPDATE OF m`, id)
		if err == nil && !found {
			err = domain.Missing("There is no such message.")
		}
		if err != nil {
			return line{}, err
		}
		l, err := do(tx, m)
		l.Animal = m.AnimalID
		return l, err
	})
}

// waits refuses what is no longer to be sent.
func (m Message) waits() error {
	switch m.State {
	case MessageQueued:
		return nil
	case MessageSent:
		return domain.Taken("It was sent already, %s.", *m.EndedAt)
	case MessageToCall:
		return domain.Taken("It is on the call list already.")
	}
	return domain.Taken("It is settled already. Look again.")
}

// SendMessageNow lets a message that waits go out at once, quiet hours or not: a
// person said so.
func (db *DB) SendMessageNow(ctx context.Context, act Act, id uuid.UUID) error {
	return db.messageAct(ctx, act, "send message now", id, func(tx pgx.Tx, m Message) (line, error) {
		if err := m.waits(); err != nil {
			return line{}, err
		}
		var job int64
		if err := tx.QueryRow(ctx, `UPDATE messages SET urged = true, due_at = $2 WHERE id = $1 RETURNING job`, id, act.At).Scan(&job); err != nil {
			return line{}, err
		}
		jobs, err := db.jobs()
		if err != nil {
			return line{}, err
		}
		_, err = jobs.JobRetryTx(ctx, tx, job)
		return line{What: "message-now", Detail: map[string]any{"about": string(m.Kind), "way": string(m.Way)}}, err
	})
}

// CallInstead takes a message out of the queue: somebody calls.
func (db *DB) CallInstead(ctx context.Context, act Act, id uuid.UUID) error {
	return db.messageAct(ctx, act, "call instead", id, func(tx pgx.Tx, m Message) (line, error) {
		if err := m.waits(); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `UPDATE messages SET state = 'to-call', why = 'Somebody decided to call.' WHERE id = $1`, id)
		return line{What: "call-instead", Detail: map[string]any{"about": string(m.Kind), "way": string(m.Way)}}, err
	})
}

// CalledAbout writes down a call to an owner who is on the call list. Spoken to, or
// word left, they are off it; a busy line or no answer counts as a try and they stay.
// Where the lead speaks first, only the lead's own word takes them off.
func (db *DB) CalledAbout(ctx context.Context, act Act, id uuid.UUID, outcome, note string) error {
	if !oneOf([]string{"spoke", "left word", "no answer", "busy"}, outcome) {
		return domain.Wrong("outcome", "Choose what came of it.")
	}
	return db.messageAct(ctx, act, "called about", id, func(tx pgx.Tx, m Message) (line, error) {
		if m.State != MessageToCall {
			return line{}, domain.Taken("%s was told already. Look again.", m.Name)
		}
		rows := &pgx.Batch{}
		rows.Queue(`INSERT INTO contacts (id, animal_id, way, outcome, note, at, by_staff) VALUES ($1, $2, 'call', $3, $4, $5, $6)`,
			act.ID, m.AnimalID, outcome, strings.TrimSpace(tidy(note)), act.At, act.Staff)
		told, err := heard(ctx, tx, act, m.AnimalID, m.CallFirst, outcome)
		if err != nil {
			return line{}, err
		}
		if told {
			rows.Queue(`UPDATE messages SET state = 'called', ended_at = $2, ended_by = $3 WHERE id = $1`, id, act.At, act.Staff)
		}
		return line{What: "call", Detail: map[string]any{"way": "call", "outcome": outcome, "about": string(m.Kind)}, Rows: rows}, touch(ctx, tx, m.AnimalID)
	})
}
