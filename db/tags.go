package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// OfficialTag is the state's tag, permit, seal or confirmation on an animal.
type OfficialTag struct {
	Kind    string // carcass-tag, permit, seal, confirmation or ear-tag; "" is the carcass tag
	Number  string
	State   string // who issued it
	Custody string // on-carcass, on-card, with-boxes, returned or lost; "" is on the carcass
	// RepeatWhy is why a number that was read on another animal before is taken
	// all the same. Only the lead or the owner may give it.
	RepeatWhy string
}

var (
	tagKinds   = map[string]bool{"carcass-tag": true, "permit": true, "seal": true, "confirmation": true, "ear-tag": true}
	tagCustody = map[string]bool{"on-carcass": true, "on-card": true, "with-boxes": true, "returned": true, "lost": true}
)

func (t OfficialTag) check() (OfficialTag, error) {
	t.Number, t.State, t.RepeatWhy = tidy(t.Number), tidy(t.State), tidy(t.RepeatWhy)
	if t.Kind == "" {
		t.Kind = "carcass-tag"
	}
	if t.Custody == "" {
		t.Custody = "on-carcass"
	}
	switch {
	case !tagKinds[t.Kind]:
		return t, domain.Wrong("tag_kind", "Choose what kind of tag it is.")
	case !tagCustody[t.Custody]:
		return t, domain.Wrong("tag_custody", "Choose where the tag is now.")
	case t.Number != "" && t.State == "":
		return t, domain.Wrong("tag_state", "Say which state issued the tag.")
	}
	return t, nil
}

// read notes the official tag as read on the animal. A number that was read on
// another animal before is refused with that animal, unless the lead or the
// owner says why it is right.
func (t OfficialTag) read(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) error {
	if t.Number == "" {
		return nil
	}
	earlier, again, err := t.seenBefore(ctx, tx, id)
	if err != nil {
		return err
	}
	if !again {
		earlier = tagSeen{}
	} else if err := t.mayRepeat(ctx, tx, act, earlier); err != nil {
		return err
	}
	batch := &pgx.Batch{}
	t.queue(batch, act, id, earlier)
	return tx.SendBatch(ctx, batch).Close()
}

// queue adds the tag's row to a batch; earlier is where it was read before, if
// it was.
func (t OfficialTag) queue(batch *pgx.Batch, act Act, id uuid.UUID, earlier tagSeen) {
	var repeatOf, repeatBy *uuid.UUID
	var why *string
	if earlier.ID != uuid.Nil {
		repeatOf, repeatBy, why = &earlier.ID, &act.Staff, &t.RepeatWhy
	}
	batch.Queue(`
		INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by, repeat_of, repeat_by, repeat_why)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		uuid.Must(uuid.NewV7()), id, t.Kind, t.Number, t.State, t.Custody, act.At, act.Staff, repeatOf, repeatBy, why)
}

type tagSeen struct {
	ID     uuid.UUID
	Number domain.ShopNumber
	ReadAt time.Time
}

func (t OfficialTag) seenBefore(ctx context.Context, q querier, id uuid.UUID) (tagSeen, bool, error) {
	return one[tagSeen](ctx, q, tagSeenBefore, t.Number, t.State, id)
}

const tagSeenBefore = `
	SELECT a.id, a.number, o.read_at FROM official_tags o JOIN animals a ON a.id = o.animal_id
	WHERE upper(o.number) = upper($1) AND o.state = $2 AND a.id <> $3 ORDER BY o.read_at LIMIT 1`

func (t OfficialTag) mayRepeat(ctx context.Context, q querier, act Act, earlier tagSeen) error {
	leads, err := leads(ctx, q, act.Staff)
	if err != nil {
		return err
	}
	return t.repeated(earlier, leads)
}

// repeated refuses a number read before, unless somebody who leads says why it
// is right all the same.
func (t OfficialTag) repeated(earlier tagSeen, leads bool) error {
	if t.RepeatWhy == "" {
		return &domain.Error{Kind: domain.Conflict, At: "tag", Msg: domain.Say(
			"Tag %s of %s was already read on %s, on %s. Compare both tags. If it is right all the same, the lead or the owner says why.",
			t.Number, t.State, string(earlier.Number), earlier.ReadAt)}
	}
	if !leads {
		return domain.Refuse("tag", "Only the lead or the owner takes a tag number for the second time. Hand the tablet over.")
	}
	return nil
}

// leads reports whether the person is a lead or an owner.
func leads(ctx context.Context, q querier, staff uuid.UUID) (yes bool, err error) {
	err = q.QueryRow(ctx, `SELECT roles && ARRAY['lead', 'owner'] FROM staff WHERE id = $1`, staff).Scan(&yes)
	return yes, err
}

// TagRow is an official tag as it stands beside an animal.
type TagRow struct {
	Kind      string
	Number    string
	State     string
	Custody   string
	ReadAt    time.Time
	RepeatOf  *domain.ShopNumber // the animal the number was read on before
	RepeatWhy string
}

// OfficialTags lists the tags read on an animal, the latest first.
func (db *DB) OfficialTags(ctx context.Context, id uuid.UUID) ([]TagRow, error) {
	return all[TagRow](ctx, db.pool, `
		SELECT o.kind, o.number, o.state, o.custody, o.read_at, e.number AS repeat_of, coalesce(o.repeat_why, '') AS repeat_why
		FROM official_tags o LEFT JOIN animals e ON e.id = o.repeat_of
		WHERE o.animal_id = $1 ORDER BY o.read_at DESC LIMIT 20`, id)
}

// legalAfter is where the paper stands once a tag was read (or livestock needs
// none) and so many fields of the register are still owed.
func legalAfter(from animal.Legal, tagRead bool, owed int) animal.Legal {
	if tagRead && owed == 0 && from == animal.Unchecked {
		if to, err := from.Do(animal.Verify); err == nil {
			return to
		}
	}
	return from
}
