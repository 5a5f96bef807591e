package db

import (
	"context"
	"math"
	"slices"
	"strings"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Wrapped is one kind of pack that came off the table.
type Wrapped struct {
	Cut     string
	Count   int
	Net     domain.Kilogram // of all of them together; not asked where Reading says it
	Tare    domain.Kilogram // tub and paper, taken off already
	Portion cutting.Portion // of a shared animal: whose
	Reading uuid.UUID       // of a scale that sends its weights; zero: typed
}

// Pack notes packs of one cut with their weight together.
func (db *DB) Pack(ctx context.Context, act Act, number domain.ShopNumber, w Wrapped) error {
	return db.act(ctx, act, "pack", func(tx pgx.Tx) (line, error) {
		w.Cut = strings.TrimSpace(w.Cut)
		switch {
		case w.Cut == "":
			return line{}, domain.Wrong("cut", "Say which cut is in the packs.")
		case w.Count < 1 || w.Count > 500:
			return line{}, domain.Wrong("count", "Give the number of packs, 1 to 500.")
		}
		a, session, err := lockCut(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		read, err := weightRead(ctx, tx, act, w.Reading, &w.Net, w.Tare, "weight", "Give the weight of the packs together.")
		if err != nil {
			return line{}, err
		}
		if err := portionOf(ctx, tx, a.ID, w.Portion); err != nil {
			return line{}, err
		}
		if err := programmeTakes(ctx, tx, a, w.Cut); err != nil {
			return line{}, err
		}
		if err := fitsCarcass(ctx, tx, a, w.Net); err != nil {
			return line{}, err
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO packs (id, animal_id, session_id, cut, count, net_kg, wrapped_at, by_staff, portion, tare_kg, scale, read_at)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
			uuid.Must(uuid.NewV7()), a.ID, session, w.Cut, w.Count, w.Net, act.At, act.Staff, w.Portion, w.Tare, read.Scale, read.at())
		return line{Animal: a.ID, What: "pack", Detail: read.detail(map[string]any{"cut": w.Cut, "packs": w.Count, "kg": round3(w.Net)}, w.Tare)}, err
	})
}

// portionOf refuses packs that nobody's order covers: of a shared animal each
// pack has an owner.
func portionOf(ctx context.Context, tx pgx.Tx, id uuid.UUID, p cutting.Portion) error {
	var ordered bool
	err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM orders WHERE animal_id = $1 AND void_at IS NULL AND portion = $2)`, id, p).Scan(&ordered)
	if err == nil && !ordered {
		err = domain.Wrong("portion", "This animal is shared. Say whose packs these are.")
	}
	return err
}

// fitsCarcass refuses a weight that with all before it is more than one and a
// half times the hanging weight: fat and pork may be added to sausage, but not
// that much, so it is a slip of the finger or the wrong animal.
//
// Common practice, no source (trade.md 6.2: up to a fifth of fat added).
func fitsCarcass(ctx context.Context, tx pgx.Tx, a Animal, net domain.Kilogram) error {
	if a.HangingKg == nil {
		return nil
	}
	var before domain.Kilogram
	err := tx.QueryRow(ctx, `SELECT coalesce((SELECT sum(net_kg) FROM packs WHERE animal_id = $1), 0)`, a.ID).Scan(&before)
	if err == nil && before+net > 1.5**a.HangingKg {
		return domain.Wrong("weight", "That makes %s of packs from a carcass of %s. Read the scale and the tag again.", before+net, *a.HangingKg)
	}
	return err
}

// Trimmed is what was cut away.
type Trimmed struct {
	Kind    string          // bone, fat, shot, mould, dirt, dried or other
	Kg      domain.Kilogram // not asked where Reading says it
	Tare    domain.Kilogram // of the tub, taken off already
	Part    cutting.Part    // an edible part of the carcass that was thrown away, or empty
	Note    string          // where, and why
	Reading uuid.UUID       // of a scale that sends its weights; zero: typed
}

// TrimKinds lists the kinds of trim in the order a cutter says them.
var TrimKinds = []string{"bone", "fat", "shot", "mould", "dirt", "dried", "other"}

// check: what a state calls an edible part is thrown away only with a reason, and
// so is whatever has no name (trade.md 2.7).
func (t Trimmed) check(a Animal) error {
	switch {
	case !oneOf(TrimKinds, t.Kind):
		return domain.Wrong("kind", "Say what was cut away: bone, fat, shot, mold, dirt, dried or other.")
	case t.Part != "" && !cutting.SheetOf(a.Species).Has(t.Part):
		return domain.Wrong("part", "Choose a part of the animal.")
	case t.Part != "" && t.Note == "":
		return domain.Wrong("note", "The %s can be eaten: the law of most states wants a reason when it is thrown away. Write down why.", t.Part.Words())
	case t.Kind == "other" && t.Note == "":
		return domain.Wrong("note", "Write down what it was and why it was thrown away.")
	}
	return nil
}

// Trim notes what was cut away and why.
func (db *DB) Trim(ctx context.Context, act Act, number domain.ShopNumber, t Trimmed) error {
	return db.act(ctx, act, "trim", func(tx pgx.Tx) (line, error) {
		a, _, err := lockCut(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		t.Note = strings.TrimSpace(t.Note)
		if err := t.check(a); err != nil {
			return line{}, err
		}
		read, err := weightRead(ctx, tx, act, t.Reading, &t.Kg, t.Tare, "trim_weight", "Give the weight of what was cut away.")
		if err != nil {
			return line{}, err
		}
		if a.HangingKg != nil && t.Kg > *a.HangingKg {
			return line{}, domain.Wrong("trim_weight", "That is %s cut away from a carcass of %s. Read the scale again.", t.Kg, *a.HangingKg)
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO trim (id, animal_id, kind, kg, note, at, by_staff, part, tare_kg, scale, read_at) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
			uuid.Must(uuid.NewV7()), a.ID, t.Kind, t.Kg, t.Note, act.At, act.Staff, t.Part, t.Tare, read.Scale, read.at())
		detail := map[string]any{"kind": t.Kind, "kg": round3(t.Kg)}
		if t.Part != "" {
			detail["thrown away of"] = string(t.Part)
		}
		return line{Animal: a.ID, What: "trim", Detail: read.detail(detail, t.Tare)}, err
	})
}

// lockCut locks an animal that is on the table or cut up and not yet all in
// boxes, and finds the session its pieces belong to.
func lockCut(ctx context.Context, tx pgx.Tx, number domain.ShopNumber) (a Animal, session uuid.UUID, err error) {
	if a, err = lockAnimal(ctx, tx, number); err != nil {
		return a, session, err
	}
	if a.Physical != animal.OnTable && a.Physical != animal.InPieces {
		return a, session, domain.Refuse("table", "%s is not on the table: it is %s.", string(number), a.Physical.Words())
	}
	err = tx.QueryRow(ctx, `SELECT id FROM sessions_at_table WHERE animal_id = $1 ORDER BY started_at DESC LIMIT 1`, a.ID).Scan(&session)
	return a, session, err
}

// Finishing is what a cutter says when the knife is put down.
type Finishing struct {
	Labelled   bool // every pack and every tub has its label, the tag is with the card
	AllWeighed bool // bone, fat and everything thrown away was on the scale: the weights can be closed
}

// Finish ends the cutting: every pack and tub has a label, and the state's tag is
// off the carcass and with its card. Boxes follow. What a look stopped waits for the
// lead's decision.
func (db *DB) Finish(ctx context.Context, act Act, number domain.ShopNumber, f Finishing) error {
	return db.act(ctx, act, "finish", func(tx pgx.Tx) (line, error) {
		if !f.Labelled {
			return line{}, domain.Wrong("labelled", "Look first: every pack and every tub has its label, the tag is with the card. Then tick it.")
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := leadDecides(ctx, tx, act, number); err != nil {
			return line{}, err
		}
		if err := spineIsOut(ctx, tx, a); err != nil {
			return line{}, err
		}
		to, err := finished(a.Tracks())
		if err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		var packs int
		if err := tx.QueryRow(ctx, `SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1`, a.ID).Scan(&packs); err != nil {
			return line{}, err
		}
		if packs == 0 {
			return line{}, domain.Refuse("packs", "There are no packs of %s yet. Enter what came off the table first.", string(number))
		}
		if err := takeTags(ctx, tx, act, a.ID, []string{"on-carcass"}, "on-card"); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `UPDATE sessions_at_table SET all_weighed = $2 WHERE animal_id = $1 AND stopped_at IS NULL`, a.ID, f.AllWeighed); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "finish", Detail: map[string]any{"packs": packs, "all weighed": f.AllWeighed}}, endSession(ctx, tx, act, a.ID)
	})
}

// finished moves what the end of cutting moves: the carcass is in pieces, its
// order done, and its tag, which nothing carries any more, with the card.
func finished(t animal.Tracks) (to animal.Tracks, err error) {
	to = t
	if to.Physical, err = t.Physical.Do(animal.Split); err != nil {
		return t, err
	}
	if to.Order, err = t.Order.Do(animal.FinishOrder); err != nil {
		return t, err
	}
	if t.Legal == animal.Verified {
		to.Legal, err = t.Legal.Do(animal.TakeTag)
	}
	return to, err
}

// round3 keeps grams on the time line, and no more.
func round3(k domain.Kilogram) float64 { return math.Round(float64(k)*1000) / 1000 }

// oneOf reports whether word is in list.
func oneOf(list []string, word string) bool { return slices.Contains(list, word) }
