package db

import (
	"context"
	"strings"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// TakeOrder writes a new version of the order; the one before it is void from
// now on, and so is every order for meat the new one covers. An order with gaps
// is kept as incomplete, one that contradicts itself or the animal is refused; one
// that contradicts the other owner's stands beside it until they agree. Once the carcass is on the table nothing changes any more.
// Of two people who write at once the second is told.
func (db *DB) TakeOrder(ctx context.Context, act Act, number domain.ShopNumber, w Written) error {
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "take order", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := orderOpen(ctx, tx, a); err != nil {
			return line{}, err
		}
		before, err := newestOrder(ctx, tx, a.ID)
		if err != nil {
			return line{}, err
		}
		if before.Version != w.After {
			return line{}, domain.Taken("Version %d of this order was written by %s, %s. Read it first, then write yours.",
				before.Version, before.WrittenBy, before.WrittenAt)
		}
		t := taking{Written: w, numbers: numbers, version: before.Version + 1}
		if err := t.check(ctx, tx, a); err != nil {
			return line{}, err
		}
		if err := t.settleDays(ctx, tx, act, a, before.Days); err != nil {
			return line{}, err
		}
		to, step := a.Tracks(), animal.NoteOrder
		if t.allIn {
			step = animal.TakeOrder
		}
		if to.Order, err = to.Order.Do(step); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "order", Detail: t.detail()}, t.write(ctx, tx, act, a.ID)
	})
}

// taking is an order on its way into the book.
type taking struct {
	Written
	numbers  *Numbers
	version  int
	complete bool     // this order leaves nothing to ask
	allIn    bool     // and so do those of every other portion
	waitsFor []string // portions whose owner has not ordered

	conflicts []cutting.Conflict // with the orders of the other owners
}

func (t taking) detail() map[string]any {
	d := map[string]any{"version": t.version, "lines": len(t.Lines), "by way of": t.Source}
	if t.Portion != cutting.WholeAnimal {
		d["share"] = string(t.Portion)
	}
	if len(t.conflicts) > 0 {
		d["owners disagree"] = len(t.conflicts)
	}
	if !t.allIn {
		d["still to ask"] = true
	}
	if t.Days.Wanted > 0 {
		d["days"] = t.Days.Settled
	}
	if t.Days.Settled < t.Days.Wanted {
		d["days the owner wanted"] = t.Days.Wanted
	}
	return d
}

// check puts the order before the domain, beside those of the other portions.
func (t *taking) check(ctx context.Context, tx pgx.Tx, a Animal) error {
	switch {
	case !oneOf(OrderSources, t.Source):
		return domain.Wrong("source", "Say how the order came: at the counter, by phone, on the card, or the same as before.")
	case t.Source == "phone" && strings.TrimSpace(t.Caller) == "":
		return domain.Wrong("caller", "Write down who is on the phone.")
	}
	about, err := t.about(ctx, tx, a)
	if err != nil {
		return err
	}
	if err := t.Order.Check(about); err != nil {
		return err
	}
	t.complete = len(t.Order.Gaps(about)) == 0
	standing, err := ordersOf(ctx, tx, a.ID, `AND o.void_at IS NULL ORDER BY o.portion LIMIT 10`)
	if err != nil {
		return err
	}
	ordered, mates := []cutting.Portion{t.Portion}, []cutting.Order{t.Order}
	t.allIn = t.complete
	for _, o := range standing {
		if o.Portion.Overlaps(t.Portion) {
			continue
		}
		ordered, mates = append(ordered, o.Portion), append(mates, o.Order)
		t.allIn = t.allIn && o.Complete
	}
	t.conflicts = cutting.Conflicts(mates)
	t.allIn = t.allIn && len(t.conflicts) == 0 // both stand as they were told; it is not cut before they agree
	for _, p := range cutting.NotAsked(ordered) {
		t.waitsFor = append(t.waitsFor, string(p))
		t.allIn = false
	}
	return nil
}

