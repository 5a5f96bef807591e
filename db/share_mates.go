package db

import (
	"context"

	"coldrail/domain"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// queueBuyer writes who bought a part of an animal. Whoever gave a phone becomes a
// person with a part of their own in it, the role share, so that they are told of it.
func queueBuyer(rows *pgx.Batch, act Act, animal uuid.UUID, correction *uuid.UUID, b cutting.Buyer) {
	into := `INSERT INTO shares (id, animal_id, portion, name, phone, sold_on, evidence, at, by_staff, correction_id, person_id) `
	share := []any{uuid.Must(uuid.NewV7()), animal, b.Portion, tidy(b.Name), tidy(b.Phone), b.SoldOn, tidy(b.Evidence), act.At, act.Staff, correction}
	if tidy(b.Phone) == "" {
		rows.Queue(into+`VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, NULL)`, share...)
		return
	}
	rows.Queue(`
		WITH known AS (`+knowPerson+`),
		     part AS (INSERT INTO animal_people (animal_id, person_id, role, since) SELECT $12::uuid, id, 'share', $7 FROM known ON CONFLICT DO NOTHING)
		`+into+`SELECT $11::uuid, $12, $13::text, $14::text, $15::text, $16::date, $17::text, $18::timestamptz, $19::uuid, $20::uuid, id FROM known`,
		append(Person{Name: tidy(b.Name), Phone: tidy(b.Phone)}.known(act.At), share...)...)
}

// checkPhones refuses what no owner of a share could be called at.
func checkPhones(shares []cutting.Buyer) error {
	for _, b := range shares {
		if n := len(digits(b.Phone)); tidy(b.Phone) != "" && (n < 7 || n > 15) {
			return domain.Wrong("shares", "%s is not a whole phone number. Ask for it again.", b.Phone)
		}
	}
	return nil
}

// matesOf lists the owners of shares, as the kill stands now, and how each is told.
func matesOf(ctx context.Context, q querier, animal uuid.UUID) ([]Reached, error) {
	return all[Reached](ctx, q, reachedFor(`sh.portion`)+`
		JOIN shares sh ON sh.person_id = p.id WHERE sh.animal_id = $1 AND sh.`+newestShares+` ORDER BY sh.portion LIMIT 10`, animal)
}

// toTell lists everybody who is told of an animal: each owner of a share of their own
// share, and the owners of the whole who have none.
func toTell(ctx context.Context, q querier, animal uuid.UUID) ([]Reached, error) {
	mates, err := matesOf(ctx, q, animal)
	if err != nil {
		return nil, err
	}
	owners, err := ownersOf(ctx, q, animal)
	told := map[uuid.UUID]bool{}
	for _, m := range mates {
		told[m.PersonID] = true
	}
	for _, o := range owners {
		if !told[o.PersonID] {
			mates = append(mates, o)
		}
	}
	return mates, err
}

// ownPart narrows a message to the share of its reader. It is gone where they own the
// share no longer, and it is the whole's where nobody ordered by shares.
func (db *DB) ownPart(ctx context.Context, e *MessageErrand) error {
	if e.Portion == cutting.WholeAnimal {
		return nil
	}
	var theirs bool
	if err := db.pool.QueryRow(ctx, `SELECT EXISTS (SELECT FROM shares WHERE animal_id = $1 AND portion = $2 AND person_id = $3 AND `+newestShares+`)`,
		e.AnimalID, e.Portion, e.PersonID).Scan(&theirs); err != nil {
		return translate(err)
	}
	own, there, err := db.OwnedShare(ctx, e.Owned, e.Portion)
	e.Owned, e.Gone, e.Whole = own, !theirs, !there
	return err
}

// nameBuyers names the owner of each portion whose order names nobody, as the kill has
// them.
func nameBuyers(ctx context.Context, q querier, id uuid.UUID, shares []Share) error {
	buyers, err := buyersOf(ctx, q, id)
	for _, b := range buyers {
		for i := range shares {
			if shares[i].Portion == b.Portion && shares[i].Whose == "" {
				shares[i].Whose = b.Name
			}
		}
	}
	return err
}
