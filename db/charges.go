package db

import (
	"context"
	"strings"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"

	"github.com/jackc/pgx/v5"
)

// Extra is a line that stands on no price list: a fee, or, below zero, a credit.
type Extra struct {
	Label   string
	Cents   domain.Cents
	Taxable bool
	Why     string
}

func (e Extra) check() (Extra, error) {
	e.Label, e.Why = strings.TrimSpace(e.Label), strings.TrimSpace(e.Why)
	switch {
	case e.Label == "":
		return e, domain.Wrong("label", "Say what the line is for.")
	case e.Cents == 0:
		return e, domain.Wrong("amount", "Type the amount of the line.")
	case e.Why == "":
		return e, domain.Wrong("why", "Say why the line is added.")
	}
	return e, nil
}

// AddCharge writes one further line on the bill that is not taxed, with its reason.
func (db *DB) AddCharge(ctx context.Context, act Act, number domain.ShopNumber, label string, cents domain.Cents, why string) error {
	return db.AddExtra(ctx, act, number, Extra{Label: label, Cents: cents, Why: why})
}

// AddExtra writes one further line on the bill, with its reason. A credit only the
// lead or an owner gives. Before the bill is made the line waits for it and is taxed
// with it; after it, a taxable line brings its own line of tax.
func (db *DB) AddExtra(ctx context.Context, act Act, number domain.ShopNumber, e Extra) error {
	e, err := e.check()
	if err != nil {
		return err
	}
	return db.act(ctx, act, "charge", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		l := billing.Line{Code: "extra", Label: e.Label, Quantity: 1, Unit: billing.UnitEach, Price: e.Cents, Total: e.Cents, Taxable: e.Taxable, Why: e.Why}
		if e.Cents < 0 {
			if err := answersForShop(ctx, tx, act.Staff); err != nil {
				return line{}, err
			}
			credit, err := billing.Credit(-e.Cents, e.Why)
			if err != nil {
				return line{}, err
			}
			l.Code = credit.Code
		}
		if err := addLines(ctx, tx, act, a, []billing.Line{l}, ""); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "charge", Detail: map[string]any{"amount": e.Cents.String()}, Why: e.Label + ": " + e.Why}, nil
	})
}

// addLines puts further lines on the bill, with the taxes of the day on them once
// the bill is made.
func addLines(ctx context.Context, tx pgx.Tx, act Act, a Animal, lines []billing.Line, why string) error {
	if (Account{Animal: a}).IsBilled() {
		rates, err := taxRatesOn(ctx, tx, act.At)
		if err != nil {
			return err
		}
		lines = append(lines, billing.Tax(rates, lines)...)
	}
	if err := charge(ctx, tx, act, a, chargesOf(lines, why)...); err != nil {
		return err
	}
	return reckon(ctx, tx, a, animal.BillMore, 0)
}

// KeepDeposit keeps a deposit, or a part of it, for work that will not be billed:
// the owner did not come, or took the animal away. The lead or an owner does it and
// says why. It stands on the bill as a line of its own, which the deposit pays; what
// was taken beyond it is owed back.
func (db *DB) KeepDeposit(ctx context.Context, act Act, number domain.ShopNumber, cents domain.Cents, why string) error {
	switch why = strings.TrimSpace(why); {
	case why == "":
		return domain.Wrong("why", "Say why the deposit is kept.")
	case cents <= 0:
		return domain.Wrong("amount", "Type how much is kept.")
	}
	return db.act(ctx, act, "keep deposit", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := answersForShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if a.Money != animal.DepositTaken {
			return line{}, domain.Refuse("money", "There is no deposit waiting for a bill. What is on a bill is settled there.")
		}
		acc, err := account(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if held := -acc.Invoice().Balance(); cents > held {
			return line{}, domain.Wrong("amount", "Only %v of the deposit is left to keep.", max(held, 0))
		}
		kept := Charge{Code: "deposit-kept", Label: "Deposit kept", Quantity: 1, Unit: billing.UnitEach, PriceCents: cents, TotalCents: cents, Why: why}
		if err := charge(ctx, tx, act, a, kept); err != nil {
			return line{}, err
		}
		if err := reckon(ctx, tx, a, animal.Bill, 0); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "keep-deposit", Detail: map[string]any{"amount": cents.String()}, Why: why}, nil
	})
}
