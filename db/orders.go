package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Order is one version of what the owner wants done with an animal. Void says
// when a newer one took its place; the newest is never void.
type Order struct {
	ID        uuid.UUID
	Version   int
	Source    string // counter, phone, card or repeat
	WrittenBy string // initials
	WrittenAt time.Time
	Complete  bool
	Note      string
	VoidAt    *time.Time
	cutting.Order
}

// OrderSources lists how an order reaches the shop.
var OrderSources = []string{"counter", "phone", "card", "repeat"}

// Written is an order as it was taken down.
type Written struct {
	cutting.Order
	Source string // one of OrderSources
	Note   string
	Whole  bool // of livestock, which has no sheet to check against: this is all of it
	After  int  // the version the writer had before them; 0: none
}

// HasSheet reports whether the order of this species is asked part by part and
// checked. Others are written down freely.
func HasSheet(s domain.Species) bool {
	return s.Deer() || s == domain.Elk || s == domain.Moose || s == domain.Pronghorn
}

// NewestOrder returns the order that counts; found is false where there is none.
func (db *DB) NewestOrder(ctx context.Context, number domain.ShopNumber) (o Order, found bool, err error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return o, false, err
	}
	o, err = newestOrder(ctx, db.pool, a.ID)
	return o, o.Version > 0, err
}

// newestOrder returns the zero Order where there is none.
func newestOrder(ctx context.Context, q querier, id uuid.UUID) (Order, error) {
	type row struct {
		ID          uuid.UUID
		Version     int
		Source      string
		WrittenBy   string
		WrittenAt   time.Time
		Complete    bool
		Note        string
		VoidAt      *time.Time
		OwnMeatOnly bool
		Added       cutting.AddedMeat
		FallBack    string
	}
	r, found, err := one[row](ctx, q, `
		SELECT o.id, o.version, o.source, s.initials AS written_by, o.written_at, o.complete, o.note, o.void_at, o.own_meat_only,
		       o.added_meat AS added, o.fall_back
		FROM orders o JOIN staff s ON s.id = o.written_by WHERE o.animal_id = $1 ORDER BY o.version DESC LIMIT 1`, id)
	if err != nil || !found {
		return Order{}, err
	}
	o := Order{ID: r.ID, Version: r.Version, Source: r.Source, WrittenBy: r.WrittenBy, WrittenAt: r.WrittenAt, Complete: r.Complete,
		Note: r.Note, VoidAt: r.VoidAt, Order: cutting.Order{OwnMeatOnly: r.OwnMeatOnly, Added: r.Added, FallBack: r.FallBack}}
	o.Lines, err = all[cutting.Line](ctx, q, `
		SELECT part, treatment, thickness, size, per_pack, amount FROM order_lines WHERE order_id = $1 ORDER BY ord LIMIT 100`, r.ID)
	return o, err
}

// TakeOrder writes a new version of the order; the one before it is void from
// now on. An order with gaps is kept as incomplete, one that contradicts itself
// or the animal is refused. Once the carcass is on the table nothing changes any
// more. Of two people who write at once the second is told.
func (db *DB) TakeOrder(ctx context.Context, act Act, number domain.ShopNumber, w Written) error {
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
		whole, err := checkOrder(ctx, tx, a, w)
		if err != nil {
			return line{}, err
		}
		to, step := a.Tracks(), animal.NoteOrder
		if whole {
			step = animal.TakeOrder
		}
		if to.Order, err = to.Order.Do(step); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		detail := map[string]any{"version": before.Version + 1, "lines": len(w.Lines), "by way of": w.Source}
		if !whole {
			detail["still to ask"] = "yes"
		}
		return line{Animal: a.ID, What: "order", Detail: detail}, writeOrder(ctx, tx, act, a.ID, before, w, whole)
	})
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

// checkOrder puts the order before the domain and says whether it is complete.
func checkOrder(ctx context.Context, tx pgx.Tx, a Animal, w Written) (whole bool, err error) {
	if !oneOf(OrderSources, w.Source) {
		return false, domain.Wrong("source", "Say how the order came: at the counter, by phone, on the card, or the same as before.")
	}
	if !HasSheet(a.Species) {
		return checkFreeOrder(w)
	}
	holds, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return false, err
	}
	about := cutting.About{TestZone: a.Disease != animal.NotNeeded && a.Disease != animal.NotDetected,
		Held: len(hold.Blocking(holds, hold.Pool)) > 0, Expected: expected(a).Clean}
	for _, h := range holds { // the order itself cannot wait for the order
		if h.Kind == hold.OrderIncomplete && len(hold.Blocking(holds, hold.Pool)) == 1 {
			about.Held = false
		}
	}
	if err := w.Order.Check(about); err != nil {
		return false, err
	}
	return len(w.Order.Gaps()) == 0, nil
}

// checkFreeOrder: livestock is written down in the owner's words; whoever writes
// says whether that is all.
func checkFreeOrder(w Written) (whole bool, err error) {
	for _, l := range w.Lines {
		if strings.TrimSpace(string(l.Part)) == "" || strings.TrimSpace(string(l.Treatment)) == "" {
			return false, domain.Wrong("lines", "Each line needs the part and what to do with it.")
		}
	}
	if w.Whole && len(w.Lines) == 0 {
		return false, domain.Wrong("lines", "The order has no lines yet. Write at least one before you call it complete.")
	}
	return w.Whole, nil
}

// writeOrder voids the version before and writes the new one.
func writeOrder(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID, before Order, w Written, whole bool) error {
	if before.Version > 0 {
		if _, err := tx.Exec(ctx, `UPDATE orders SET void_at = $2 WHERE id = $1`, before.ID, act.At); err != nil {
			return err
		}
	}
	order := uuid.Must(uuid.NewV7())
	if _, err := tx.Exec(ctx, `
		INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete, own_meat_only, added_meat, fall_back, note)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		order, id, before.Version+1, w.Source, act.Staff, act.At, whole, w.OwnMeatOnly, w.Added,
		strings.TrimSpace(w.FallBack), strings.TrimSpace(w.Note)); err != nil {
		return err
	}
	_, err := tx.CopyFrom(ctx, pgx.Identifier{"order_lines"},
		[]string{"order_id", "ord", "part", "treatment", "thickness", "size", "per_pack", "amount"},
		pgx.CopyFromSlice(len(w.Lines), func(i int) ([]any, error) {
			l := w.Lines[i]
			amount := strings.ToLower(strings.TrimSpace(l.Amount))
			if amount == "" {
				amount = string(cutting.All)
			}
			return []any{order, i + 1, string(l.Part), string(l.Treatment), l.Thickness, l.Size, l.PerPack, amount}, nil
		}))
	return err
}
