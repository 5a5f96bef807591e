package db

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// openActions opens a corrective action for each thing out of its limit that
// calls for one. What is open in this room already stays the one it is.
func openActions(ctx context.Context, tx pgx.Tx, act Act, roundID uuid.UUID, room Cooler, a round.Answers) (opened int, err error) {
	for _, f := range a.Findings() {
		if f.Verdict != round.Act || f.Item == round.ItemCount {
			continue
		}
		value, expected := a.Read(f.Item)
		tag, err := tx.Exec(ctx, `
			INSERT INTO corrective_actions (id, cooler_id, round_id, item, value, expected, found_at, found_by)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT DO NOTHING`,
			actionID(act, f.Item), room.ID, roundID, f.Item, value, expected, act.At, act.Staff)
		if err != nil {
			return opened, err
		}
		opened += int(tag.RowsAffected())
	}
	return opened, nil
}

// actionID is made of the act that found it, so that sending it twice opens one.
func actionID(act Act, item string) uuid.UUID { return uuid.NewSHA1(act.ID, []byte("action "+item)) }

// openCounts opens a corrective action for each rail of the round whose count
// does not agree.
func openCounts(ctx context.Context, tx pgx.Tx, act Act, roundID uuid.UUID, room int16) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO corrective_actions (id, cooler_id, round_id, item, rail_id, value, expected, found_at, found_by)
		SELECT gen_random_uuid(), $2, round_id, 'count', rail_id, counted, expected, at, $3 FROM rail_counts
		WHERE round_id = $1 AND counted <> expected ON CONFLICT DO NOTHING`, roundID, room, act.Staff)
	return err
}

// openActions opens what a whole round calls for.
func (r Round) openActions(ctx context.Context, tx pgx.Tx, act Act, room Cooler, listed int) error {
	a := r.answers(room, listed)
	var err error
	if a.NewHours, err = newestHours(ctx, tx, room.ID, r.WalkedTo); err != nil {
		return err
	}
	if _, err := openActions(ctx, tx, act, act.ID, room, a); err != nil {
		return err
	}
	return openCounts(ctx, tx, act, act.ID, room.ID)
}

// newestHours is how long the newest carcass had been in the house at a moment.
func newestHours(ctx context.Context, tx pgx.Tx, room int16, at time.Time) (hours float64, err error) {
	err = tx.QueryRow(ctx, `
		SELECT coalesce(extract(epoch FROM $2::timestamptz - max(a.received_at)) / 3600, 0)::float8
		FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN animals a ON a.id = o.animal_id
		WHERE r.cooler_id = $1 AND o.since <= $2 AND (o.until IS NULL OR o.until > $2)`, room, at).Scan(&hours)
	return hours, err
}

// ReadTags keeps which carcasses were missing on a rail and which were too many,
// after its count was wrong. Each of them becomes an urgent thing to put right;
// the count itself is settled by the reading.
func (db *DB) ReadTags(ctx context.Context, act Act, w Walk, rail int16, missing, extra []domain.ShopNumber) error {
	return db.step(ctx, act, w, "read tags", func(tx pgx.Tx, s stepping) (line, error) {
		var name string
		err := tx.QueryRow(ctx, `SELECT name FROM rails WHERE id = $1 AND cooler_id = $2`, rail, s.room.ID).Scan(&name)
		if err == pgx.ErrNoRows {
			return line{}, domain.Wrong("extra", "That rail is not in this room. Open the round again.")
		}
		if err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `INSERT INTO tag_reads (id, round_id, rail_id, at, by_staff, missing, extra) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			act.ID, w.ID, rail, act.At, act.Staff, texts(missing), texts(extra))
		if err != nil {
			return line{}, err
		}
		for item, numbers := range map[string][]domain.ShopNumber{round.ItemMissing: missing, round.ItemExtra: extra} {
			for _, n := range numbers {
				_, err := tx.Exec(ctx, `
					INSERT INTO corrective_actions (id, cooler_id, round_id, item, rail_id, number, found_at, found_by)
					VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT DO NOTHING`,
					actionID(act, item+string(n)), s.room.ID, w.ID, item, rail, n, act.At, act.Staff)
				if err != nil {
					return line{}, err
				}
			}
		}
		return line{Cooler: s.room.ID, What: "read-tags", Detail: map[string]any{"rail": name, "missing": strings.Join(texts(missing), ", "),
			"extra": strings.Join(texts(extra), ", ")}}, settleCount(ctx, tx, act, s.room.ID, rail)
	})
}

