package db

import (
	"context"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Reweighed is a hanging weight that was typed wrong, as it should have been.
type Reweighed struct {
	Mark        string // L or R where it hangs in two sides; else empty
	Gross, Tare domain.Kilogram
	Confirmed   bool // a person has said that an odd weight is right
	Why         string
}

// Reweigh puts a hanging weight right. The weighing that was wrong stays where it is;
// the new one says why. Once the bill is made the weight stands in it and stays: the
// bill is put right by a line of its own.
func (db *DB) Reweigh(ctx context.Context, act Act, number domain.ShopNumber, w Reweighed) error {
	return db.act(ctx, act, "put weight right", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		why := tidy(w.Why)
		switch {
		case a.HangingKg == nil:
			err = domain.Refuse("weight", "It was not weighed yet. Weigh it at skinning.")
		case Account{Animal: a}.IsBilled():
			err = domain.Refuse("weight", "The bill stands on this weight. Put the bill right under Money, with a line and its reason.")
		case why == "":
			err = domain.Wrong("why", "Say what was wrong, such as: typed 18 for 81.")
		}
		if err != nil {
			return line{}, err
		}
		side, others, err := sideWeighed(ctx, tx, a, w.Mark)
		if err != nil {
			return line{}, err
		}
		net, err := Weighing{Gross: w.Gross, Tare: w.Tare, Confirmed: w.Confirmed}.check(a, act.At)
		if err != nil {
			return line{}, err
		}
		was := *a.HangingKg - others
		if side != uuid.Nil {
			if _, err = tx.Exec(ctx, `UPDATE pieces SET kg = $2 WHERE id = $1`, side, net); err != nil {
				return line{}, err
			}
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		if _, err = tx.Exec(ctx, `UPDATE animals SET hanging_kg = $2 WHERE id = $1`, a.ID, net+others); err != nil {
			return line{}, err
		}
		err = weighIn(ctx, tx, act, a.ID, side, "put-right", w.Gross, w.Tare, readFrom{})
		return line{Animal: a.ID, What: "put-weight-right", Detail: map[string]any{"kg": float64(net), "was": float64(was)}, Why: why}, err
	})
}

// sideWeighed returns the side of a mark and what the other sides weigh; of a whole
// carcass neither.
func sideWeighed(ctx context.Context, tx pgx.Tx, a Animal, mark string) (side uuid.UUID, others domain.Kilogram, err error) {
	sides, err := all[struct {
		ID   uuid.UUID
		Mark string
		Kg   domain.Kilogram
	}](ctx, tx, `SELECT id, mark, coalesce(kg, 0) AS kg FROM pieces WHERE animal_id = $1 AND kind = 'side' ORDER BY mark LIMIT 9`, a.ID)
	if err != nil || len(sides) == 0 && mark == "" {
		return uuid.Nil, 0, err
	}
	for _, s := range sides {
		if s.Mark == mark {
			side = s.ID
			continue
		}
		others += s.Kg
	}
	if side == uuid.Nil {
		err = domain.Wrong("side", "Say which side was weighed wrong.")
	}
	return side, others, err
}

// ReopenNotice takes back that a notice was told: it was ticked off by a slip. What was
// written stays, marked as wrong with its reason, and the notice stands open again
// with its old deadline.
func (db *DB) ReopenNotice(ctx context.Context, act Act, id uuid.UUID, why string) error {
	return db.act(ctx, act, "reopen notice", func(tx pgx.Tx) (line, error) {
		if why = tidy(why); why == "" {
			return line{}, domain.Wrong("why", "Say why it was not told after all.")
		}
		tag, err := tx.Exec(ctx, `UPDATE notices SET wrong_at = $2, wrong_by = $3, wrong_why = $4 WHERE id = $1 AND sent_at IS NOT NULL AND wrong_at IS NULL`, id, act.At, act.Staff, why)
		if err != nil {
			return line{}, err
		}
		if tag.RowsAffected() == 0 {
			return line{}, domain.Taken("It is open already. Open the list again.")
		}
		animal, _, err := one[struct{ Animal *uuid.UUID }](ctx, tx, `
			INSERT INTO notices (id, animal_id, statute_id, raised_at, raised_by, due_at, person_id)
			SELECT $2, animal_id, statute_id, $3, $4, due_at, person_id FROM notices WHERE id = $1
			ON CONFLICT (animal_id, statute_id, coalesce(person_id, '00000000-0000-0000-0000-000000000000')) WHERE sent_at IS NULL DO UPDATE SET how = ''
			RETURNING animal_id AS animal`, id, uuid.Must(uuid.NewV7()), act.At, act.Staff)
		l := line{What: "reopen-notice", Why: why} // one about the shop keeps it in its row alone
		if animal.Animal != nil {
			l.Animal = *animal.Animal
		}
		return l, err
	})
}

// FetchBack takes back that a piece is gone: it was ticked off by a slip. What somebody
// signed for stays gone: that is no slip, and their name stays with it.
func (db *DB) FetchBack(ctx context.Context, act Act, number domain.ShopNumber, mark, why string) error {
	return db.act(ctx, act, "fetch back", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if why = tidy(why); why == "" {
			return line{}, domain.Wrong("why", "Say where it is and how it came to be ticked off.")
		}
		p, err := pieceMarked(ctx, tx, number, mark)
		switch {
		case err != nil:
		case p.GoneAt == nil:
			err = domain.Taken("It is here already. Open the page again.")
		case p.TakenBy != "":
			err = domain.Refuse("why", "Somebody signed for it, so it is gone. If it came back, number it anew as a piece.")
		case a.Physical == animal.Condemned || a.Physical == animal.Destroyed:
			err = domain.Refuse("why", "The animal was condemned. What came off it stays gone.")
		}
		if err != nil {
			return line{}, err
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE pieces SET gone_at = NULL, gone_to = '', gone_by = NULL WHERE animal_id = $1 AND mark = $2 AND gone_at IS NOT NULL AND taken_by = ''`, a.ID, mark)
		return line{Animal: a.ID, What: "fetch-back", Detail: map[string]any{"piece": string(number) + mark, "was": p.GoneTo}, Why: why}, err
	})
}
