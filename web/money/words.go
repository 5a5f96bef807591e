package money

import (
	"context"
	"slices"
	"strconv"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/web/ui"
)

// whose is whose money it is about, what was brought and how the bill stands.
func whose(ctx context.Context, v view) string {
	said := ui.T(ctx, "%s, %s", v.Animal.Species.Words(), v.Animal.Money.Words())
	if v.Owner == "" {
		return said
	}
	return ui.T(ctx, "%s, %s", ui.Named(ctx, v.Owner), said)
}

func wayOptions(ctx context.Context) []ui.Option {
	var options []ui.Option
	for _, way := range []string{"cash", "check", "card", "other"} {
		options = append(options, ui.Option{Value: way, Label: wayWords(ctx, way)})
	}
	return options
}

func wayWords(ctx context.Context, way string) string {
	switch way {
	case "cash":
		return ui.T(ctx, "Cash")
	case "check":
		return ui.T(ctx, "Check")
	case "card":
		return ui.T(ctx, "Card")
	}
	return ui.T(ctx, "Other")
}

func purposeWords(ctx context.Context, p billing.Purpose) string {
	switch p {
	case billing.Deposit:
		return ui.T(ctx, "Deposit")
	case billing.Refund:
		return ui.T(ctx, "Given back")
	}
	return ui.T(ctx, "Payment")
}

// quantity is what a line counts, such as "62.4 lb" or "1".
func quantity(ctx context.Context, q float64, unit billing.Unit) string {
	if unit == billing.UnitLb {
		return ui.T(ctx, "%s lb", strconv.FormatFloat(q, 'f', 1, 64))
	}
	return strconv.FormatFloat(q, 'f', 0, 64)
}

// extraOptions are the extras that are ticked.
func extraOptions(items []db.PriceItem) (options []ui.Option) {
	for _, it := range items {
		if !counted(it) {
			options = append(options, ui.Option{Value: it.Code, Label: it.Label, Note: it.PriceCents.String()})
		}
	}
	return options
}

// balanceFigure is the one number the counter is asked for.
func balanceFigure(ctx context.Context, v view) (value, label string) {
	b := v.Invoice.Balance()
	switch {
	case !v.IsBilled():
		return v.Invoice.Received().String(), ui.T(ctx, "Paid in so far")
	case b < 0:
		return (-b).String(), ui.T(ctx, "Owed back")
	case b == 0:
		return b.String(), ui.T(ctx, "All paid")
	}
	return b.String(), ui.T(ctx, "To pay")
}

// mayRefund reports whether there is anything to give back.
func mayRefund(v view) bool {
	inCredit := func(s db.ShareAccount) bool { return s.Balance() < 0 }
	return v.Lead && (v.Invoice.Balance() < 0 || v.IsBilled() && slices.ContainsFunc(v.Shares, inCredit))
}

// mayKeep reports whether there is a deposit to keep for work that is not billed.
func mayKeep(v view) bool {
	return v.Lead && v.Animal.Money == animal.DepositTaken && v.Invoice.Balance() < 0
}

// payerLabel asks for whoever the money comes from, or goes back to.
func payerLabel(ctx context.Context, which string) string {
	if which == "refund" {
		return ui.T(ctx, "Who gets it, if not the owner")
	}
	return ui.T(ctx, "Who pays, if not the owner")
}

func payerSaid(ctx context.Context, p db.Payment) string {
	if p.Purpose == billing.Refund {
		return ui.T(ctx, "given to %s", p.Payer)
	}
	return ui.T(ctx, "paid by %s", p.Payer)
}