// settleCount closes the wrong count of a rail: its tags have been read, and what
// is missing or too many stands by its own number now.
func settleCount(ctx context.Context, tx pgx.Tx, act Act, room, rail int16) error {
	_, err := tx.Exec(ctx, `
		UPDATE corrective_actions SET done = 'tags read one by one', done_at = $3, done_by = $4, closed_at = $3, closed_by = $4
		WHERE cooler_id = $1 AND rail_id = $2 AND item = 'count' AND closed_at IS NULL`, room, rail, act.At, act.Staff)
	return err
}

// ActionRow is one corrective action as it stands in the records.
type ActionRow struct {
	ID                      uuid.UUID
	RoundID                 *uuid.UUID
	CoolerID                int16
	Room, Label, Kind       string
	Item, Rail, Number      string
	Value                   *float64
	Expected                *int
	FoundAt                 time.Time
	FoundBy                 string // initials, as all below
	Done, Product, Cause    string
	DoneAt                  *time.Time
	DoneBy                  string
	ClosedAt                *time.Time
	ClosedBy                string
	FoundByStaff, DoneStaff *uuid.UUID
}

// Action is the row as the domain words it.
func (a ActionRow) Action() round.Action {
	return round.Action{Item: a.Item, Freezer: a.Kind == "freezer", Rail: a.Rail, Number: a.Number, Value: a.Value, Expected: a.Expected}
}

const actionRows = `
	SELECT x.id, x.round_id, x.cooler_id, c.name AS room, c.label, c.kind, x.item, coalesce(r.name, '') AS rail, x.number, x.value, x.expected, x.found_at, f.initials AS found_by,
	       x.done, x.product, x.cause, x.done_at, coalesce(d.initials, '') AS done_by, x.closed_at, coalesce(k.initials, '') AS closed_by,
	       x.found_by AS found_by_staff, x.done_by AS done_staff
	FROM corrective_actions x JOIN coolers c ON c.id = x.cooler_id JOIN staff f ON f.id = x.found_by
	LEFT JOIN rails r ON r.id = x.rail_id LEFT JOIN staff d ON d.id = x.done_by LEFT JOIN staff k ON k.id = x.closed_by `

// OpenActions lists what must be put right and what waits for a second pair of
// eyes, in every room, the longest open first.
func (db *DB) OpenActions(ctx context.Context) ([]ActionRow, error) {
	return all[ActionRow](ctx, db.pool, actionRows+`WHERE x.closed_at IS NULL ORDER BY x.done_at IS NOT NULL, x.found_at, x.id LIMIT 200`)
}

// ByWalk puts together what came of the same walk of a room and is at the same point:
// one person puts it right.
func ByWalk(open []ActionRow) (list [][]ActionRow) {
	type walk struct {
		room         int16
		round, by    uuid.UUID
		done         bool
		doneBy, said string
	}
	at := map[walk]int{}
	for _, a := range open {
		if a.RoundID == nil || a.FoundByStaff == nil {
			list = append(list, []ActionRow{a})
			continue
		}
		w := walk{a.CoolerID, *a.RoundID, *a.FoundByStaff, a.DoneAt != nil, a.DoneBy, a.Done}
		i, known := at[w]
		if !known {
			i, at[w] = len(list), len(list)
			list = append(list, nil)
		}
		list[i] = append(list[i], a)
	}
	return list
}

// ClosedActions lists what was put right since a moment, the latest first.
func (db *DB) ClosedActions(ctx context.Context, since time.Time) ([]ActionRow, error) {
	return all[ActionRow](ctx, db.pool, actionRows+`WHERE x.closed_at >= $1 ORDER BY x.closed_at DESC, x.id LIMIT 100`, since)
}

