package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/statute"

	"github.com/jackc/pgx/v5"
)

// Stamped is a quarter that is marked NOT FOR SALE, by whom, and under which rules.
type Stamped struct {
	Quarter string
	Marks   []string // the words it bears
	At      time.Time
	By      string
}

// Bears reports whether the quarter was marked in the words a rule has now.
func (s Stamped) Bears(r statute.Rule) bool { return oneOf(s.Marks, tidy(r.Mark)) }

// Stamp writes down that quarters bear NOT FOR SALE, and with it whatever else the
// rules in force want them to bear. A quarter that was stamped before a rule came,
// or before its words were changed, is marked again; when and by whom it was stamped first stays.
func (db *DB) Stamp(ctx context.Context, act Act, number domain.ShopNumber, quarters []string) error {
	return db.act(ctx, act, "stamp", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if len(quarters) == 0 {
			return line{}, domain.Wrong("quarters", "Tick the quarters that are stamped.")
		}
		rules, err := rulesHere(ctx, tx)
		if err != nil {
			return line{}, err
		}
		words, rows := []string{}, &pgx.Batch{}
		for _, r := range statute.Marks(rules, a.Species) {
			words = append(words, tidy(r.Mark))
		}
		for _, q := range quarters {
			if !oneOf(cutting.Quarters, q) {
				return line{}, domain.Wrong("quarters", "Tick the quarters that are stamped.")
			}
			rows.Queue(`INSERT INTO stamps (animal_id, quarter, at, by_staff, marks) VALUES ($1, $2, $3, $4, $5) ON CONFLICT (animal_id, quarter) DO UPDATE SET marks = excluded.marks`,
				a.ID, q, act.At, act.Staff, words)
		}
		detail := map[string]any{"quarters": strings.Join(quarters, " "), "marks": strings.Join(words, "; ")}
		return line{Animal: a.ID, What: "stamp", Detail: detail, Rows: rows}, touch(ctx, tx, a.ID)
	})
}

// stampsOf reads which quarters are marked, and what the rules want them to bear.
func stampsOf(ctx context.Context, q querier, a Animal) (stamps []Stamped, marks []statute.Rule, err error) {
	rules, err := rulesHere(ctx, q)
	if err != nil {
		return nil, nil, err
	}
	stamps, err = all[Stamped](ctx, q, `
		SELECT t.quarter, t.marks, t.at, s.initials AS by FROM stamps t JOIN staff s ON s.id = t.by_staff WHERE t.animal_id = $1 ORDER BY t.quarter LIMIT 4`, a.ID)
	return stamps, statute.Marks(rules, a.Species), err
}

// isStamped refuses to let boxes of livestock leave before the quarters their meat is
// of are marked: NOT FOR SALE always, and in the words of each rule in force.
func isStamped(ctx context.Context, q querier, a Animal, boxes []Box) error {
	stamps, marks, err := stampsOf(ctx, q, a)
	if err != nil {
		return err
	}
	portions := make([]cutting.Portion, len(boxes))
	for i, b := range boxes {
		portions[i] = b.Portion
	}
	of := cutting.QuartersOf(portions)
	var stamped []string
	for _, s := range stamps {
		stamped = append(stamped, s.Quarter)
	}
	if err := cutting.MayLeave(a.Species, a.Form, of, stamped); err != nil || a.Form == domain.Boned {
		return err
	}
	for _, s := range stamps {
		for _, r := range marks {
			if oneOf(of, s.Quarter) && !s.Bears(r) {
				return domain.Refuse("stamp", "By the rule of %s it has to bear: %s (%s). Mark %s and its boxes so, and write down on the page of its kill that it is done; then it may leave.", r.State, r.Mark, r.Cites, s.Quarter)
			}
		}
	}
	return nil
}
