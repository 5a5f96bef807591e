package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// KillLine is a kill entry, or a line that put it right.
type KillLine struct {
	N            int // 0: as first entered
	ThirtyMonths string
	KnownBy      string
	Note         string
	SaidBy       string // who said at first that it is the owners' own
	Why          string // of a line that puts right: what was wrong
	At           time.Time
	By           string
}

// killQuery are the entry of the animal $1 and its lines, without an order.
const killQuery = `
	SELECT 0 AS n, k.thirty_months, k.known_by, k.note, k.said_by, '' AS why, k.at, s.initials AS by
	FROM kill_entries k JOIN staff s ON s.id = k.by_staff WHERE k.animal_id = $1
	UNION ALL
	SELECT c.n::int, c.thirty_months, c.known_by, c.note, e.said_by, c.why, c.at, s.initials
	FROM kill_corrections c JOIN kill_entries e ON e.animal_id = c.animal_id JOIN staff s ON s.id = c.by_staff WHERE c.animal_id = $1`

// newestShares picks of the shares of the animal $1 those that count now.
const newestShares = `correction_id IS NOT DISTINCT FROM (SELECT id FROM kill_corrections WHERE animal_id = $1 ORDER BY n DESC LIMIT 1)`

// killLines reads the entry and every line that put it right; the last one counts.
func killLines(ctx context.Context, q querier, id uuid.UUID) ([]KillLine, error) {
	return all[KillLine](ctx, q, killQuery+` ORDER BY n LIMIT 100`, id)
}

// buyersOf reads who owned which part, as it stands now.
func buyersOf(ctx context.Context, q querier, id uuid.UUID) ([]cutting.Buyer, error) {
	return all[cutting.Buyer](ctx, q, `
		SELECT portion, name, phone, sold_on::timestamptz AS sold_on, evidence FROM shares WHERE animal_id = $1 AND `+newestShares+` ORDER BY portion LIMIT 10`, id)
}

// CorrectKill puts a kill entry right by a line of its own with its reason; what was
// written before stays. After is the number of the line the writer had before them: of
// two people who write at once the second is told. The reason stands in the line alone: what
// is on the time line can never be blanked.
func (db *DB) CorrectKill(ctx context.Context, act Act, number domain.ShopNumber, k cutting.Kill, after int, why string) error {
	if err := checkPhones(k.Shares); err != nil {
		return err
	}
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "correct kill", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		stands, err := standingKill(ctx, tx, a, after)
		if err != nil {
			return line{}, err
		}
		about, err := numbers.aboutKilled(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		k.SaidBy, k.Household = stands.SaidBy, true // what was said at the first entry
		if err := k.Check(a.Species, a.KilledAt, about.Shares); err != nil {
			return line{}, err
		}
		if err := k.Corrects(stands, why); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO kill_corrections (id, animal_id, n, thirty_months, known_by, note, why, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			act.ID, a.ID, after+1, k.ThirtyMonths, k.KnownBy, tidy(k.Note), tidy(why), act.At, act.Staff); err != nil {
			return line{}, err
		}
		if err := endLinks(ctx, tx, a.ID, stands.Shares, k.Shares); err != nil {
			return line{}, err
		}
		about.Months = k.ThirtyMonths
		return line{Animal: a.ID, What: "correct-kill", Detail: killDetail(k), Rows: buyerRows(act, a.ID, &act.ID, k.Shares)}, heldAgain(ctx, tx, a, about)
	})
}

// endLinks ends the private links to an animal once a part of it is somebody else's: the
// link of that part would show them the other's bill.
func endLinks(ctx context.Context, tx pgx.Tx, id uuid.UUID, before, after []cutting.Buyer) error {
	for _, b := range before {
		same := func(n cutting.Buyer) bool {
			return n.Portion == b.Portion && tidy(n.Name) == b.Name && tidy(n.Phone) == b.Phone
		}
		if !slices.ContainsFunc(after, same) {
			_, err := tx.Exec(ctx, `UPDATE animals SET link_revision = link_revision + 1, revision = revision + 1 WHERE id = $1`, id)
			return err
		}
	}
	return nil
}

// standingKill is the kill as it stands, if the line the writer read is the last one.
func standingKill(ctx context.Context, tx pgx.Tx, a Animal, after int) (k cutting.Kill, err error) {
	lines, err := killLines(ctx, tx, a.ID)
	switch {
	case err != nil:
		return k, err
	case len(lines) == 0:
		return k, domain.Refuse("kill", "The kill of %s was not entered yet: enter it first.", string(a.Number))
	}
	last := lines[len(lines)-1]
	if last.N != after {
		return k, domain.Taken("The kill was put right by %s, %s. Read that first.", last.By, last.At)
	}
	k = cutting.Kill{ThirtyMonths: last.ThirtyMonths, KnownBy: last.KnownBy, Note: last.Note, SaidBy: last.SaidBy}
	k.Shares, err = buyersOf(ctx, tx, a.ID)
	return k, err
}

// shareLimit is into how many shares the rules here let an animal be sold.
func shareLimit(ctx context.Context, q querier, a Animal) (limit cutting.ShareLimit, err error) {
	if a.Species.Game() {
		return limit, nil
	}
	rules, err := rulesHere(ctx, q)
	if most, by := statute.ShareLimit(rules, a.Species); by != nil {
		limit = cutting.ShareLimit{Most: most, Says: by.Says, Cites: by.Cites}
	}
	return limit, err
}

// ageOf is what is known of the age of the animal.
func ageOf(ctx context.Context, q querier, id uuid.UUID) (cutting.About, error) {
	a, _, err := one[struct {
		Species domain.Species
		Months  string
	}](ctx, q, `
		SELECT species, coalesce((SELECT thirty_months FROM (`+killQuery+`) k ORDER BY n DESC LIMIT 1), '') AS months FROM animals WHERE id = $1`, id)
	return cutting.About{Species: a.Species, Months: a.Months}, err
}

// noSpineCuts refuses to begin on an order for what cannot be cut: it may have been
// called complete before anybody knew how old the animal was.
func noSpineCuts(ctx context.Context, tx pgx.Tx, id uuid.UUID) error {
	age, err := ageOf(ctx, tx, id)
	if err != nil || !age.Older() {
		return err
	}
	orders, err := ordersOf(ctx, tx, id, `AND o.void_at IS NULL ORDER BY o.portion LIMIT 10`)
	for _, o := range orders {
		if refused := o.SpineLines(age); len(refused) > 0 {
			return domain.Refuse("months", "%s", refused[0])
		}
	}
	return err
}