// Action finds one corrective action.
func (db *DB) Action(ctx context.Context, id uuid.UUID) (ActionRow, error) {
	a, found, err := one[ActionRow](ctx, db.pool, actionRows+`WHERE x.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("There is no such thing to put right.")
	}
	return a, err
}

// PutRight says what was done about what was out of its limit in one room; each thing
// keeps it. Where the finder did it alone, somebody else still has to look at it.
func (db *DB) PutRight(ctx context.Context, act Act, ids []uuid.UUID, done, product, cause string) error {
	if err := round.CheckDone(done); err != nil {
		return err
	}
	detail := map[string]any{"done": done}
	return db.settleActions(ctx, act, ids, "put-right", detail, func(tx pgx.Tx, a ActionRow, people int) error {
		if a.DoneAt != nil {
			return domain.Taken("%s has put that right already: %s", a.DoneBy, a.Done)
		}
		_, err := tx.Exec(ctx, `UPDATE corrective_actions SET done = $2, product = $3, cause = $4, done_at = $5, done_by = $6 WHERE id = $1`,
			a.ID, strings.TrimSpace(done), strings.TrimSpace(product), strings.TrimSpace(cause), act.At, act.Staff)
		if err == nil && round.Closes(act.Staff.String(), a.FoundByStaff.String(), act.Staff.String(), people) {
			err = closeAction(ctx, tx, act, a.ID)
		}
		return err
	})
}

// SeeRight closes what somebody else found and put right alone in one room.
func (db *DB) SeeRight(ctx context.Context, act Act, ids []uuid.UUID) error {
	return db.settleActions(ctx, act, ids, "see-right", map[string]any{}, func(tx pgx.Tx, a ActionRow, people int) error {
		switch {
		case a.DoneAt == nil:
			return domain.Refuse("done", "Nobody has said yet what was done. Say that first.")
		case !round.Closes(act.Staff.String(), a.FoundByStaff.String(), a.DoneStaff.String(), people):
			return domain.Refuse("closed", "You found it and put it right yourself. Somebody else looks at it and closes it.")
		}
		return closeAction(ctx, tx, act, a.ID)
	})
}

func closeAction(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) error {
	_, err := tx.Exec(ctx, `UPDATE corrective_actions SET closed_at = $2, closed_by = $3 WHERE id = $1`, id, act.At, act.Staff)
	return err
}

// settleActions locks open actions of one room and does something with each; people is
// how many work here now. The time line names them in the order of their ids, as they
// are locked.
func (db *DB) settleActions(ctx context.Context, act Act, ids []uuid.UUID, what string, detail map[string]any, do func(tx pgx.Tx, a ActionRow, people int) error) error {
	return db.act(ctx, act, what, func(tx pgx.Tx) (line, error) {
		list, err := all[ActionRow](ctx, tx, actionRows+`WHERE x.id = ANY ($1) ORDER BY x.id FOR UPDATE OF x`, ids)
		if err != nil {
			return line{}, err
		}
		switch {
		case len(list) == 0 || len(list) != len(ids):
			return line{}, domain.Missing("There is no such thing to put right.")
		case slices.ContainsFunc(list, func(a ActionRow) bool { return a.CoolerID != list[0].CoolerID }):
			return line{}, domain.Refuse("done", "These are of two rooms. Put each room right by itself.")
		}
		var people int
		err = tx.QueryRow(ctx, `SELECT count(*) FROM staff WHERE `+worksOn(1), act.At).Scan(&people)
		if err != nil {
			return line{}, fmt.Errorf("people: %w", err)
		}
		var items []string
		for _, a := range list {
			if a.ClosedAt != nil {
				return line{}, domain.Taken("%s closed that at %v.", a.ClosedBy, *a.ClosedAt)
			}
			if err := do(tx, a, people); err != nil {
				return line{}, err
			}
			items = append(items, a.Action().Found().String())
		}
		detail["item"] = strings.Join(items, "; ")
		return line{Cooler: list[0].CoolerID, What: what, Detail: detail}, nil
	})
}
