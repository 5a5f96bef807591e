package office

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// taxView is what is taxed now, what was and will be.
type taxView struct {
	Now    []billing.Rate
	Rates  []db.TaxRate
	Today  time.Time
	Taxed  []db.PriceItem // of the list in force
	Others int            // prices of the list that are not taxed
	Form   url.Values
	Wrong  *domain.Error
}

// ShowTax serves GET /office/tax.
func (p *Pages) ShowTax(w http.ResponseWriter, r *http.Request) error {
	v, err := p.tax(r.Context())
	if err != nil {
		return err
	}
	v.Form = url.Values{"act": {signin.NewAct()}, "seen": {strconv.Itoa(len(v.Rates))}}
	return ui.Render(w, r, http.StatusOK, taxPage(v))
}

// SetTax serves POST /office/tax: a rate from a day on, with the PIN and the reason.
func (p *Pages) SetTax(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = p.setTax(r, act); err == nil {
		http.Redirect(w, r, "/office/tax", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal {
		return err
	}
	v, err := p.tax(r.Context())
	if err != nil {
		return err
	}
	if v.Form, v.Wrong = r.PostForm, wrong; wrong.Kind == domain.Conflict {
		v.Form.Set("seen", strconv.Itoa(len(v.Rates))) // the page shows what was set meanwhile
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, taxPage(v))
}

func (p *Pages) setTax(r *http.Request, act db.Act) (err error) {
	rate, ctx := billing.Rate{Name: r.FormValue("called")}, r.Context()
	if rate.PerMillion, err = billing.ReadRate("rate", r.FormValue("rate")); err != nil {
		return err
	}
	if err = rate.Check(); err != nil {
		return err
	}
	since, err := ui.ReadDay(ctx, "since", r.FormValue("since"))
	if err != nil {
		return err
	}
	seen, err := strconv.Atoi(r.FormValue("seen"))
	if err != nil {
		return domain.Wrong("", "This form came in damaged. Open it again and repeat.")
	}
	if err = signin.PIN(r, p.DB, act.At); err != nil {
		return err
	}
	return p.DB.SetTax(ctx, act, seen, rate, since, r.FormValue("why"))
}

func (p *Pages) tax(ctx context.Context) (v taxView, err error) {
	v.Today = p.Now()
	if v.Now, err = p.DB.TaxesOn(ctx, v.Today); err != nil {
		return v, err
	}
	if v.Rates, err = p.DB.TaxRates(ctx); err != nil {
		return v, err
	}
	list, _, err := p.DB.PricesInForce(ctx, v.Today)
	if err != nil {
		return v, err
	}
	items, err := p.DB.PriceItems(ctx, list.ID)
	for _, it := range items {
		if it.Taxable {
			v.Taxed = append(v.Taxed, it)
		} else {
			v.Others++
		}
	}
	return v, err
}

// rateSaid is a rate, or that it ended.
func rateSaid(ctx context.Context, t db.TaxRate) string {
	if t.PerMillion == 0 {
		return ui.T(ctx, "ends")
	}
	return t.Rate().Percent()
}
