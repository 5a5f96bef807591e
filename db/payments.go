package db

import (
	"context"
	"strings"
	"time"
	"unicode/utf8"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Payment is money taken or given back, on a numbered receipt.
type Payment struct {
	Receipt int64
	Purpose billing.Purpose
	Way     string       // cash, check, card or other
	Cents   domain.Cents // below zero for a refund
	Why     string
	Portion cutting.Portion // of a shared animal: whose share it is for
	Payer   string          // who paid, where it was not the owner
	At      time.Time
	By      string // initials
}

// Paying says for which share of a shared animal money is, and who paid it.
type Paying struct {
	Portion cutting.Portion
	Payer   string
}

// TakeDeposit takes money before the bill is made. Answers with the receipt.
func (db *DB) TakeDeposit(ctx context.Context, act Act, number domain.ShopNumber, cents domain.Cents, way string, from ...Paying) (Payment, error) {
	return db.pay(ctx, act, number, Payment{Purpose: billing.Deposit, Way: way, Cents: cents}, from)
}

// Pay takes money towards a bill that has been made, never more than is owed.
func (db *DB) Pay(ctx context.Context, act Act, number domain.ShopNumber, cents domain.Cents, way string, from ...Paying) (Payment, error) {
	return db.pay(ctx, act, number, Payment{Purpose: billing.Paid, Way: way, Cents: cents}, from)
}

// Refund gives back a deposit, or what is owed back after a credit. The lead or
// an owner does it and says why. Cents is what goes back, above zero.
func (db *DB) Refund(ctx context.Context, act Act, number domain.ShopNumber, cents domain.Cents, way, why string, from ...Paying) (Payment, error) {
	if why = strings.TrimSpace(why); why == "" {
		return Payment{}, domain.Wrong("why", "Say why the money goes back.")
	}
	if cents <= 0 {
		return Payment{}, domain.Wrong("amount", "Type how much goes back.")
	}
	return db.pay(ctx, act, number, Payment{Purpose: billing.Refund, Way: way, Cents: -cents, Why: why}, from)
}

// longestPayer is as many letters as the row of a payment takes for who paid it.
const longestPayer = 100

// pay writes p under the next receipt number and moves the money track. The
// payment has the act's own id, so that the same act sent twice finds it again.
func (db *DB) pay(ctx context.Context, act Act, number domain.ShopNumber, p Payment, from []Paying) (Payment, error) {
	for _, f := range from {
		p.Portion, p.Payer = f.Portion, tidy(f.Payer)
	}
	if p.Way != "cash" && p.Way != "check" && p.Way != "card" && p.Way != "other" {
		return p, domain.Wrong("way", "Choose how it was paid.")
	}
	if utf8.RuneCountInString(p.Payer) > longestPayer {
		return p, domain.Wrong("payer", "That is too long for one field. Nothing was changed. Say it in fewer words.")
	}
	err := db.act(ctx, act, string(p.Purpose), func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if p.Purpose == billing.Refund {
			if err := answersForShop(ctx, tx, act.Staff); err != nil {
				return line{}, err
			}
		}
		acc, err := account(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if err := reckonPayment(ctx, tx, a, p); err != nil {
			return line{}, err
		}
		if err := acc.Invoice().CheckPayment(billing.Payment{Purpose: p.Purpose, Cents: p.Cents}); err != nil {
			return line{}, err
		}
		if err := checkShare(ctx, tx, a, p); err != nil {
			return line{}, err
		}
		if p.Receipt, err = nextReceipt(ctx, tx); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO payments (id, receipt, animal_id, purpose, way, cents, why, at, by_staff, portion, payer)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
			act.ID, p.Receipt, a.ID, p.Purpose, p.Way, p.Cents, p.Why, act.At, act.Staff, p.Portion, p.Payer)
		detail := map[string]any{"amount": p.Cents.String(), "way": p.Way, "receipt": p.Receipt}
		if p.Portion != cutting.WholeAnimal {
			detail["share"] = string(p.Portion)
		}
		return line{Animal: a.ID, What: paymentWhat[p.Purpose], Detail: detail, Why: p.Why}, err
	})
	if err != nil {
		return p, err
	}
	return db.paymentOf(ctx, act.ID)
}

// paymentWhat is the verb on the time line.
var paymentWhat = map[billing.Purpose]string{billing.Deposit: "deposit", billing.Paid: "pay", billing.Refund: "refund"}

