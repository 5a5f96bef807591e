package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/message"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// MessageErrand is a message as it is about to go out, read at that moment.
type MessageErrand struct {
	Message
	Owned   Owned
	Verdict *ageing.Verdict // nil where it does not hang, or nothing can be said
	BoxedAt *time.Time      // the first box of it
	Gone    bool            // its reader owns the share it is about no longer
	Whole   bool            // it is about a share, and the orders are not parted into shares
	Asked   bool            // another message asked them to call in the last week
	Wording string
	Reach   message.Reach
	By      AlarmSettings // mail server and gateway
	Set     MessageSettings
	Shop    Shop
}

// Standing is how the animal stands.
func (e MessageErrand) Standing() message.Standing {
	return message.Standing{CallFirst: e.Owned.CallFirst, Stop: e.Verdict != nil && e.Verdict.Condition == ageing.Stop, Physical: e.Owned.Physical, Holds: e.Owned.Holds}
}

// Next is what becomes of the message now.
func (e MessageErrand) Next(now time.Time) message.Next {
	if e.Gone {
		return message.Next{Drop: domain.Say("The share is no longer theirs.")}
	}
	if e.Whole {
		return message.Next{Call: domain.Say("The order is not split into shares: nobody can say what is theirs.")}
	}
	return message.Waiting{Kind: e.Kind, Way: e.Way, Standing: e.Standing(), Reach: e.Reach, Quiet: e.Set.Quiet, Sending: e.Set.Sending,
		Urged: e.Urged, Tried: e.Tries > 0, CallsUs: e.CallUs, Asked: e.Asked}.At(now.In(e.Shop.Location()))
}

// MessageErrand reads what a message needs; wanted is false where it goes nowhere
// any more.
func (db *DB) MessageErrand(ctx context.Context, id uuid.UUID, now time.Time) (e MessageErrand, wanted bool, err error) {
	m, found, err := one[Message](ctx, db.pool, messageColumns+`WHERE m.id = $1`, id)
	if err != nil || !found || m.State != MessageQueued {
		return e, false, err
	}
	e, err = db.errandOf(ctx, m, now)
	return e, true, err
}

// MessagePreview is what a message of this kind would be about the animal now.
func (db *DB) MessagePreview(ctx context.Context, k message.Kind, number domain.ShopNumber, now time.Time) (MessageErrand, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return MessageErrand{}, err
	}
	m := Message{AnimalID: a.ID, Number: a.Number, Species: a.Species, Kind: k}
	owners, err := ownersOf(ctx, db.pool, a.ID)
	if err != nil {
		return MessageErrand{}, err
	}
	if len(owners) > 0 {
		m.PersonID, m.Name = owners[0].PersonID, owners[0].Name
	}
	return db.errandOf(ctx, m, now)
}

// askedLately is how long one "please call us" stands for the next.
const askedLately = 7 * 24 * time.Hour

func (db *DB) errandOf(ctx context.Context, m Message, now time.Time) (e MessageErrand, err error) {
	e.Message = m
	mark, _, err := db.MarkOf(ctx, m.AnimalID)
	if err != nil {
		return e, err
	}
	if e.Owned, err = db.Owned(ctx, m.AnimalID, mark); err != nil {
		return e, err
	}
	if err := db.ownPart(ctx, &e); err != nil {
		return e, err
	}
	if e.Owned, err = db.OwingNow(ctx, e.Owned, e.Portion, now); err != nil {
		return e, err
	}
	if e.Owned.Physical.OnRail() {
		if e.Verdict, _, err = db.VerdictOf(ctx, m.AnimalID, e.Owned.Revision, now); err != nil {
			return e, err
		}
	}
	if err := db.pool.QueryRow(ctx, `
		SELECT (SELECT min(placed_at) FROM boxes WHERE animal_id = $1 AND released_at IS NULL),
		       EXISTS (SELECT FROM messages WHERE animal_id = $1 AND person_id = $2 AND id <> $3 AND call_us AND state = 'sent' AND ended_at > $4)`,
		m.AnimalID, m.PersonID, m.ID, now.Add(-askedLately)).Scan(&e.BoxedAt, &e.Asked); err != nil {
		return e, translate(err)
	}
	if e.Wording, err = wordingOf(ctx, db.pool, m.Kind); err != nil {
		return e, err
	}
	to, _, err := one[Reached](ctx, db.pool, reachedFor(`''`)+`WHERE p.id = $1`, m.PersonID)
	if err != nil {
		return e, err
	}
	e.Reach = to.Reach
	if e.By, err = db.AlarmSettings(ctx); err != nil {
		return e, err
	}
	if e.Set, err = db.MessageSettings(ctx); err != nil {
		return e, err
	}
	e.Shop, err = db.Shop(ctx)
	return e, err
}

