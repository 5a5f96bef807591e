package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// EnterKill writes down how livestock was owned and how old cattle were; entered once,
// put right by CorrectKill. The orders are held against it again: what was complete may
// have a gap now, and the other way round.
func (db *DB) EnterKill(ctx context.Context, act Act, number domain.ShopNumber, k cutting.Kill) error {
	if err := checkPhones(k.Shares); err != nil {
		return err
	}
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "enter kill", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		lines, err := killLines(ctx, tx, a.ID)
		if err == nil && len(lines) > 0 {
			err = domain.Taken("The kill was entered by %s, %s.", lines[0].By, lines[0].At)
		}
		if err != nil {
			return line{}, err
		}
		about, err := numbers.aboutKilled(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if err := k.Check(a.Species, a.KilledAt, about.Shares); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO kill_entries (animal_id, thirty_months, known_by, note, said_by, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			a.ID, k.ThirtyMonths, k.KnownBy, tidy(k.Note), tidy(k.SaidBy), act.At, act.Staff); err != nil {
			return line{}, err
		}
		about.Months = k.ThirtyMonths
		return line{Animal: a.ID, What: "kill", Detail: killDetail(k), Rows: buyerRows(act, a.ID, nil, k.Shares)}, heldAgain(ctx, tx, a, about)
	})
}

// buyerRows are the rows of who bought which part, as entered or as a line put it right.
func buyerRows(act Act, animal uuid.UUID, correction *uuid.UUID, shares []cutting.Buyer) *pgx.Batch {
	rows := &pgx.Batch{}
	for _, s := range shares {
		queueBuyer(rows, act, animal, correction, s)
	}
	return rows
}

// killDetail is what the time line says of a kill entry.
func killDetail(k cutting.Kill) map[string]any {
	detail := map[string]any{"owners": len(k.Shares)}
	switch k.ThirtyMonths {
	case "yes":
		detail["age"], detail["known_by"] = "older", k.KnownBy
	case "no":
		detail["age"], detail["known_by"] = "younger", k.KnownBy
	}
	return detail
}

// heldAgain holds the standing orders against what is known of the animal now, and
// says anew whether all is asked. What is on the table or cut already stays as it was.
func heldAgain(ctx context.Context, tx pgx.Tx, a Animal, about cutting.About) error {
	orders, err := ordersOf(ctx, tx, a.ID, `AND o.void_at IS NULL ORDER BY o.portion LIMIT 10`)
	if err != nil {
		return err
	}
	if len(orders) == 0 || a.OrderState != animal.Complete && a.OrderState != animal.Incomplete {
		return touch(ctx, tx, a.ID)
	}
	allIn, ordered, wanted := true, []cutting.Portion{}, []cutting.Order{}
	for _, o := range orders {
		complete := len(o.Gaps(about)) == 0
		if _, err := tx.Exec(ctx, `UPDATE orders SET complete = $2 WHERE id = $1`, o.ID, complete); err != nil {
			return err
		}
		allIn, ordered, wanted = allIn && complete, append(ordered, o.Portion), append(wanted, o.Order)
	}
	to, step := a.Tracks(), animal.NoteOrder
	if allIn && len(cutting.Conflicts(wanted)) == 0 && len(cutting.NotAsked(ordered)) == 0 {
		step = animal.TakeOrder
	}
	if to.Order, err = to.Order.Do(step); err != nil {
		return err
	}
	return setTracks(ctx, tx, a, to)
}

// Spine is what was taken out of an older animal, and where it is.
type Spine struct {
	Parts     []string
	Kg        domain.Kilogram
	Barrel    string
	Denatured string
	At        time.Time
	By        string
	Hauled    bool
}

// TakeOutSpine writes down that it is out of the carcass, and in which barrel.
func (db *DB) TakeOutSpine(ctx context.Context, act Act, number domain.ShopNumber, s Spine) error {
	return db.act(ctx, act, "take out spine", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := cutting.CheckSpine(s.Parts, s.Kg, s.Barrel, s.Denatured); err != nil {
			return line{}, err
		}
		if err := s.write(ctx, tx, act, a); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "take-out-spine", Detail: map[string]any{"kg": round3(s.Kg), "barrel": tidy(s.Barrel)}}, touch(ctx, tx, a.ID)
	})
}

// write adds the row of what was taken out; one counts at a time.
func (s Spine) write(ctx context.Context, tx pgx.Tx, act Act, a Animal) error {
	tag, err := tx.Exec(ctx, `
		INSERT INTO srm_removals (id, animal_id, parts, kg, barrel, denatured, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
		ON CONFLICT (animal_id) WHERE wrong_at IS NULL DO NOTHING`,
		act.ID, a.ID, s.Parts, s.Kg, tidy(s.Barrel), tidy(s.Denatured), act.At, act.Staff)
	if err == nil && tag.RowsAffected() == 0 {
		err = domain.Taken("It is written down already that it is out.")
	}
	return err
}

