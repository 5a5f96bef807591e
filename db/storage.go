package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/message"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// StorageRule is the fee as it was set: the newest counts.
type StorageRule struct {
	ID        uuid.UUID
	Running   bool
	AfterDays int
	DayCents  domain.Cents
	Taxable   bool
	Why       string
	MadeAt    time.Time
	By        string // initials
}

// Rule is the fee as the domain reckons with it.
func (r StorageRule) Rule() billing.StorageRule {
	return billing.StorageRule{On: r.Running, AfterDays: r.AfterDays, ADay: r.DayCents, Taxable: r.Taxable}
}

const storageRules = `
	SELECT r.id, r.running, r.after_days, r.day_cents, r.taxable, r.why, r.made_at, s.initials AS by FROM storage_rules r JOIN staff s ON s.id = r.made_by `

// StorageRules lists every fee that was ever set, the newest first.
func (db *DB) StorageRules(ctx context.Context) ([]StorageRule, error) {
	return all[StorageRule](ctx, db.pool, storageRules+`ORDER BY r.made_at DESC, r.id DESC LIMIT 200`)
}

// StorageAtDoor is the fee that was in force as an animal came in.
func (db *DB) StorageAtDoor(ctx context.Context, a Animal) (billing.StorageRule, error) {
	r, err := storageOn(ctx, db.pool, a.ReceivedAt)
	return r.Rule(), err
}

func storageNow(ctx context.Context, q querier) (StorageRule, error) {
	r, _, err := one[StorageRule](ctx, q, storageRules+`ORDER BY r.made_at DESC, r.id DESC LIMIT 1`)
	return r, err
}

// storageOn is the fee that was in force at a moment gone by.
func storageOn(ctx context.Context, q querier, at time.Time) (StorageRule, error) {
	r, _, err := one[StorageRule](ctx, q, storageRules+`WHERE r.made_at <= $1 ORDER BY r.made_at DESC, r.id DESC LIMIT 1`, at)
	return r, err
}

// SetStorage turns the fee on or off, or changes it: the owner's, with the reason. What
// is on bills stays. Turned off, it runs for no animal any more; each is approved anew
// once it is on again. Seen is how many settings the form showed: whoever comes second
// is told.
func (db *DB) SetStorage(ctx context.Context, act Act, seen int, r billing.StorageRule, why string) error {
	why = tidy(why)
	if err := r.Check(); err != nil {
		return err
	}
	if why == "" {
		return domain.Wrong("why", "Say why, and where your state says that you may.")
	}
	return db.act(ctx, act, "set storage", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `SELECT FROM shop FOR UPDATE`); err != nil {
			return line{}, err
		}
		var there int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM storage_rules`).Scan(&there); err != nil {
			return line{}, err
		}
		if there != seen {
			return line{}, domain.Taken("Somebody else has just changed storage. Look at the list again before you change it.")
		}
		_, err := tx.Exec(ctx, `
			INSERT INTO storage_rules (id, running, after_days, day_cents, taxable, why, made_at, made_by) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			act.ID, r.On, r.AfterDays, r.ADay, r.Taxable, why, act.At, act.Staff)
		return line{What: "set-storage", Detail: map[string]any{"on": r.On, "after_days": r.AfterDays, "a_day": r.ADay.String(), "why": why}}, err
	})
}

// ApproveStorage lets storage run for the meat of one animal: the word of the owner of
// the shop, with the reason. Its owner is told in the same transaction from which day
// it costs how much.
func (db *DB) ApproveStorage(ctx context.Context, act Act, number domain.ShopNumber, why string) error {
	if why = tidy(why); why == "" {
		return domain.Wrong("why", "Say why, and how its owner was told of the fee.")
	}
	return db.ladderAct(ctx, act, "approve storage", number, func(tx pgx.Tx, a Animal, _ animal.Ladder, _ animal.Told) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `SELECT FROM shop FOR SHARE`); err != nil {
			return line{}, err
		}
		s, err := storageOf(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if err := s.mayApprove(); err != nil {
			return line{}, err
		}
		if err := endStorage(ctx, tx, act, a.ID, "storage was turned off"); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO storage_approvals (id, animal_id, rule_id, why, approved_at, approved_by) VALUES ($1, $2, $3, $4, $5, $6)`,
			act.ID, a.ID, s.Binds.ID, why, act.At, act.Staff); err != nil {
			return line{}, err
		}
		from := billing.StorageClock{StorageRule: s.Binds.Rule(), Told: s.Clock.Told, Approved: act.At, Held: s.Clock.Held}.Starts(s.zone)
		err = db.tellOwners(ctx, tx, act, a.ID, cause{Kind: message.Storage, About: StorageNews{from, s.Binds.DayCents}.String()})
		return line{What: "approve-storage", Detail: map[string]any{"from": from.Format(time.DateOnly), "a_day": s.Binds.DayCents.String()}, Why: why}, err
	})
}

// StopStorage ends it for one animal: the lead's or the owner's, with the reason. What
// is on the bill stays; what has run and is not on it is not charged.
func (db *DB) StopStorage(ctx context.Context, act Act, number domain.ShopNumber, why string) error {
	if why = tidy(why); why == "" {
		return domain.Wrong("stop_why", "Say why it stops.")
	}
	return db.ladderAct(ctx, act, "stop storage", number, func(tx pgx.Tx, a Animal, _ animal.Ladder, _ animal.Told) (line, error) {
		if err := answersForShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		s, err := storageOf(ctx, tx, a)
		if err == nil && !s.Running() {
			err = domain.Taken("Storage does not run for it any more. Look again.")
		}
		if err == nil {
			err = endStorage(ctx, tx, act, a.ID, why)
		}
		return line{What: "stop-storage", Why: why}, err
	})
}

func endStorage(ctx context.Context, tx pgx.Tx, act Act, animal uuid.UUID, why string) error {
	_, err := tx.Exec(ctx, `
		UPDATE storage_approvals SET ended_at = $2, ended_by = $3, ended_why = $4 WHERE animal_id = $1 AND ended_at IS NULL`, animal, act.At, act.Staff, why)
	return err
}
