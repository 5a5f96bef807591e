package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// keptReason stands with a place that was taken without a network, where nobody
// could be asked why it hangs there.
const keptReason = "hung there while the tablet had no network"

// takeKept is takePlace for an act that may have been kept on a tablet: what was
// done on the floor cannot be refused afterwards. Clash reports that another
// hangs there by the records: both are then marked until a person settles it.
func takeKept(ctx context.Context, tx pgx.Tx, act Act, place int, field string) (p Place, clash bool, err error) {
	p, err = takePlace(ctx, tx, place, field)
	if err != nil && act.Kept() && domain.As(err).Kind == domain.Conflict {
		return p, true, markClash(ctx, tx, place)
	}
	return p, false, err
}

// markClash marks all that hang on a place as being in conflict.
func markClash(ctx context.Context, tx pgx.Tx, place int) error {
	_, err := tx.Exec(ctx, markBoth, place)
	return err
}

const markBoth = `
	WITH marked AS (
	  UPDATE occupancies SET conflict = true WHERE place_id = $1 AND until IS NULL RETURNING animal_id
	)
	UPDATE animals SET revision = revision + 1 WHERE id IN (SELECT animal_id FROM marked)`

// movedSince is when the mover was hung where it hangs now, if that was after the
// act: another tablet was first to send a later move.
func (m mover) movedSince(ctx context.Context, tx pgx.Tx, act Act) (time.Time, bool, error) {
	row, later, err := one[struct{ Since time.Time }](ctx, tx, `
		SELECT since FROM occupancies WHERE animal_id = $1 AND piece_id IS NOT DISTINCT FROM $2 AND until IS NULL AND since > $3`,
		m.ID, orNull(m.piece), act.At)
	return row.Since, later, err
}

// hungMeanwhile writes a stay that has ended already into the history: the later
// move, sent first, stays where it is.
func (m mover) hungMeanwhile(ctx context.Context, tx pgx.Tx, act Act, to Place, until time.Time) (line, error) {
	_, err := tx.Exec(ctx, `
		UPDATE occupancies SET until = greatest(since, $3) WHERE animal_id = $1 AND piece_id IS NOT DISTINCT FROM $2 AND since <= $3 AND until > $3`,
		m.ID, orNull(m.piece), act.At)
	if err != nil {
		return line{}, err
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO occupancies (id, place_id, animal_id, piece_id, since, until, by_staff, reason) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		uuid.Must(uuid.NewV7()), to.ID, m.ID, orNull(m.piece), act.At, until, act.Staff, keptReason)
	if err != nil {
		return line{}, err
	}
	return line{Animal: m.ID, What: string(hold.Move), Detail: map[string]any{
		"piece": m.mark, "place": to.detail(), "why": domain.Say("arrived late; it had been moved again since").Kept()}}, touch(ctx, tx, m.ID)
}

// moveKept is a move made without a network.
func (m mover) moveKept(ctx context.Context, tx pgx.Tx, act Act, place int, reason string) (line, error) {
	if reason == "" {
		reason = keptReason
	}
	if place == m.from {
		return line{Animal: m.ID, What: string(hold.Move), Detail: map[string]any{"piece": m.mark, "why": domain.Say("found where the list has it").Kept()}}, nil
	}
	to, clash, err := takeKept(ctx, tx, act, place, "place")
	if err != nil {
		return line{}, err
	}
	until, later, err := m.movedSince(ctx, tx, act)
	if err != nil {
		return line{}, err
	}
	if later {
		return m.hungMeanwhile(ctx, tx, act, to, until)
	}
	l, err := m.hang(ctx, tx, act, to, reason)
	if err == nil && clash {
		l.Detail["two-on-one-hook"] = true
		err = markClash(ctx, tx, place)
	}
	return l, err
}

// doubtNumber stops the animal that has a number which came in a second time from
// a tablet without a network: two tags may carry it, or one animal was entered
// twice. The second entry waits on its tablet. Doing it again changes nothing.
func (db *DB) doubtNumber(ctx context.Context, act Act, number domain.ShopNumber) error {
	second := act
	second.ID = uuid.NewSHA1(act.ID, []byte("the same number twice"))
	second.At = act.Arrival()
	return db.act(ctx, second, "doubt number", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		standing, err := openHolds(ctx, tx, a.ID)
		if err != nil {
			return line{}, err
		}
		l := line{Animal: a.ID, What: "hold", Detail: map[string]any{"for": string(hold.Identity), "why": domain.Say("the same number came from two tablets").Kept()}}
		for _, h := range standing {
			if h.Kind == hold.Identity {
				return l, nil // stopped for that already
			}
		}
		err = openHold(ctx, tx, second, a, hold.Identity, "The same tag number came in from two tablets without a network. Read both tags.", time.Time{})
		if err != nil {
			return line{}, err
		}
		return l, touch(ctx, tx, a.ID)
	})
}

// Hook is one place in the coolers and what hangs there by the list.
type Hook struct {
	Place
	Number *domain.ShopNumber // nil: free
	Mark   string             // L or R for a side
}

// HookList lists every place in service in the coolers, from the door.
func (db *DB) HookList(ctx context.Context) ([]Hook, error) {
	hooks, err := hooks(ctx, db.pool)
	spots := make([]Hook, len(hooks))
	for i, k := range hooks {
		spots[i] = Hook{Place: k.Place, Number: k.Number, Mark: k.Mark}
	}
	return spots, err
}
