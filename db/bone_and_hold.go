package db

import (
	"context"

	"coldrail/domain"
	"coldrail/domain/hold"
	"coldrail/domain/statute"

	"github.com/jackc/pgx/v5"
)

// Meanwhile says whether an animal whose test is out may be boned and held by the
// rules that reach the shop, and which of them says so; nil where none speaks of it.
func (db *DB) Meanwhile(ctx context.Context, a Animal) (may bool, by *statute.Rule, err error) {
	rules, err := rulesHere(ctx, db.pool)
	may, by = statute.MayWhilePending(rules, a.Species, a.Form)
	return may, by, err
}

// BoneAndHold notes the lead's choice for an animal whose test is out: boned, or kept
// whole after all. It stays held: nothing of it is pooled, goes into a batch or leaves
// before somebody has seen the result.
func (db *DB) BoneAndHold(ctx context.Context, act Act, number domain.ShopNumber, bone bool) error {
	return db.act(ctx, act, "bone and hold", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		lead, err := isLead(ctx, tx, act.Staff)
		if err == nil && !lead {
			err = domain.Refuse("lead", "Only the lead or the owner of the shop decides that. Hand the tablet over.")
		}
		if err != nil {
			return line{}, err
		}
		rules, err := rulesHere(ctx, tx)
		if err != nil {
			return line{}, err
		}
		if may, by := statute.MayWhilePending(rules, a.Species, a.Form); bone && !may {
			return line{}, domain.Refuse("test", "Not here: %s (%s). Hold it whole and apart until the result is seen.", by.Says, by.Cites)
		}
		at, by := &act.At, &act.Staff
		if !bone {
			at, by = nil, nil
		}
		tag, err := tx.Exec(ctx, `
			UPDATE holds SET boned_at = $2, boned_by = $3
			WHERE animal_id = $1 AND kind = $4 AND closed_at IS NULL AND (boned_at IS NULL) = $5`, a.ID, at, by, hold.TestPending, bone)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("That is so already, or its test is no longer out. Look at its holds again.")
		}
		if err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "bone-and-hold", Detail: map[string]any{"boned": bone}}, touch(ctx, tx, a.ID)
	})
}
