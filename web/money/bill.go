package money

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/web/ui"
)

// Bill serves POST /animals/{number}/money/bill: of everything, or of what is there.
func (p *Pages) Bill(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "bill", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		done, err := p.besides(ctx, n, f)
		if err != nil {
			return err
		}
		if f.Later {
			return p.DB.BillPart(ctx, act, n, done...)
		}
		return p.DB.Bill(ctx, act, n, done...)
	})
}

// BillRest serves POST /animals/{number}/money/rest: what was packed since the bill.
func (p *Pages) BillRest(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "rest", func(ctx context.Context, act db.Act, n domain.ShopNumber, _ form) error {
		return p.DB.BillRest(ctx, act, n)
	})
}

// Charge serves POST /animals/{number}/money/charge: a further line, or a credit.
func (p *Pages) Charge(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "charge", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		cents, err := ui.ReadMoney(ctx, "amount", f.Amount)
		if err != nil {
			return err
		}
		if f.Kind == "credit" {
			cents = -cents
		}
		return p.DB.AddExtra(ctx, act, n, db.Extra{Label: f.Label, Cents: cents, Taxable: f.Taxable, Why: f.Why})
	})
}

// Keep serves POST /animals/{number}/money/keep: the deposit, or some of it, stays
// with the shop.
func (p *Pages) Keep(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "keep", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		cents, err := ui.ReadMoney(ctx, "amount", f.Amount)
		if err != nil {
			return err
		}
		return p.DB.KeepDeposit(ctx, act, n, cents, f.Why)
	})
}

// extras are the prices of the animal's list that are charged only when somebody
// says so.
func (p *Pages) extras(ctx context.Context, a db.Animal) ([]db.PriceItem, error) {
	items, err := p.DB.PriceItems(ctx, a.PriceListID)
	return slices.DeleteFunc(items, func(i db.PriceItem) bool {
		return len(i.Species) > 0 || len(i.Treatments) > 0 || strings.HasPrefix(i.Code, "deposit")
	}), err
}

// counted reports whether an extra is counted or weighed, not only ticked.
func counted(i db.PriceItem) bool {
	return i.Basis == string(billing.Each) || i.Basis == string(billing.LbFinished)
}

// besides is what was ticked, counted and weighed on the form.
func (p *Pages) besides(ctx context.Context, n domain.ShopNumber, f form) (done []billing.Done, err error) {
	a, err := p.DB.Animal(ctx, n)
	if err != nil {
		return nil, err
	}
	extras, err := p.extras(ctx, a)
	if err != nil {
		return nil, err
	}
	for _, it := range extras {
		typed, field := strings.TrimSpace(f.Much[it.Code]), "much-"+it.Code
		d := billing.Done{Code: it.Code}
		switch {
		case !counted(it):
			if !slices.Contains(f.Ticked, it.Code) {
				continue
			}
		case typed == "":
			continue
		case it.Basis == string(billing.LbFinished):
			if d.Finished, err = ui.ReadWeight(ctx, field, typed); err != nil {
				return nil, err
			}
		default:
			if d.Count, err = strconv.Atoi(typed); err != nil || d.Count < 1 || d.Count > 999 {
				return nil, domain.Wrong(field, "Count them: a whole number from 1 to 999, or leave it empty.")
			}
		}
		done = append(done, d)
	}
	return done, nil
}

// muchTyped are the counts and weights on the form, by code.
func muchTyped(form url.Values) map[string]string {
	much := map[string]string{}
	for name, values := range form {
		if code, ok := strings.CutPrefix(name, "much-"); ok && len(values) > 0 {
			much[code] = values[0]
		}
	}
	return much
}

// muchUnit stands behind what is counted or weighed of an extra.
func muchUnit(ctx context.Context, i db.PriceItem) string {
	if i.Basis == string(billing.LbFinished) {
		return ui.WeightUnit(ctx)
	}
	return ui.T(ctx, "times")
}

// muchHint is its price and, of one by the pound, how much is packed in all.
func muchHint(ctx context.Context, v view, i db.PriceItem) string {
	if i.Basis == string(billing.LbFinished) {
		return ui.T(ctx, "%s a pound finished. Packed so far: %s", i.PriceCents.String(), ui.Weight(ctx, v.Next.Packed))
	}
	return ui.T(ctx, "%s each", i.PriceCents.String())
}

// billFields are those of the bill's form that show their own errors.
func billFields(v view) []string {
	fields := []string{"pin", "later"}
	for _, i := range v.Extras {
		fields = append(fields, "much-"+i.Code)
	}
	return fields
}

// laterWords names what is still to come.
func laterWords(v view) string {
	labels := make([]string, len(v.Next.Later))
	for i, item := range v.Next.Later {
		labels[i] = item.Label
	}
	return strings.Join(labels, ", ")
}
