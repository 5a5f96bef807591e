package office

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
	"coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// priceView is one line of the list being prepared.
type priceView struct {
	Code  string // empty: a new one
	Form  url.Values
	Wrong *domain.Error
}

// ShowPrice serves GET /office/prices/new and /office/prices/new/{code}: one line of the list being
// prepared, or an empty one.
func (p *Pages) ShowPrice(w http.ResponseWriter, r *http.Request) error {
	v := priceView{Form: url.Values{"act": {signin.NewAct()}, "basis": {string(billing.PerAnimal)}, "revision": {"0"}}}
	_, items, found, err := p.DB.PriceDraft(r.Context())
	if err != nil {
		return err
	}
	if code := chi.URLParam(r, "code"); code != "" {
		at := slices.IndexFunc(items, func(i db.DraftItem) bool { return i.Code == code })
		if at < 0 {
			return domain.Missing("That line is not on the list being prepared.")
		}
		v.Code, v.Form = code, typedOf(items[at])
	} else if !found {
		return domain.Missing("No new price list is being prepared.")
	}
	return ui.Render(w, r, http.StatusOK, pricePage(v))
}

// SetPrice serves POST /office/prices/new and /office/prices/new/{code}: the line as typed.
func (p *Pages) SetPrice(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := priceView{Code: chi.URLParam(r, "code"), Form: r.PostForm}
	if err = p.setPrice(r.Context(), act, v); err == nil {
		http.Redirect(w, r, "/office/prices", http.StatusSeeOther)
		return nil
	}
	if v.Wrong = domain.As(err); v.Wrong.Kind == domain.Internal {
		return err
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, pricePage(v))
}

func (p *Pages) setPrice(ctx context.Context, act db.Act, v priceView) error {
	seen, err := strconv.Atoi(v.Form.Get("revision"))
	if err != nil {
		return domain.Wrong("", "This form came in damaged. Open it again and repeat.")
	}
	it, err := readPrice(ctx, v.Form)
	if err != nil {
		return err
	}
	return p.DB.SetPrice(ctx, act, v.Code, seen, it)
}

// readPrice reads the line; no minimum typed is none.
func readPrice(ctx context.Context, form url.Values) (it billing.Item, err error) {
	it.Label, it.Basis, it.Taxable = form.Get("label"), billing.Basis(form.Get("basis")), form.Get("taxable") == "yes"
	if it.Price, err = ui.ReadMoney(ctx, "price", form.Get("price")); err != nil {
		return it, err
	}
	if typed := form.Get("minimum"); strings.TrimSpace(typed) != "" {
		if it.Minimum, err = ui.ReadMoney(ctx, "minimum", typed); err != nil {
			return it, err
		}
	}
	for _, s := range domain.AllSpecies {
		if slices.Contains(form["species"], string(s)) {
			it.Species = append(it.Species, s)
		}
	}
	for _, f := range domain.Forms {
		if slices.Contains(form["came"], string(f)) {
			it.Forms = append(it.Forms, f)
		}
	}
	for _, t := range cutting.Priced() {
		if slices.Contains(form["treatments"], string(t)) {
			it.Treatments = append(it.Treatments, string(t))
		}
	}
	return it, nil
}

// typedOf is a line as its form shows it.
func typedOf(it db.DraftItem) url.Values {
	dollars := func(c domain.Cents) string { return strings.TrimPrefix(c.String(), "$") }
	f := url.Values{"act": {signin.NewAct()}, "revision": {strconv.Itoa(it.Revision)}, "label": {it.Label}, "basis": {it.Basis},
		"price": {dollars(it.PriceCents)}, "treatments": it.Treatments}
	if it.MinimumCents > 0 {
		f.Set("minimum", dollars(it.MinimumCents))
	}
	if it.Taxable {
		f.Set("taxable", "yes")
	}
	for _, s := range it.Species {
		f.Add("species", string(s))
	}
	for _, form := range it.Forms {
		f.Add("came", string(form))
	}
	return f
}

func basisOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(billing.Bases))
	for i, b := range billing.Bases {
		options[i] = ui.Option{Value: string(b), Label: Basis(ctx, string(b))}
	}
	return options
}

func speciesOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(domain.AllSpecies))
	for i, s := range domain.AllSpecies {
		options[i] = ui.Option{Value: string(s), Label: ui.Say(ctx, s.Words())}
	}
	return options
}

func cameOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(domain.Forms))
	for i, f := range domain.Forms {
		options[i] = ui.Option{Value: string(f), Label: formWords(ctx, f)}
	}
	return options
}

func treatmentOptions(ctx context.Context) []ui.Option {
	var options []ui.Option
	for _, t := range cutting.Priced() {
		options = append(options, ui.Option{Value: string(t), Label: ui.Say(ctx, t.Words())})
	}
	return options
}