// spineIsOut refuses to end the work on cattle that are, or count as, 30 months and
// more before what must come out is out and in its barrel.
func spineIsOut(ctx context.Context, tx pgx.Tx, a Animal) error {
	age, err := ageOf(ctx, tx, a.ID)
	if err != nil || !age.Older() {
		return err
	}
	if age.Months == "" {
		return domain.Refuse("srm", "Its kill is not entered, so it counts as 30 months or older. Enter the kill first, with its age by teeth or papers.")
	}
	var out bool
	err = tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM srm_removals WHERE animal_id = $1 AND wrong_at IS NULL)`, a.ID).Scan(&out)
	if err == nil && !out {
		err = domain.Refuse("srm", "It was 30 months or older: write down first that its spine, cord and head are out, what they weigh and which barrel they are in, on the page of its kill.")
	}
	return err
}

// Killed is what is known of the kill of livestock.
type Killed struct {
	Entered  bool
	KillLine            // as it stands now
	Lines    []KillLine // as first entered, then each line that put it right
	Shares   []cutting.Buyer
	Spine    Spine
	SpineOut bool
	Stamps   []Stamped
	Marks    []statute.Rule // what the rules want its meat to bear
	Mates    []Mate         // the farmer first, then each owner
	Weighed  bool
	Told     bool // the farmer knows the hanging weight
}

// KilledOf reads the kill of one animal.
func (db *DB) KilledOf(ctx context.Context, a Animal) (k Killed, err error) {
	lines, err := killLines(ctx, db.pool, a.ID)
	if err != nil {
		return k, err
	}
	k = Killed{Lines: lines, Entered: len(lines) > 0, Weighed: a.HangingKg != nil}
	if k.Entered {
		k.KillLine = lines[len(lines)-1]
	}
	if k.Shares, err = buyersOf(ctx, db.pool, a.ID); err != nil {
		return k, err
	}
	if k.Spine, k.SpineOut, err = one[Spine](ctx, db.pool, `
		SELECT r.parts, r.kg, r.barrel, r.denatured, r.at, s.initials AS by, r.load_id IS NOT NULL AS hauled
		FROM srm_removals r JOIN staff s ON s.id = r.by_staff WHERE r.animal_id = $1 AND r.wrong_at IS NULL`, a.ID); err != nil {
		return k, err
	}
	if k.Stamps, k.Marks, err = stampsOf(ctx, db.pool, a); err != nil {
		return k, err
	}
	if err = db.pool.QueryRow(ctx, `SELECT EXISTS (SELECT FROM contacts WHERE animal_id = $1 AND note = $2)`, a.ID, WeightTold).Scan(&k.Told); err != nil {
		return k, err
	}
	k.Mates, err = db.mates(ctx, a)
	return k, err
}

// WeightTold is the note of the call by which a farmer hears the hanging weight.
const WeightTold = "hanging weight told to the farmer"

// Mate is somebody with a part in a shared animal: the farmer who brought it, or the
// owner of a portion.
type Mate struct {
	Farmer  bool
	Portion cutting.Portion
	Name    string
	Phone   string
}

// mates lists the farmer and each owner of a portion, as the shares and the orders
// have them.
func (db *DB) mates(ctx context.Context, a Animal) ([]Mate, error) {
	return all[Mate](ctx, db.pool, `
		SELECT true AS farmer, '' AS portion, p.name, p.phone FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = $1 AND ap.role = 'deliverer'
		UNION ALL
		SELECT false, coalesce(o.portion, s.portion), coalesce(nullif(o.for_whom, ''), s.name, ''), coalesce(s.phone, '')
		FROM (SELECT portion, for_whom FROM orders WHERE animal_id = $1 AND void_at IS NULL) o
		FULL JOIN (SELECT portion, name, phone FROM shares WHERE animal_id = $1 AND `+newestShares+`) s ON s.portion = o.portion
		ORDER BY 1 DESC, 2 LIMIT 20`, a.ID)
}

// Disagreement is what the owners of one animal want of one piece of meat, and whom
// to call about it; empty where they agree.
func (db *DB) Disagreement(ctx context.Context, a Animal, standing []Order) (found []cutting.Conflict, who []Mate, err error) {
	orders := make([]cutting.Order, len(standing))
	for i, o := range standing {
		orders[i] = o.Order
	}
	if found = cutting.Conflicts(orders); len(found) > 0 {
		who, err = db.mates(ctx, a)
	}
	return found, who, err
}

// WeightCall is a farmer who waits to hear the hanging weight.
type WeightCall struct {
	Number  domain.ShopNumber
	Species domain.Species
	Kg      domain.Kilogram
	Name    string
	Phone   string
}

// weightCalls lists the farmers of livestock that hangs weighed, who have not heard.
func (db *DB) weightCalls(ctx context.Context) ([]WeightCall, error) {
	return all[WeightCall](ctx, db.pool, `
		SELECT a.number, a.species, a.hanging_kg AS kg, p.name, p.phone
		FROM animals a JOIN animal_people ap ON ap.animal_id = a.id AND ap.role = 'deliverer' JOIN people p ON p.id = ap.person_id
		WHERE a.physical IN ('hanging', 'on-table') AND a.hanging_kg IS NOT NULL AND a.species IN ('beef', 'bison', 'veal', 'lamb', 'goat', 'hog')
		  AND NOT EXISTS (SELECT FROM contacts c WHERE c.animal_id = a.id AND c.note = $1)
		ORDER BY a.killed_at, a.number LIMIT 100`, WeightTold)
}
