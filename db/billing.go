package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Charge is one line of a bill, as printed.
type Charge struct {
	Code       string
	Label      string
	Quantity   float64
	Unit       billing.Unit
	PriceCents domain.Cents
	TotalCents domain.Cents
	Taxable    bool
	Why        string
	At         time.Time
	By         string // initials
}

// line is the charge as the domain reckons with it.
func (c Charge) line() billing.Line {
	return billing.Line{Code: c.Code, Label: c.Label, Quantity: c.Quantity, Unit: c.Unit, Price: c.PriceCents, Total: c.TotalCents,
		Taxable: c.Taxable, Why: c.Why}
}

// Account is the money of one animal: what was charged, what was paid.
type Account struct {
	Animal   Animal
	Charges  []Charge
	Payments []Payment
}

// Invoice is the account as the domain reckons with it: its total is the sum of
// the printed lines.
func (a Account) Invoice() billing.Invoice {
	var i billing.Invoice
	for _, c := range a.Charges {
		i.Lines = append(i.Lines, c.line())
	}
	for _, p := range a.Payments {
		i.Payments = append(i.Payments, billing.Payment{Purpose: p.Purpose, Cents: p.Cents})
	}
	return i
}

// IsBilled reports whether the bill has been made.
func (a Account) IsBilled() bool {
	return a.Animal.Money != animal.Quoted && a.Animal.Money != animal.DepositTaken
}

// maxLines bounds what one bill or one list of payments can hold.
const maxLines = 500

// Account reads the money of one animal.
func (db *DB) Account(ctx context.Context, number domain.ShopNumber) (Account, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return Account{}, err
	}
	return account(ctx, db.pool, a)
}

func account(ctx context.Context, q querier, a Animal) (acc Account, err error) {
	acc.Animal = a
	if acc.Charges, err = all[Charge](ctx, q, `
		SELECT c.code, c.label, c.quantity, c.unit, c.price_cents, c.total_cents, c.taxable, c.why, c.at, s.initials AS by
		FROM charges c JOIN staff s ON s.id = c.by_staff WHERE c.animal_id = $1 ORDER BY c.at, c.id LIMIT $2`, a.ID, maxLines); err != nil {
		return acc, err
	}
	acc.Payments, err = all[Payment](ctx, q, `
		SELECT `+paymentColumns+` FROM payments p JOIN staff s ON s.id = p.by_staff WHERE p.animal_id = $1 ORDER BY p.receipt LIMIT $2`,
		a.ID, maxLines)
	return acc, err
}

// Bill makes the bill from the price list that bound at drop-off: what applies
// to the animal and its order by itself, what was ticked besides, and the taxes of
// the day on the lines marked taxable. A deposit counts towards it at once. Where
// something priced by the finished pound is still to come it is refused: BillPart
// bills what is there, BillRest what is packed later.
func (db *DB) Bill(ctx context.Context, act Act, number domain.ShopNumber, ticked ...billing.Done) error {
	return db.bill(ctx, act, number, false, ticked)
}

// BillPart makes the bill of what is packed; the rest is billed later.
func (db *DB) BillPart(ctx context.Context, act Act, number domain.ShopNumber, ticked ...billing.Done) error {
	return db.bill(ctx, act, number, true, ticked)
}

func (db *DB) bill(ctx context.Context, act Act, number domain.ShopNumber, part bool, ticked []billing.Done) error {
	return db.act(ctx, act, "bill", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if a.Physical.InHouse() && !a.Physical.Cut() {
			return line{}, domain.Refuse("bill", "It is %s. Bill it when it is cut and weighed; take a deposit until then.", a.Physical.Words())
		}
		if err := billOnce(a); err != nil {
			return line{}, err
		}
		q, err := readQuote(ctx, tx, a, act.At)
		if err != nil {
			return line{}, err
		}
		if later := q.later(); len(later) > 0 && !part {
			return line{}, domain.Wrong("later", "Still to come, and priced by the finished pound: %s. Bill it when it is packed, or tick that the rest is billed later.", later[0].Label)
		}
		lines, err := q.lines(part, ticked)
		if err != nil {
			return line{}, err
		}
		if len(lines) == 0 {
			return line{}, domain.Refuse("prices", "Nothing on the price list of this animal applies to it by itself. Tick what was done.")
		}
		if err := charge(ctx, tx, act, a, chargesOf(append(lines, q.taxes(lines)...), "")...); err != nil {
			return line{}, err
		}
		if err := reckon(ctx, tx, a, animal.Bill, 0); err != nil {
			return line{}, err
		}
		billed, _, err := sums(ctx, tx, a.ID)
		if err == nil {
			err = db.tellReady(ctx, tx, act, number)
		}
		return line{Animal: a.ID, What: "bill", Detail: map[string]any{"lines": len(lines), "total": billed.String()}}, err
	})
}

// billOnce says early, before anything is reckoned, that there is a bill already.
func billOnce(a Animal) error {
	_, err := a.Money.Do(animal.Bill)
	return err
}

// chargesOf are lines as the bill keeps them, with why where the line says nothing
// of its own.
func chargesOf(lines []billing.Line, why string) []Charge {
	charges := make([]Charge, len(lines))
	for i, l := range lines {
		charges[i] = Charge{Code: l.Code, Label: l.Label, Quantity: l.Quantity, Unit: l.Unit, PriceCents: l.Price, TotalCents: l.Total,
			Taxable: l.Taxable, Why: why}
		if l.Why != "" {
			charges[i].Why = l.Why
		} else if l.Minimum {
			charges[i].Why = "minimum charge"
		}
	}
	return charges
}

// worked is what the price list is held against: the treatments ordered
// and the finished weight of each.
func worked(ctx context.Context, q querier, a Animal) (billing.Animal, error) {
	w := billing.Animal{Species: a.Species, Form: a.Form, Ordered: map[string]int{}, Packed: map[string]domain.Kilogram{}}
	type sum struct {
		Name string
		N    int
		Kg   domain.Kilogram
	}
	rows, err := all[sum](ctx, q, `
		SELECT l.treatment AS name, count(*)::int AS n, 0::float8 AS kg FROM order_lines l WHERE l.order_id IN (
		  SELECT id FROM orders WHERE animal_id = $1 AND void_at IS NULL) GROUP BY l.treatment
		UNION ALL
		SELECT cut, 0, sum(net_kg) FROM packs WHERE animal_id = $1 GROUP BY cut`, a.ID)
	if err != nil {
		return w, err
	}
	for _, r := range rows {
		if r.N > 0 {
			w.Ordered[r.Name] = r.N
		} else {
			w.Packed[string(cutting.TreatmentIn(r.Name))] += r.Kg
		}
	}
	return w, nil
}

// charge writes lines on the bill.
func charge(ctx context.Context, tx pgx.Tx, act Act, a Animal, lines ...Charge) error {
	batch := &pgx.Batch{}
	for _, c := range lines {
		batch.Queue(`
			INSERT INTO charges (id, animal_id, code, label, quantity, unit, price_cents, total_cents, taxable, why, at, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
			uuid.Must(uuid.NewV7()), a.ID, c.Code, c.Label, c.Quantity, c.Unit, c.PriceCents, c.TotalCents, c.Taxable, c.Why, act.At, act.Staff)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return err
	}
	return partCharges(ctx, tx, act, a)
}
