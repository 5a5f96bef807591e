package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// Order is one version of what the owner wants done with an animal, or with their
// portion of it. Void says when a newer one took its place; one that stands is
// not void.
type Order struct {
	ID        uuid.UUID
	Age       domain.Words // of cattle that count as 30 months or older; no format: nothing
	Version   int          // counted over all portions of the animal
	Source    string       // counter, phone, card or repeat
	Caller    string       // who was on the phone
	WrittenBy string       // initials
	WrittenAt time.Time
	Complete  bool
	Note      string
	VoidAt    *time.Time
	Days      cutting.Days
	cutting.Order
}

// OrderSources lists how an order reaches the shop.
var OrderSources = []string{"counter", "phone", "card", "repeat"}

// Written is an order as it was taken down.
type Written struct {
	cutting.Order
	Source string // one of OrderSources
	Caller string // by phone: who called
	Note   string
	Days   cutting.Days
	Told   bool // the owner knows that the days they wanted were shortened
	After  int  // the version the writer had before them; 0: none
}

// About is what an order for the animal is held against, as far as its own row
// says; holds come to it in TakeOrder.
func (db *DB) About(ctx context.Context, a Animal) (cutting.About, error) {
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return cutting.About{}, err
	}
	return numbers.aboutKilled(ctx, db.pool, a)
}

// aboutKilled adds what the kill entry says of the age of cattle, and into how many
// shares the state lets it be sold.
func (n *Numbers) aboutKilled(ctx context.Context, q querier, a Animal) (cutting.About, error) {
	about := n.about(a)
	lines, err := killLines(ctx, q, a.ID)
	if err != nil {
		return about, err
	}
	if len(lines) > 0 {
		about.Months = lines[len(lines)-1].ThirtyMonths
	}
	about.Shares, err = shareLimit(ctx, q, a)
	return about, err
}

func (n *Numbers) about(a Animal) cutting.About {
	e := n.Expected(a)
	return cutting.About{Species: a.Species, Form: a.Form, Damaged: a.Door == "damaged", Expected: e.Clean, Usual: e.Typical,
		TestZone: a.Disease != animal.NotNeeded && a.Disease != animal.NotDetected}
}

// NewestOrder returns the order written last; found is false where there is
// none. Of a shared animal the others stand beside it: StandingOrders.
func (db *DB) NewestOrder(ctx context.Context, number domain.ShopNumber) (o Order, found bool, err error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return o, false, err
	}
	o, err = newestOrder(ctx, db.pool, a.ID)
	return o, o.Version > 0, err
}

// StandingOrders returns the orders that count now: one, or one a portion.
func (db *DB) StandingOrders(ctx context.Context, number domain.ShopNumber) ([]Order, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return nil, err
	}
	return ordersOf(ctx, db.pool, a.ID, `AND o.void_at IS NULL ORDER BY o.portion LIMIT 10`)
}

// OrderVersions returns every version that was ever written, the newest first.
func (db *DB) OrderVersions(ctx context.Context, number domain.ShopNumber) ([]Order, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return nil, err
	}
	return ordersOf(ctx, db.pool, a.ID, `ORDER BY o.version DESC LIMIT 50`)
}

// newestOrder returns the zero Order where there is none.
func newestOrder(ctx context.Context, q querier, id uuid.UUID) (Order, error) {
	list, err := ordersOf(ctx, q, id, `ORDER BY o.version DESC LIMIT 1`)
	if err != nil || len(list) == 0 {
		return Order{}, err
	}
	return list[0], nil
}

// ordersOf reads orders of an animal with their lines. Which says the rest of
// the condition, and the order.
func ordersOf(ctx context.Context, q querier, id uuid.UUID, which string) ([]Order, error) {
	type row struct {
		ID          uuid.UUID
		Version     int
		Source      string
		Caller      string
		WrittenBy   string
		WrittenAt   time.Time
		Complete    bool
		Note        string
		VoidAt      *time.Time
		OwnMeatOnly bool
		Added       cutting.AddedMeat
		FallBack    string
		Portion     cutting.Portion
		ForWhom     string
		Lost        []cutting.Part
		DaysWanted  int
		DaysSettled int
		DaysWhy     string
	}
	rows, err := all[row](ctx, q, `
		SELECT o.id, o.version, o.source, o.caller, s.initials AS written_by, o.written_at, o.complete, o.note, o.void_at, o.own_meat_only,
		       o.added_meat AS added, o.fall_back, o.portion, o.for_whom, o.lost,
		       o.days_wanted, o.days_settled, o.days_why
		FROM orders o JOIN staff s ON s.id = o.written_by WHERE o.animal_id = $1 `+which, id)
	if err != nil {
		return nil, err
	}
	age, err := ageOf(ctx, q, id)
	if err != nil {
		return nil, err
	}
	list := make([]Order, len(rows))
	for i, r := range rows {
		list[i] = Order{ID: r.ID, Age: age.AgeWords(), Version: r.Version, Source: r.Source, Caller: r.Caller, WrittenBy: r.WrittenBy, WrittenAt: r.WrittenAt,
			Complete: r.Complete, Note: r.Note, VoidAt: r.VoidAt, Days: cutting.Days{Wanted: r.DaysWanted, Settled: r.DaysSettled, Why: r.DaysWhy}, Order: cutting.Order{OwnMeatOnly: r.OwnMeatOnly, Added: r.Added,
				FallBack: r.FallBack, Portion: r.Portion, ForWhom: r.ForWhom, Lost: r.Lost}}
		if list[i].Lines, err = all[cutting.Line](ctx, q, `
			SELECT part, treatment, thickness, size, per_pack, amount, flavour, fat FROM order_lines WHERE order_id = $1 ORDER BY ord LIMIT 100`, r.ID); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// LastOrder is what the same owner had done with the same kind of animal before.
type LastOrder struct {
	Order
	Number domain.ShopNumber
	Day    time.Time // when that animal came in
}

// LastOrder finds the newest whole order of the animal's owner for another animal
// of the same kind: "the same as last year". Found is false where there is none.
func (db *DB) LastOrder(ctx context.Context, number domain.ShopNumber) (last LastOrder, found bool, err error) {
	type row struct {
		ID     uuid.UUID
		Number domain.ShopNumber
		Day    time.Time
	}
	r, found, err := one[row](ctx, db.pool, `
		SELECT b.id, b.number, b.received_at AS day FROM animals a
		JOIN animal_people mine ON mine.animal_id = a.id AND mine.role = 'owner'
		JOIN animal_people his ON his.person_id = mine.person_id AND his.role = 'owner'
		JOIN animals b ON b.id = his.animal_id AND b.id <> a.id AND b.species = a.species
		WHERE a.number = $1 AND EXISTS (SELECT FROM orders o WHERE o.animal_id = b.id AND o.complete AND o.void_at IS NULL AND o.portion = '')
		ORDER BY b.received_at DESC LIMIT 1`, number)
	if err != nil || !found {
		return last, false, err
	}
	o, err := newestOrder(ctx, db.pool, r.ID)
	return LastOrder{Order: o, Number: r.Number, Day: r.Day}, err == nil, err
}
