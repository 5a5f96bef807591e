package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/statute"

	"github.com/jackc/pgx/v5"
)

// keptApart refuses to bring an animal to the table where a rule keeps game and
// livestock apart: while the other kind lies there, and until the table was cleaned out
// in full after it. Of two people who start one of each at once, one wins.
func keptApart(ctx context.Context, tx pgx.Tx, a Animal) error {
	rules, err := rulesHere(ctx, tx)
	if err != nil || !slices.ContainsFunc(rules, func(r statute.Rule) bool { return r.CleanBetween }) {
		return err
	}
	if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('game and livestock'))`); err != nil {
		return err
	}
	type other struct {
		Number    domain.ShopNumber
		Species   domain.Species
		By        string
		StoppedAt *time.Time
	}
	last, found, err := one[other](ctx, tx, `
		SELECT x.number, x.species, s.initials AS by, t.stopped_at FROM sessions_at_table t JOIN animals x ON x.id = t.animal_id JOIN staff s ON s.id = t.started_by
		WHERE (x.species = ANY ($1)) <> $2 AND (t.stopped_at IS NULL OR NOT EXISTS (
		  SELECT FROM machine_runs r JOIN machines m ON m.id = r.machine_id
		  WHERE m.name = $3 AND r.clean IN ($4, $5) AND r.at >= t.stopped_at))
		ORDER BY t.stopped_at IS NOT NULL, t.stopped_at DESC LIMIT 1`, gameSpecies, a.Species.Game(), TableName, batch.Full, batch.Prion)
	if err != nil || !found {
		return err
	}
	r := statute.Apart(rules, a.Species, last.Species)
	switch {
	case r == nil:
		return nil
	case last.StoppedAt == nil:
		return domain.Refuse("apart", "%s (%s) is on the table, started by %s, and game and livestock are not worked at one time: %s (%s). Finish it, clean the table out in full, and enter that.",
			string(last.Number), last.Species.Words(), last.By, r.Says, r.Cites)
	}
	return domain.Refuse("apart", "%s (%s) was the last of the other kind on the table, until %s, and no full clean-out of the table is entered since: %s (%s). Clean it out under Batches, machines, and enter that first.",
		string(last.Number), last.Species.Words(), *last.StoppedAt, r.Says, r.Cites)
}

// TableName is what the cutting table is called among the machines, for its clean-outs.
const TableName = "table"
