package db

import (
	"context"
	"regexp"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Signature is a name and the line a finger drew on the glass: moves and lines in a
// field of 600 by 200, as an SVG path has them. Without script it is the name alone.
type Signature struct {
	Signer  string
	Strokes string
}

// aPath is all that may stand in the strokes.
var aPath = regexp.MustCompile(`^(M[0-9]{1,4} [0-9]{1,4}( L[0-9]{1,4} [0-9]{1,4})* ?)*$`)

// check tidies the signature and refuses one without a name.
func (s Signature) check() (Signature, error) {
	s.Signer = tidy(s.Signer)
	switch {
	case s.Signer == "":
		return s, domain.Wrong("signer", "Write the name of whoever signs.")
	case len(s.Strokes) > 20000:
		return s, domain.Wrong("signer", "The signature is too long. Clear it and sign again.")
	case !aPath.MatchString(s.Strokes):
		return s, domain.Wrong("signer", "The signature came in damaged. Clear it and sign again.")
	}
	return s, nil
}

// CounterSigned is what somebody signed at the counter.
type CounterSigned struct {
	Words   []string
	Signer  string
	Strokes string
	At      time.Time
	By      string // initials of who stood by
}

// Sign keeps the sentences as they were shown and who signed them.
func (db *DB) Sign(ctx context.Context, act Act, number domain.ShopNumber, words []string, s Signature) error {
	s, err := s.check()
	if err != nil {
		return err
	}
	if len(words) == 0 {
		return domain.Wrong("signer", "There is nothing to sign.")
	}
	return db.act(ctx, act, "sign", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if a.Physical.Cut() {
			return line{}, domain.Refuse("signed", "It is cut already: what was agreed at drop-off cannot be signed now.")
		}
		before, found, err := one[CounterSigned](ctx, tx, signedOf+` AND g.words = $2 ORDER BY g.at DESC LIMIT 1`, a.ID, words)
		if err != nil {
			return line{}, err
		}
		if found {
			return line{}, domain.Taken("The same was signed already, %s, with %s.", before.At, before.By)
		}
		rows := &pgx.Batch{}
		queueSigned(rows, act, a.ID, words, s)
		return line{Animal: a.ID, What: "signed", Detail: map[string]any{"sentences": len(words)}, Rows: rows}, touch(ctx, tx, a.ID)
	})
}

func queueSigned(rows *pgx.Batch, act Act, id uuid.UUID, words []string, s Signature) {
	rows.Queue(`INSERT INTO signed (id, animal_id, words, signer, strokes, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		act.ID, id, words, s.Signer, s.Strokes, act.At, act.Staff)
}

const signedOf = `
	SELECT g.words, g.signer, g.strokes, g.at, s.initials AS by FROM signed g JOIN staff s ON s.id = g.by_staff WHERE g.animal_id = $1`

// SignedFor lists what was signed about an animal, the newest first.
func (db *DB) SignedFor(ctx context.Context, id uuid.UUID) ([]CounterSigned, error) {
	return all[CounterSigned](ctx, db.pool, signedOf+` ORDER BY g.at DESC LIMIT 20`, id)
}

// DoorGrades are the lines of the door check of an animal, as they are graded now.
func (db *DB) DoorGrades(ctx context.Context, id uuid.UUID) (map[animal.DoorLine]animal.Grade, error) {
	return doorGrades(ctx, db.pool, id)
}

// QuoteFor reckons what the bill will be, by the prices of the animal and the taxes of now.
func (db *DB) QuoteFor(ctx context.Context, id uuid.UUID, now time.Time) (Quote, error) {
	mark, found, err := db.MarkOf(ctx, id)
	if err != nil || !found {
		return Quote{}, err
	}
	o, err := db.Owned(ctx, id, mark)
	if err != nil {
		return Quote{}, err
	}
	rates, err := db.TaxesOn(ctx, now)
	return o.Quote(rates), err
}

// RepeatOrder writes the order the same owner had last time, as it was read back
// and agreed; after is the version the counter had before them.
func (db *DB) RepeatOrder(ctx context.Context, act Act, number domain.ShopNumber, after int) error {
	last, found, err := db.LastOrder(ctx, number)
	if err != nil {
		return err
	}
	if !found {
		return domain.Missing("There is no order of last time for %s.", string(number))
	}
	return db.TakeOrder(ctx, act, number, Written{Order: last.Order.Order, Source: "repeat", Note: last.Note, After: after})
}
