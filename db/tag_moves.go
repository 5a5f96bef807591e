package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// TagMove is one step of an official tag.
type TagMove struct {
	Tag      string // its number
	Was, Now string
	Note     string
	Warden   string
	At       time.Time
	By       string
	Signer   string // of the statement about a lost tag
	Strokes  string
}

// TagMoves lists the steps of an animal's tags, the latest first.
func (db *DB) TagMoves(ctx context.Context, id uuid.UUID) ([]TagMove, error) {
	return all[TagMove](ctx, db.pool, `
		SELECT o.number AS tag, m.was, m.now, m.note, m.warden, m.at, s.initials AS by, m.signer, m.strokes
		FROM tag_moves m JOIN official_tags o ON o.id = m.tag_id JOIN staff s ON s.id = m.by_staff
		WHERE o.animal_id = $1 ORDER BY m.at DESC, m.id DESC LIMIT 100`, id)
}

// TagStep is where somebody takes a tag. A lost one needs a written statement and
// the call to the warden.
type TagStep struct {
	Number string // of the tag
	To     string
	Note   string
	Warden string
	Signed Signature // of whoever makes the statement about a lost tag
}

func (s TagStep) check() error {
	switch {
	case !tagCustody[s.To]:
		return domain.Wrong("to", "Choose where the tag is now.")
	case s.To == "lost" && tidy(s.Note) == "":
		return domain.Wrong("note", "Write down what happened: where it was last seen, by whom, where was looked.")
	case s.To == "lost" && tidy(s.Warden) == "":
		return domain.Wrong("warden", "Call the warden, and say whom you spoke to and when.")
	case s.To == "lost":
		_, err := s.Signed.check()
		return err
	}
	return nil
}

// may holds the step against what the rules want of the tag. One that is lost is written
// down whatever they say; here says that some part of the animal still is. One that left
// on the carcass, uncut, did not come off.
func (s TagStep) may(rules []statute.Rule, a Animal, was string, here bool) error {
	if s.To == "lost" {
		return nil
	}
	if was == "on-carcass" {
		cut := a.Physical == animal.OnTable || a.Physical.Cut() || !a.Physical.InHouse() || a.Form == domain.Quarters || a.Form == domain.Boned
		if err := statute.MayComeOff(rules, a.Species, a.Form, cut); err != nil {
			return err
		}
	}
	if s.To == "returned" {
		return statute.MayGoBack(rules, a.Species, a.Form, true, !here)
	}
	return nil
}

// isHere reports whether any part of the animal is here: the carcass until it is cut
// and packed, then a box, or what is kept or in a batch.
func isHere(ctx context.Context, q querier, a Animal) (bool, error) {
	switch a.Physical {
	case animal.Stored, animal.PartReleased, animal.Unclaimed:
	default:
		return a.Physical.InHouse(), nil
	}
	boxes, err := boxesAt(ctx, q, a.ID)
	if err != nil || len(stillHere(boxes)) > 0 {
		return true, err
	}
	return partsHere(ctx, q, a)
}

// partsHere reports whether anything of a cut animal is here that is in none of its boxes: a
// head, cape, hide, heart, antlers or tub, or meat in a batch. What its owner left here
// is no part of it; sides and quarters were cut up.
func partsHere(ctx context.Context, q querier, a Animal) (here bool, err error) {
	if err := q.QueryRow(ctx, `SELECT EXISTS (SELECT FROM pieces WHERE animal_id = $1 AND gone_at IS NULL AND kind NOT IN ('side', 'quarter'))`, a.ID).Scan(&here); err != nil || here {
		return here, err
	}
	batches, err := inBatches(ctx, q, a.ID)
	return len(batches) > 0, err
}

// MoveTag writes down where a tag went. A lost tag holds the animal until it is
// settled.
func (db *DB) MoveTag(ctx context.Context, act Act, number domain.ShopNumber, s TagStep) error {
	return db.act(ctx, act, "move tag", func(tx pgx.Tx) (line, error) {
		if err := s.check(); err != nil {
			return line{}, err
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		t, found, err := one[struct {
			ID      uuid.UUID
			Custody string
		}](ctx, tx, `SELECT id, custody FROM official_tags WHERE animal_id = $1 AND number = $2 ORDER BY read_at DESC LIMIT 1`, a.ID, s.Number)
		switch {
		case err != nil:
			return line{}, err
		case !found:
			return line{}, domain.Missing("No tag %s was read on %s.", s.Number, string(number))
		case t.Custody == s.To:
			return line{}, domain.Taken("The tag is written down there already. Open the page again.")
		}
		rules, err := rulesHere(ctx, tx)
		if err != nil {
			return line{}, err
		}
		here, err := isHere(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if err := s.may(rules, a, t.Custody, here); err != nil {
			return line{}, err
		}
		rows := &pgx.Batch{}
		rows.Queue(`UPDATE official_tags SET custody = $2 WHERE id = $1`, t.ID, s.To)
		rows.Queue(`INSERT INTO tag_moves (id, tag_id, was, now, note, warden, at, by_staff, signer, strokes) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			act.ID, t.ID, t.Custody, s.To, tidy(s.Note), tidy(s.Warden), act.At, act.Staff, tidy(s.Signed.Signer), s.Signed.Strokes)
		if err := holdForLostTag(ctx, tx, act, a, s); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "move-tag", Detail: map[string]any{"tag_is": s.To}, Rows: rows}, nil
	})
}

// holdForLostTag stops the animal of a lost tag, unless its tag is in question already.
func holdForLostTag(ctx context.Context, tx pgx.Tx, act Act, a Animal, s TagStep) error {
	if s.To != "lost" || !a.Physical.InHouse() {
		return setTracks(ctx, tx, a, a.Tracks())
	}
	standing, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	for _, h := range standing {
		if h.Kind == hold.Tag {
			return setTracks(ctx, tx, a, a.Tracks())
		}
	}
	if err := openHold(ctx, tx, act, a, hold.Tag, "the tag is lost: "+tidy(s.Note), time.Time{}); err != nil {
		return err
	}
	to, err := stopped(a.Tracks(), hold.Tag)
	if err != nil {
		return err
	}
	return setTracks(ctx, tx, a, to)
}

// takeTags moves every tag of the animal that is in one of the places from to
// another, and writes each step down.
func takeTags(ctx context.Context, tx pgx.Tx, act Act, animal uuid.UUID, from []string, to string) error {
	_, err := tx.Exec(ctx, `
		WITH before AS (SELECT id, custody FROM official_tags WHERE animal_id = $1 AND custody = ANY ($2)),
		moved AS (UPDATE official_tags o SET custody = $3 FROM before b WHERE o.id = b.id)
		INSERT INTO tag_moves (id, tag_id, was, now, at, by_staff) SELECT gen_random_uuid(), id, custody, $3, $4, $5 FROM before`,
		animal, from, to, act.At, act.Staff)
	return err
}
