package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// NightFind is a carcass or a card found in the bay.
type NightFind struct {
	ID        uuid.UUID
	Kind      string // carcass or card
	Number    domain.ShopNumber
	Reads     string
	Phone     string
	Tag       string
	Species   domain.Species
	DeepC     *domain.Celsius
	Note      string
	CardID    *uuid.UUID         // carcass: its card
	AnimalID  *uuid.UUID         // carcass: taken in
	TakenInAs *domain.ShopNumber // the number it was taken in under
	FoundAt   time.Time
	FoundBy   string // initials: whose question it is
	Settled   string
	SettledAt *time.Time
	Photos    []uuid.UUID
}

// IsCard reports whether it is a card.
func (f NightFind) IsCard() bool { return f.Kind == "card" }

const nightColumns = `
	f.id, f.kind, f.number, f.reads, f.phone, f.tag, f.species, f.deep_c, f.note, f.card_id, f.animal_id, a.number AS taken_in_as,
	f.found_at, s.initials AS found_by, f.settled, f.settled_at, ARRAY(SELECT p.id FROM door_photos p WHERE p.find_id = f.id ORDER BY p.at) AS photos
	FROM night_finds f JOIN staff s ON s.id = f.found_by LEFT JOIN animals a ON a.id = f.animal_id`