// paymentStep is the step of the money track. What goes back before the bill is
// the deposit, after it the credit.
func paymentStep(purpose billing.Purpose, m animal.Money) animal.Step {
	switch purpose {
	case billing.Deposit:
		return animal.TakeDeposit
	case billing.Paid:
		return animal.Pay
	}
	if m == animal.Quoted || m == animal.DepositTaken {
		return animal.RefundDeposit
	}
	return animal.Refund
}

// reckonPayment moves the money track by a payment. What goes back to one owner of a
// shared animal needs that owner's credit, not the whole animal's.
func reckonPayment(ctx context.Context, tx pgx.Tx, a Animal, p Payment) error {
	step := paymentStep(p.Purpose, a.Money)
	if step != animal.Refund {
		return reckon(ctx, tx, a, step, p.Cents)
	}
	shares, err := portionsOf(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	if len(shares) == 0 {
		return reckon(ctx, tx, a, step, p.Cents)
	}
	billed, paid, err := sums(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	to := a.Tracks()
	if to.Money, err = to.Money.RefundShare(billed, paid+p.Cents); err != nil {
		return err
	}
	return setTracks(ctx, tx, a, to)
}

// reckon lets the domain move the money track by step, with more paid in (or
// given back) than the account says so far.
func reckon(ctx context.Context, tx pgx.Tx, a Animal, step animal.Step, more domain.Cents) error {
	billed, paid, err := sums(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	to := a.Tracks()
	if to.Money, err = to.Money.Reckon(step, billed, paid+more); err != nil {
		return err
	}
	return setTracks(ctx, tx, a, to)
}

// sums adds the lines of the bill and the payments of one animal.
func sums(ctx context.Context, q querier, id uuid.UUID) (billed, paid domain.Cents, err error) {
	err = q.QueryRow(ctx, `
		SELECT (SELECT coalesce(sum(total_cents), 0)::bigint FROM charges WHERE animal_id = $1),
		       (SELECT coalesce(sum(cents), 0)::bigint FROM payments WHERE animal_id = $1)`, id).Scan(&billed, &paid)
	return billed, paid, err
}

// nextReceipt takes the next receipt number. The lock is held until the
// transaction ends, so a payment that fails gives its number back and leaves no
// gap, and no two payments get the same.
func nextReceipt(ctx context.Context, tx pgx.Tx) (n int64, err error) {
	if _, err = tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('receipt numbers'))`); err != nil {
		return 0, err
	}
	err = tx.QueryRow(ctx, `SELECT coalesce(max(receipt), 0) + 1 FROM payments`).Scan(&n)
	return n, err
}

// answersForShop refuses whoever is neither lead nor owner.
func answersForShop(ctx context.Context, q querier, staff uuid.UUID) error {
	var may bool
	err := q.QueryRow(ctx, `SELECT EXISTS (SELECT FROM staff WHERE id = $1 AND roles && ARRAY['lead', 'owner'])`, staff).Scan(&may)
	if err == nil && !may {
		err = domain.Refuse("lead", "Only the lead or an owner may do this. Hand them the tablet.")
	}
	return err
}

const paymentColumns = `p.receipt, p.purpose, p.way, p.cents, p.why, p.portion, p.payer, p.at, s.initials AS by`

func (db *DB) paymentOf(ctx context.Context, act uuid.UUID) (Payment, error) {
	p, found, err := one[Payment](ctx, db.pool, `
		SELECT `+paymentColumns+` FROM payments p JOIN staff s ON s.id = p.by_staff WHERE p.id = $1`, act)
	if err == nil && !found {
		err = domain.Taken("This form was already sent for something else. Open it again.")
	}
	return p, err
}

// Payment finds one by its receipt, which must be the animal's.
func (db *DB) Payment(ctx context.Context, number domain.ShopNumber, receipt int64) (Payment, error) {
	p, found, err := one[Payment](ctx, db.pool, `
		SELECT `+paymentColumns+` FROM payments p JOIN staff s ON s.id = p.by_staff JOIN animals a ON a.id = p.animal_id
		WHERE p.receipt = $1 AND a.number = $2`, receipt, number)
	if err == nil && !found {
		err = domain.Missing("There is no receipt %d for %s.", receipt, string(number))
	}
	return p, err
}