// TryMessage writes down, before it goes out, that the message is tried, in these
// words and to this address: what was said at the first try is said at each. ok is
// false where the animal or the message has changed since e was read; nothing may go
// out then.
func (db *DB) TryMessage(ctx context.Context, e MessageErrand, words, address string, callUs bool, now time.Time) (said string, ok bool, err error) {
	err = db.tx(ctx, "try message", func(tx pgx.Tx) error {
		if same, err := unchanged(ctx, tx, e.Owned.Animal); err != nil || !same {
			return err
		}
		err := tx.QueryRow(ctx, `
			UPDATE messages SET tries = tries + 1, tried_at = $3, urged = false, words = CASE WHEN words = '' THEN $4 ELSE words END, address = $5, call_us = $6
			WHERE id = $1 AND state = 'queued' AND tries = $2 RETURNING words`, e.ID, e.Tries, now, words, address, callUs).Scan(&said)
		if err == pgx.ErrNoRows {
			return nil
		}
		ok = err == nil
		return err
	})
	return said, ok, err
}

// unchanged reports whether the animal is at the revision it was read at, and keeps
// it there until tx ends.
func unchanged(ctx context.Context, tx pgx.Tx, a Animal) (same bool, err error) {
	err = tx.QueryRow(ctx, `SELECT revision = $2 FROM animals WHERE id = $1 FOR SHARE`, a.ID, a.Revision).Scan(&same)
	return same, err
}

// MessageGone writes down that the message went out, as an attempt to reach the
// owner. It is written whatever happened to the message meanwhile: it was sent.
func (db *DB) MessageGone(ctx context.Context, e MessageErrand, now time.Time) error {
	return db.messageEnds(ctx, e, "sent", now, func(tx pgx.Tx) (bool, error) {
		tag, err := tx.Exec(ctx, `UPDATE messages SET state = 'sent', wrong = '', ended_at = $2, ended_by = NULL WHERE id = $1 AND state <> 'sent'`, e.ID, now)
		return tag.RowsAffected() == 1, err
	})
}

// MessageFailed writes down what a try met. After the last one the owner is put on
// the call list.
func (db *DB) MessageFailed(ctx context.Context, e MessageErrand, wrong string, last bool, now time.Time) error {
	if !last {
		return db.tx(ctx, "message failed", func(tx pgx.Tx) error {
			_, err := tx.Exec(ctx, `UPDATE messages SET wrong = $2 WHERE id = $1`, e.ID, wrong)
			return err
		})
	}
	return db.messageEnds(ctx, e, "failed", now, func(tx pgx.Tx) (bool, error) {
		tag, err := tx.Exec(ctx, `
			UPDATE messages SET state = 'to-call', wrong = $2, why = 'It did not go through.' WHERE id = $1 AND state = 'queued'`, e.ID, wrong)
		return tag.RowsAffected() == 1, err
	})
}

// messageEnds writes how a message ended, the attempt among the animal's contacts
// and one line on its time line, once.
func (db *DB) messageEnds(ctx context.Context, e MessageErrand, outcome string, now time.Time, end func(tx pgx.Tx) (first bool, err error)) error {
	act := Act{ID: uuid.NewSHA1(e.ID, []byte(outcome)), At: now}
	return db.act(ctx, act, "message "+outcome, func(tx pgx.Tx) (line, error) {
		l := line{Animal: e.AnimalID, What: "message", Detail: map[string]any{"about": string(e.Kind), "way": string(e.Way), "outcome": outcome}}
		a, err := lockAnimal(ctx, tx, e.Number)
		if err != nil {
			return l, err
		}
		first, err := end(tx)
		if err != nil || !first {
			l.Detail["outcome"] = "noted before"
			return l, err
		}
		l.Rows = &pgx.Batch{}
		l.Rows.Queue(`
			INSERT INTO contacts (id, animal_id, way, outcome, note, at, by_staff)
			SELECT $1, animal_id, $2, $3, words, $4, queued_by FROM messages WHERE id = $5`, act.ID, e.Way, outcome, now, e.ID)
		return l, touch(ctx, tx, a.ID)
	})
}

// DropMessage lets a message go that is no longer true.
func (db *DB) DropMessage(ctx context.Context, e MessageErrand, why domain.Words, now time.Time) error {
	return db.tx(ctx, "drop message", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `UPDATE messages SET state = 'dropped', why = $2, ended_at = $3 WHERE id = $1 AND state = 'queued'`, e.ID, why.String(), now)
		return err
	})
}

// MessageToCallList has somebody call, for a message that may not or cannot be sent.
func (db *DB) MessageToCallList(ctx context.Context, e MessageErrand, why domain.Words) error {
	return db.tx(ctx, "message to call list", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `UPDATE messages SET state = 'to-call', why = $2 WHERE id = $1 AND state = 'queued'`, e.ID, why.String())
		return err
	})
}
