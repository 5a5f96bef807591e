package db

import (
	"context"
	"time"

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
		if err := mayChoose(ctx, tx, a, bone); err != nil {
			return line{}, err
		}
		at, by, as := &act.At, &act.Staff, "boned"
		if !bone {
			at, by, as = nil, nil, "whole"
		}
		if _, err := tx.Exec(ctx, `UPDATE holds SET boned_at = $2, boned_by = $3 WHERE animal_id = $1 AND kind = $4 AND closed_at IS NULL`, a.ID, at, by, hold.TestPending); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "bone-and-hold", Detail: map[string]any{"as": as}}, touch(ctx, tx, a.ID)
	})
}

// mayChoose refuses what was chosen already, and says by whom and when; and a choice
// about a test that is no longer out.
func mayChoose(ctx context.Context, tx pgx.Tx, a Animal, bone bool) error {
	h, out, err := one[struct {
		BonedAt *time.Time
		By      string
	}](ctx, tx, `
		SELECT h.boned_at, coalesce(s.initials, '') AS by FROM holds h LEFT JOIN staff s ON s.id = h.boned_by
		WHERE h.animal_id = $1 AND h.kind = $2 AND h.closed_at IS NULL FOR UPDATE OF h`, a.ID, hold.TestPending)
	switch {
	case err != nil:
		return err
	case !out:
		return domain.Taken("Its test is no longer out. Look at its holds again.")
	case bone && h.BonedAt != nil:
		return domain.Taken("%s chose already that it is boned and held, %s.", h.By, *h.BonedAt)
	case !bone && h.BonedAt == nil:
		return domain.Taken("It is held whole already.")
	}
	return nil
}