// FoundInBay writes down a carcass or a card, pairs it at once with the other half
// of the same number, and keeps its picture. The moment is when it was found.
func (db *DB) FoundInBay(ctx context.Context, act Act, f animal.Find, picture []byte) error {
	f.Reads, f.Phone, f.Tag, f.Note = tidy(f.Reads), tidy(f.Phone), tidy(f.Tag), tidy(f.Note)
	if err := f.Check(); err != nil {
		return err
	}
	kind, other := "carcass", "card"
	if f.Card {
		kind, other = other, kind
	}
	return db.act(ctx, act, "found in bay", func(tx pgx.Tx) (line, error) {
		if err := lockBay(ctx, tx); err != nil {
			return line{}, err
		}
		if err := halfIsFree(ctx, tx, f, kind); err != nil {
			return line{}, err
		}
		rows := &pgx.Batch{}
		rows.Queue(`
			INSERT INTO night_finds (id, kind, number, reads, phone, tag, species, deep_c, note, found_at, found_by)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
			act.ID, kind, f.Number, f.Reads, f.Phone, f.Tag, f.Species, f.Deep, f.Note, act.At, act.Staff)
		rows.Queue(`
			UPDATE night_finds c SET card_id = k.id FROM night_finds k
			WHERE c.kind = 'carcass' AND k.kind = 'card' AND c.number = k.number AND c.number = $1 AND c.number <> '' AND c.card_id IS NULL
			  AND c.animal_id IS NULL AND k.settled_at IS NULL AND NOT EXISTS (SELECT FROM night_finds t WHERE t.card_id = k.id)`, f.Number)
		queueDoorPhoto(rows, act, doorPhoto{Find: act.ID, Jpeg: picture})
		return line{What: "found-in-bay", Detail: map[string]any{"kind": kind, "number": string(f.Number)}, Rows: rows}, nil
	})
}

// lockBay lets one person at a time pair and settle; looking goes on.
func lockBay(ctx context.Context, tx pgx.Tx) error {
	_, err := tx.Exec(ctx, `LOCK TABLE night_finds IN SHARE ROW EXCLUSIVE MODE`)
	return err
}

// halfIsFree refuses a half of a tag that is written down already.
func halfIsFree(ctx context.Context, q querier, f animal.Find, kind string) error {
	if f.Number == "" {
		return nil
	}
	before, found, err := one[NightFind](ctx, q, `SELECT `+nightColumns+` WHERE f.kind = $1 AND f.number = $2`, kind, f.Number)
	if err == nil && found {
		err = &domain.Error{Kind: domain.Conflict, At: "number", Msg: domain.Say(
			"That half of tag %s is written down already, by %s, %s. Read the number again.", string(f.Number), before.FoundBy, before.FoundAt)}
	}
	return err
}

// CountBay keeps the count of the morning, before anything was paired.
func (db *DB) CountBay(ctx context.Context, act Act, carcasses, cards int) error {
	if carcasses < 0 || carcasses > 500 || cards < 0 || cards > 500 {
		return domain.Wrong("carcasses", "Count again: from 0 to 500.")
	}
	return db.act(ctx, act, "count bay", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `INSERT INTO night_counts (id, carcasses, cards, at, by_staff) VALUES ($1, $2, $3, $4, $5)`,
			act.ID, carcasses, cards, act.At, act.Staff)
		return line{What: "count-bay", Detail: map[string]any{"carcasses": carcasses, "cards": cards}}, err
	})
}

// BayCount is the count of a morning.
type BayCount struct {
	Carcasses int
	Cards     int
	At        time.Time
	By        string
}

// LastBayCount is the newest count; the zero count where nobody counted.
func (db *DB) LastBayCount(ctx context.Context) (BayCount, error) {
	c, _, err := one[BayCount](ctx, db.pool, `
		SELECT c.carcasses, c.cards, c.at, s.initials AS by FROM night_counts c JOIN staff s ON s.id = c.by_staff ORDER BY c.at DESC LIMIT 1`)
	return c, err
}

// NightFinds lists what was found since a moment, and everything still open.
func (db *DB) NightFinds(ctx context.Context, since time.Time) ([]NightFind, error) {
	return all[NightFind](ctx, db.pool, `
		SELECT `+nightColumns+`
		WHERE f.found_at >= $1 OR f.settled_at IS NULL AND f.animal_id IS NULL
		   AND NOT EXISTS (SELECT FROM night_finds c WHERE c.card_id = f.id AND c.animal_id IS NOT NULL)
		ORDER BY f.found_at, f.id LIMIT 500`, since)
}

// OpenFinds are the halves without their other half: the questions of the morning.
func (db *DB) OpenFinds(ctx context.Context) ([]NightFind, error) {
	return all[NightFind](ctx, db.pool, `
		SELECT `+nightColumns+`
		WHERE f.settled_at IS NULL AND f.card_id IS NULL AND NOT EXISTS (SELECT FROM night_finds c WHERE c.card_id = f.id)
		ORDER BY f.found_at, f.id LIMIT 200`)
}

// NightFind reads one.
func (db *DB) NightFind(ctx context.Context, id uuid.UUID) (NightFind, error) {
	return nightFind(ctx, db.pool, id)
}

func nightFind(ctx context.Context, q querier, id uuid.UUID) (NightFind, error) {
	f, found, err := one[NightFind](ctx, q, `SELECT `+nightColumns+` WHERE f.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("That was not found in the bay.")
	}
	return f, err
}

// PairFinds says that a card belongs to a carcass, though the numbers do not say so.
func (db *DB) PairFinds(ctx context.Context, act Act, carcass, card uuid.UUID) error {
	return db.act(ctx, act, "pair finds", func(tx pgx.Tx) (line, error) {
		if err := lockBay(ctx, tx); err != nil {
			return line{}, err
		}
		f, err := nightFind(ctx, tx, carcass)
		if err != nil {
			return line{}, err
		}
		k, err := nightFind(ctx, tx, card)
		if err != nil {
			return line{}, err
		}
		var used bool
		if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM night_finds WHERE card_id = $1)`, card).Scan(&used); err != nil {
			return line{}, err
		}
		switch {
		case f.IsCard() || !k.IsCard():
			return line{}, domain.Wrong("card", "Choose one carcass and one card.")
		case f.CardID != nil || used || f.SettledAt != nil || k.SettledAt != nil:
			return line{}, domain.Taken("One of the two is paired or settled already. Look again.")
		}
		_, err = tx.Exec(ctx, `UPDATE night_finds SET card_id = $2 WHERE id = $1`, carcass, card)
		l := line{What: "pair-finds", Detail: map[string]any{"carcass": string(f.Number), "card": string(k.Number)}}
		if f.AnimalID != nil {
			l.Animal = *f.AnimalID
		}
		return l, err
	})
}

// SettleFind closes the question about a half without its other half: who was
// reached, and what came of it.
func (db *DB) SettleFind(ctx context.Context, act Act, id uuid.UUID, how string) error {
	how = tidy(how)
	if how == "" {
		return domain.Wrong("how", "Write down who was reached, and what came of it.")
	}
	return db.act(ctx, act, "settle find", func(tx pgx.Tx) (line, error) {
		if err := lockBay(ctx, tx); err != nil {
			return line{}, err
		}
		f, err := nightFind(ctx, tx, id)
		if err != nil {
			return line{}, err
		}
		if f.SettledAt != nil {
			return line{}, domain.Taken("That question was settled already, %s: %s.", *f.SettledAt, f.Settled)
		}
		if !f.IsCard() && f.AnimalID == nil {
			return line{}, domain.Refuse("bay", "Take the carcass in first: it hangs held until it is known whose it is.")
		}
		_, err = tx.Exec(ctx, `UPDATE night_finds SET settled = $2, settled_at = $3, settled_by = $4 WHERE id = $1`, id, how, act.At, act.Staff)
		l := line{What: "settle-find", Detail: map[string]any{"kind": f.Kind, "number": string(f.Number)}}
		if f.AnimalID != nil {
			l.Animal = *f.AnimalID
		}
		return l, err
	})
}

// TagHolder is somebody whom a state's tag number points to.
type TagHolder struct {
	Name  string
	Phone string
	From  string // tag, licence or card
}

// WhoseTag looks a state's tag number up in everything the shop knows: tags read
// before, licence numbers (many states print the licence on the tag), cards.
func (db *DB) WhoseTag(ctx context.Context, tag string) ([]TagHolder, error) {
	tag = tidy(tag)
	if tag == "" {
		return nil, nil
	}
	return all[TagHolder](ctx, db.pool, `
		SELECT DISTINCT name, phone, "from" FROM (
		  SELECT p.name, p.phone, 'tag' AS "from" FROM official_tags o JOIN animal_people ap ON ap.animal_id = o.animal_id AND ap.role IN ('taker', 'owner')
		  JOIN people p ON p.id = ap.person_id WHERE upper(o.number) = upper($1) AND p.name <> $2
		  UNION ALL SELECT p.name, p.phone, 'licence' FROM people p WHERE upper(p.licence) = upper($1)
		  UNION ALL SELECT f.reads, f.phone, 'card' FROM night_finds f WHERE f.kind = 'card' AND upper(f.tag) = upper($1) AND f.reads <> ''
		) x ORDER BY name LIMIT 10`, tag, NoName)
}
