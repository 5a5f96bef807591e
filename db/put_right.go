package db

import (
	"context"
	"slices"
	"strings"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

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
		return line{Animal: a.ID, What: "put-weight-right", Detail: map[string]any{"kg": round3(net), "was_kg": round3(was)}, Why: why}, err
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
		return line{Animal: a.ID, What: "fetch-back", Detail: map[string]any{"piece": cutting.PieceName(number, mark), "went": p.GoneTo}, Why: why}, err
	})
}

// CorrectSpine puts right what was written about the spine: other parts, weight or barrel,
// or, where out is false, that it is not out after all. What was written stays, marked as
// wrong. Once the barrel is hauled off its ticket counts; once the meat is cut nobody can
// say by a tap that the spine is still in it.
func (db *DB) CorrectSpine(ctx context.Context, act Act, number domain.ShopNumber, out bool, s Spine, why string) error {
	return db.act(ctx, act, "correct spine", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if why = tidy(why); why == "" {
			return line{}, domain.Wrong("why", "Say what was wrong, such as: the other barrel.")
		}
		if !out && a.Physical.Cut() {
			return line{}, domain.Refuse("spine", "Its meat is cut. If the spine is not out, hold the animal and ask your inspector.")
		}
		if out {
			if err := cutting.CheckSpine(s.Parts, s.Kg, s.Barrel, s.Denatured); err != nil {
				return line{}, err
			}
		}
		was, found, err := one[struct {
			Kg     domain.Kilogram
			Barrel string
		}](ctx, tx, `UPDATE srm_removals SET wrong_at = $2, wrong_by = $3 WHERE animal_id = $1 AND wrong_at IS NULL AND load_id IS NULL RETURNING kg, barrel`, a.ID, act.At, act.Staff)
		if err == nil && !found {
			err = domain.Taken("The barrel was hauled off, or nothing is written down. Open the page again.")
		}
		if err != nil {
			return line{}, err
		}
		detail := map[string]any{"was_kg": round3(was.Kg), "was in barrel": was.Barrel, "not out": !out}
		if out {
			detail["kg"], detail["barrel"] = round3(s.Kg), tidy(s.Barrel)
			if err := s.write(ctx, tx, act, a); err != nil {
				return line{}, err
			}
		}
		return line{Animal: a.ID, What: "correct-spine", Detail: detail, Why: why}, touch(ctx, tx, a.ID)
	})
}

// TakeStampOff takes back that quarters bear NOT FOR SALE: ticked by a slip. Until they
// are marked nothing of them leaves.
func (db *DB) TakeStampOff(ctx context.Context, act Act, number domain.ShopNumber, quarters []string, why string) error {
	return db.act(ctx, act, "take stamp off", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		why = tidy(why)
		switch {
		case len(quarters) == 0:
			err = domain.Wrong("unstamped", "Tick the quarters that are not stamped.")
		case why == "":
			err = domain.Wrong("why", "Say what was wrong, such as: the other carcass was meant.")
		case !a.Physical.InHouse():
			err = domain.Refuse("stamp", "It is %s. What it bore stays written down.", a.Physical.Words())
		}
		if err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `DELETE FROM stamps WHERE animal_id = $1 AND quarter = ANY ($2)`, a.ID, quarters)
		if err == nil && int(tag.RowsAffected()) != len(slices.Compact(slices.Sorted(slices.Values(quarters)))) {
			err = domain.Taken("One of them is not written down as stamped. Open the page again.")
		}
		if err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "stamp-off", Detail: map[string]any{"quarters": strings.Join(quarters, " ")}, Why: why}, touch(ctx, tx, a.ID)
	})
}

// ReopenBatch takes a batch one step back that was tapped on by a slip: finished, with no
// share given back yet, it is mixed again and weighed out anew; mixed, it is open again, so
// that a wrong animal or weight is taken out, and is mixed anew with its cure reckoned on
// what is in it. The lead's word about its cook is asked again then. From is how far it was
// as the writer read it: of two who take it back at once one does.
func (db *DB) ReopenBatch(ctx context.Context, act Act, number int, from BatchStatus, why string) error {
	return db.act(ctx, act, "reopen batch", func(tx pgx.Tx) (line, error) {
		if why = tidy(why); why == "" {
			return line{}, domain.Wrong("why", "Say what was wrong, such as: 34 typed as 43.")
		}
		if from != BatchMixed && from != BatchFinished {
			return line{}, domain.Refuse("batch", "Only a batch that is mixed or finished goes a step back.")
		}
		b, err := lockBatch(ctx, tx, number, from)
		if err != nil {
			return line{}, err
		}
		if b.Status == BatchFinished {
			err = unfinish(ctx, tx, b)
		} else {
			_, err = tx.Exec(ctx, `UPDATE batches SET status = 'open', accepted_by = NULL, accepted_why = '' WHERE id = $1`, b.ID)
		}
		if err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "reopen-batch", Detail: b.named("was", string(b.Status)), Why: why}
		return l, tell(ctx, tx, act, in, l)
	})
}

// unfinish takes back what a batch came to, unless a share of it is with its animal.
func unfinish(ctx context.Context, tx pgx.Tx, b Batch) error {
	var given bool
	if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM batch_shares WHERE batch_id = $1 AND given_at IS NOT NULL)`, b.ID).Scan(&given); err != nil {
		return err
	}
	if given {
		return domain.Refuse("batch", "A share of batch %d is with its animal already. What is wrong with a share is put right there.", b.Number)
	}
	rows := &pgx.Batch{}
	rows.Queue(`DELETE FROM batch_shares WHERE batch_id = $1`, b.ID)
	rows.Queue(`UPDATE batches SET status = 'mixed', finished_at = NULL, packs = NULL, packed_kg = NULL, odd_kg = NULL, odd_to = '' WHERE id = $1`, b.ID)
	return tx.SendBatch(ctx, rows).Close()
}
