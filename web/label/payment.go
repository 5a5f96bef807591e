package label

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// receipt is what the owner takes home about the money: the bill, what was
// paid, what left and what remains (trade.md 7.2).
type receipt struct {
	db.Account
	Invoice   billing.Invoice
	Owner     string
	Payment   *db.Payment // the one it is printed for; nil: all of it
	Handovers []db.Handover
	Code      Symbol
	Share     *db.ShareAccount // of a shared animal: the one owner it is for
}

// Payment serves GET /animals/{number}/payments/{receipt}: one payment.
func (p *Pages) Payment(w http.ResponseWriter, r *http.Request) error {
	n, err := strconv.ParseInt(chi.URLParam(r, "receipt"), 10, 64)
	if err != nil {
		return domain.Missing("There is no such receipt.")
	}
	number := ui.ShopNumber(r)
	paid, err := p.DB.Payment(r.Context(), number, n)
	if err != nil {
		return err
	}
	return p.receipt(w, r, number, &paid)
}

// Receipt serves GET /animals/{number}/receipt: the bill with all payments.
func (p *Pages) Receipt(w http.ResponseWriter, r *http.Request) error {
	return p.receipt(w, r, ui.ShopNumber(r), nil)
}

func (p *Pages) receipt(w http.ResponseWriter, r *http.Request, number domain.ShopNumber, paid *db.Payment) (err error) {
	s := receipt{Payment: paid}
	if s.Account, err = p.DB.Account(r.Context(), number); err != nil {
		return err
	}
	s.Invoice = s.Account.Invoice()
	if err := p.forShare(r, &s); err != nil {
		return err
	}
	if s.Share != nil {
		s.Code, err = Code128(number.Digits(), Plain, 12)
		if err == nil {
			err = ui.Render(w, r, http.StatusOK, receiptSheet(s))
		}
		return err
	}
	if s.Owner, err = p.DB.OwnerOf(r.Context(), number); err != nil {
		return err
	}
	if s.Handovers, err = p.DB.Handovers(r.Context(), s.Animal.ID); err != nil {
		return err
	}
	if s.Code, err = Code128(number.Digits(), Plain, 12); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, receiptSheet(s))
}

// forShare leaves nothing on the paper of a shared animal but the one share it is
// for: no line, payment or name of another owner.
func (p *Pages) forShare(r *http.Request, s *receipt) error {
	accounts, err := p.DB.ShareAccounts(r.Context(), s.Animal)
	if err != nil || len(accounts) == 0 {
		return err
	}
	portion := cutting.Portion(strings.TrimPrefix(r.FormValue("share"), "-"))
	if s.Payment != nil {
		portion = s.Payment.Portion
	} else if r.FormValue("share") == "" {
		return domain.Refuse("share", "This animal is shared. Print each owner's own receipt, from its page of money.")
	}
	for _, a := range accounts {
		if a.Portion == portion {
			s.Share = &a
		}
	}
	if s.Share == nil {
		return domain.Missing("There is no such share of %s.", string(s.Animal.Number))
	}
	s.Owner, s.Invoice, s.Payments, s.Charges = s.Share.Whose, s.Share.Invoice(), s.Share.Payments, nil
	for _, l := range s.Share.Lines {
		s.Charges = append(s.Charges, db.Charge{Code: shareCode, Label: l.Label, Why: l.Why, TotalCents: l.Cents})
	}
	return nil
}

// shareCode marks a line that is one share's part.
const shareCode = "share"

func receiptTitle(ctx context.Context, s receipt) string {
	if s.Payment == nil {
		return ui.T(ctx, "Receipt for %s", string(s.Animal.Number))
	}
	return ui.T(ctx, "Receipt No. %s", strconv.FormatInt(s.Payment.Receipt, 10))
}

// paidWords says one payment, such as "Deposit, cash".
func paidWords(ctx context.Context, p db.Payment) string {
	what := ui.T(ctx, "Payment")
	switch p.Purpose {
	case billing.Deposit:
		what = ui.T(ctx, "Deposit")
	case billing.Refund:
		what = ui.T(ctx, "Given back")
	}
	ways := map[string]string{"cash": ui.T(ctx, "cash"), "check": ui.T(ctx, "check"), "card": ui.T(ctx, "card"), "other": ui.T(ctx, "other")}
	return ui.T(ctx, "%s, %s", what, ways[p.Way])
}

// chargedWords says how a line was reckoned, such as "62.4 lb at $0.95".
func chargedWords(ctx context.Context, c db.Charge) string {
	switch c.Code {
	case shareCode:
		return ui.T(ctx, "your share")
	case billing.TaxCode:
		return "" // its rate and sum stand beside its name
	}
	if c.Unit == billing.UnitLb {
		return ui.T(ctx, "%s lb at %s", strconv.FormatFloat(c.Quantity, 'f', 1, 64), c.PriceCents.String())
	}
	return ui.T(ctx, "%s at %s", strconv.FormatFloat(c.Quantity, 'f', 0, 64), c.PriceCents.String())
}

// paidAmount takes a payment off the bill; before there is one it is what was paid in.
func paidAmount(s receipt, p db.Payment) domain.Cents {
	if !s.IsBilled() {
		return p.Cents
	}
	return -p.Cents
}

// balanceWords says what is still open.
func balanceWords(ctx context.Context, s receipt) (label, amount string) {
	b := s.Invoice.Balance()
	switch {
	case !s.IsBilled():
		return ui.T(ctx, "Paid in; the bill follows when it is cut"), s.Invoice.Received().String()
	case b < 0:
		return ui.T(ctx, "Owed back to you"), (-b).String()
	}
	return ui.T(ctx, "Still to pay"), b.String()
}

func leftWords(ctx context.Context, h db.Handover) string {
	said := ui.T(ctx, "%s: %s", h.At, ui.T(ctx, "%d boxes", h.Boxes))
	if h.TagReturned {
		said = ui.T(ctx, "%s and the state's tag", said)
	}
	if h.Remains != "" {
		return ui.T(ctx, "%s. Still here: %s.", said, h.Remains)
	}
	return ui.T(ctx, "%s. Nothing is left here.", said)
}