// settleDays holds the days the owner wants against the most that the animal's rule
// for hanging allows. What the lead allowed before stays allowed.
func (t *taking) settleDays(ctx context.Context, tx pgx.Tx, act Act, a Animal, before cutting.Days) error {
	t.Days.Why = tidy(t.Days.Why)
	if before.Why != "" && t.Days.Wanted == before.Wanted && t.Days.Why == before.Why && !t.Told {
		t.Days = before
		return nil
	}
	ceiling, err := ceilingDays(ctx, tx, a)
	if err != nil {
		return err
	}
	lead, err := leads(ctx, tx, act.Staff)
	if err != nil {
		return err
	}
	t.Days, err = t.Days.Settle(ceiling, t.Told, lead)
	return err
}

// CeilingDays is the most whole days from the kill that the animal's rule for hanging
// allows.
func (db *DB) CeilingDays(ctx context.Context, a Animal) (int, error) {
	return ceilingDays(ctx, db.pool, a)
}

func ceilingDays(ctx context.Context, q querier, a Animal) (days int, err error) {
	err = q.QueryRow(ctx, `SELECT floor(p.ceiling_days)::int FROM animals a JOIN protocols p ON p.id = a.protocol_id WHERE a.id = $1`, a.ID).Scan(&days)
	return days, translate(err)
}

// about adds to what the row says whether it is held from a batch. The hold
// for an order that is not complete does not count: the order cannot wait for
// itself.
func (t *taking) about(ctx context.Context, tx pgx.Tx, a Animal) (cutting.About, error) {
	about, err := t.numbers.aboutKilled(ctx, tx, a)
	if err != nil {
		return about, err
	}
	holds, err := openHolds(ctx, tx, a.ID)
	for _, h := range hold.Blocking(holds, hold.Pool) {
		about.Held = about.Held || h.Kind != hold.OrderIncomplete
	}
	return about, err
}

// orderOpen refuses a change that comes too late, with who has it on the table.
func orderOpen(ctx context.Context, tx pgx.Tx, a Animal) error {
	switch {
	case a.Physical == animal.OnTable:
		err := onTable(ctx, tx, a)
		if domain.As(err).Kind == domain.Conflict {
			return domain.Refuse("order", "Too late to change the order: the carcass is on the table. Speak to the cutter.")
		}
		return err
	case a.OrderState == animal.Done:
		return domain.Refuse("order", "Too late to change the order: %s is cut.", string(a.Number))
	}
	return nil
}

// write voids what the new version takes the place of and writes it.
func (t taking) write(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) error {
	if _, err := tx.Exec(ctx, `
		UPDATE orders SET void_at = $2 WHERE animal_id = $1 AND void_at IS NULL AND (starts_with(portion, $3) OR starts_with($3, portion))`,
		id, act.At, string(t.Portion)); err != nil {
		return err
	}
	lost := t.Lost
	if lost == nil {
		lost = []cutting.Part{}
	}
	order := uuid.Must(uuid.NewV7())
	if _, err := tx.Exec(ctx, `
		INSERT INTO orders (id, animal_id, version, source, caller, written_by, written_at, complete, own_meat_only, added_meat, fall_back, note,
		       portion, for_whom, lost, days_wanted, days_settled, days_why)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18)`,
		order, id, t.version, t.Source, tidy(t.Caller), act.Staff, act.At, t.complete, t.OwnMeatOnly, t.Added,
		strings.TrimSpace(t.FallBack), strings.TrimSpace(t.Note), t.Portion, tidy(t.ForWhom), lost,
		t.Days.Wanted, t.Days.Settled, t.Days.Why); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `UPDATE orders SET waits_for = $2 WHERE animal_id = $1 AND void_at IS NULL`, id, strings.Join(t.waitsFor, " ")); err != nil {
		return err
	}
	_, err := tx.CopyFrom(ctx, pgx.Identifier{"order_lines"},
		[]string{"order_id", "ord", "part", "treatment", "thickness", "size", "per_pack", "amount", "flavour", "fat"},
		pgx.CopyFromSlice(len(t.Lines), func(i int) ([]any, error) {
			l := t.Lines[i]
			amount := strings.ToLower(strings.TrimSpace(l.Amount))
			if amount == "" {
				amount = string(cutting.All)
			}
			return []any{order, i + 1, string(l.Part), string(l.Treatment), l.Thickness, l.Size, l.PerPack, amount, tidy(l.Flavour), l.Fat}, nil
		}))
	return err
}
