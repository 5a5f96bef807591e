package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Contact is one call, text or letter about an animal.
type Contact struct {
	Way     string // call, text, mail (a letter), e-mail or in person
	Outcome string // spoke, left word, no answer, busy, sent or failed
	Note    string
	At      time.Time
	By      string // initials
}

// LogCall writes down that the owner was called, texted or written to, and what
// came of it. A busy line counts as a try (trade.md 8, 2). The one owner who stands
// on the call list about it is off it, once told; where the lead speaks first, by the
// lead.
func (db *DB) LogCall(ctx context.Context, act Act, number domain.ShopNumber, way, outcome, note string) error {
	switch way {
	case "call", "text", "mail", "in person":
	default:
		return domain.Wrong("way", "Choose how the owner was told.")
	}
	switch outcome {
	case "spoke", "left word", "no answer", "busy", "sent":
	default:
		return domain.Wrong("outcome", "Choose what came of it.")
	}
	return db.act(ctx, act, "call", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO contacts (id, animal_id, way, outcome, note, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			act.ID, a.ID, way, outcome, strings.TrimSpace(note), act.At, act.Staff); err != nil {
			return line{}, err
		}
		told, err := heard(ctx, tx, act, a.ID, a.CallFirst, outcome)
		if err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			UPDATE messages SET state = 'called', ended_at = $2, ended_by = $3
			WHERE animal_id = $1 AND state = 'to-call' AND $4
			  AND 1 = (SELECT count(DISTINCT person_id) FROM messages WHERE animal_id = $1 AND state = 'to-call')`, a.ID, act.At, act.Staff, told); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "call", Detail: map[string]any{"way": way, "outcome": outcome}}, touch(ctx, tx, a.ID)
	})
}

// heard reports whether the owner knows after such a call what there was to tell. Where
// the lead speaks first, they do once the lead has spoken to them, and from then on
// messages and the owner's page say more than "please call".
func heard(ctx context.Context, tx pgx.Tx, act Act, animal uuid.UUID, leadFirst bool, outcome string) (bool, error) {
	if !leadFirst || outcome != "spoke" {
		return !leadFirst && (outcome == "spoke" || outcome == "left word"), nil
	}
	lead, err := isLead(ctx, tx, act.Staff)
	if err != nil || !lead {
		return false, err
	}
	return true, callFirst(ctx, tx, animal, false)
}

// Contacts lists the last tries to reach the owner, the newest first.
func (db *DB) Contacts(ctx context.Context, number domain.ShopNumber) ([]Contact, error) {
	return all[Contact](ctx, db.pool, `
		SELECT c.way, c.outcome, c.note, c.at, s.initials AS by
		FROM contacts c JOIN animals a ON a.id = c.animal_id JOIN staff s ON s.id = c.by_staff
		WHERE a.number = $1 ORDER BY c.at DESC, c.id DESC LIMIT 30`, number)
}
