package office

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// pricesView is what is charged now, what was and will be, and the list being
// prepared.
type pricesView struct {
	Now      db.PriceList // in force
	Found    bool
	Items    []db.PriceItem // of the one in force, or of the version looked at
	Versions []db.PriceList
	At       time.Time // the moment of looking
	Draft    *draftView
	Wrong    *domain.Error
}

// draftView is the list being prepared, with what differs from the one it began from.
type draftView struct {
	db.PriceDraft
	Items   []db.DraftItem
	Changes []billing.Change
	Form    url.Values // what was typed to put it in force
	Wrong   *domain.Error
}

// ShowPrices serves GET /office/prices.
func (p *Pages) ShowPrices(w http.ResponseWriter, r *http.Request) error {
	v, err := p.prices(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, pricesPage(v))
}

// ShowVersion serves GET /office/prices/{version}: one version of the list.
func (p *Pages) ShowVersion(w http.ResponseWriter, r *http.Request) error {
	n, err := strconv.Atoi(chi.URLParam(r, "version"))
	if err != nil || n < 1 || n > 1<<14 {
		return domain.Missing("There is no such price list.")
	}
	list, err := p.DB.PriceVersion(r.Context(), n)
	if err != nil {
		return err
	}
	items, err := p.DB.PriceItems(r.Context(), list.ID)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, versionPage(list, items, p.Now()))
}

// BeginPrices serves POST /office/prices: a copy of the list in force to alter.
func (p *Pages) BeginPrices(w http.ResponseWriter, r *http.Request) error {
	return p.onDraft(w, r, func(ctx context.Context, act db.Act) error { return p.DB.BeginPrices(ctx, act) })
}

// LeavePrices serves POST /office/prices/leave: the list being prepared goes.
func (p *Pages) LeavePrices(w http.ResponseWriter, r *http.Request) error {
	return p.onDraft(w, r, func(ctx context.Context, act db.Act) error { return p.DB.LeavePrices(ctx, act) })
}

// DropPrice serves POST /office/prices/new/{code}/drop.
func (p *Pages) DropPrice(w http.ResponseWriter, r *http.Request) error {
	return p.onDraft(w, r, func(ctx context.Context, act db.Act) error { return p.DB.DropPrice(ctx, act, chi.URLParam(r, "code")) })
}

// PutInForce serves POST /office/prices/in-force: the list counts from its day
// on, with the owner's PIN and the reason.
func (p *Pages) PutInForce(w http.ResponseWriter, r *http.Request) error {
	return p.onDraft(w, r, func(ctx context.Context, act db.Act) (err error) {
		var since time.Time
		if typed := r.FormValue("since"); typed != "" {
			if since, err = ui.ReadWhen(ctx, "since", typed); err != nil {
				return err
			}
		}
		if err = signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.PutInForce(ctx, act, r.FormValue("called"), since, r.FormValue("why"))
	})
}

// onDraft does something to the list being prepared and shows the prices again.
func (p *Pages) onDraft(w http.ResponseWriter, r *http.Request, do func(context.Context, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = do(r.Context(), act); err == nil {
		http.Redirect(w, r, "/office/prices", http.StatusSeeOther)
		return nil
	}
	e := domain.As(err)
	if e.Kind == domain.Internal || e.Kind == domain.NotFound {
		return err
	}
	v, err := p.prices(r.Context())
	if err != nil {
		return err
	}
	if v.Wrong = e; v.Draft != nil && e.Kind == domain.Invalid {
		v.Wrong, v.Draft.Wrong, v.Draft.Form = nil, e, r.PostForm
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, pricesPage(v))
}

func (p *Pages) prices(ctx context.Context) (v pricesView, err error) {
	v.At = p.Now()
	if v.Now, v.Found, err = p.DB.PricesInForce(ctx, v.At); err != nil {
		return v, err
	}
	if v.Items, err = p.DB.PriceItems(ctx, v.Now.ID); err != nil {
		return v, err
	}
	if v.Versions, err = p.DB.PriceLists(ctx); err != nil {
		return v, err
	}
	d, items, found, err := p.DB.PriceDraft(ctx)
	if err != nil || !found {
		return v, err
	}
	was := v.Items
	if d.Base != v.Now.Version { // another came into force while this one lay
		if was, err = p.itemsOf(ctx, d.Base); err != nil {
			return v, err
		}
	}
	list := make([]db.PriceItem, len(items))
	for i, it := range items {
		list[i] = it.PriceItem
	}
	v.Draft = &draftView{PriceDraft: d, Items: items, Changes: billing.Changes(db.Items(was), db.Items(list))}
	return v, nil
}

func (p *Pages) itemsOf(ctx context.Context, version int) ([]db.PriceItem, error) {
	list, err := p.DB.PriceVersion(ctx, version)
	if err != nil {
		return nil, err
	}
	return p.DB.PriceItems(ctx, list.ID)
}

// act keeps the id of the form that came back.
func (d draftView) act() string {
	if d.Form != nil {
		return d.Form.Get("act")
	}
	return signin.NewAct()
}

func (d draftView) change(code string) *billing.Change {
	if i := slices.IndexFunc(d.Changes, func(c billing.Change) bool { return c.Code == code && c.Now != nil }); i >= 0 {
		return &d.Changes[i]
	}
	return nil
}

// dropped are the lines of the list it began from that it has no more.
func (d draftView) dropped() (list []billing.Change) {
	for _, c := range d.Changes {
		if c.Now == nil {
			list = append(list, c)
		}
	}
	return list
}

// byItself says for what a price is charged without anybody ticking it.
func byItself(ctx context.Context, it db.PriceItem) string {
	var words []string
	for _, s := range it.Species {
		words = append(words, ui.Say(ctx, s.Words()))
	}
	for _, t := range it.Treatments {
		words = append(words, ui.Say(ctx, cutting.Treatment(t).Words()))
	}
	if len(words) == 0 {
		return ui.T(ctx, "when ticked")
	}
	if len(it.Forms) > 0 {
		forms := make([]string, len(it.Forms))
		for i, f := range it.Forms {
			forms[i] = formWords(ctx, f)
		}
		return ui.T(ctx, "%s; only %s", strings.Join(words, ", "), strings.ToLower(strings.Join(forms, " / ")))
	}
	return strings.Join(words, ", ")
}

// changeWords says what a price was before.
func changeWords(ctx context.Context, c *billing.Change) string {
	switch {
	case c == nil:
		return ""
	case c.Was == nil:
		return ui.T(ctx, "new")
	case c.Was.Price != c.Now.Price:
		return ui.T(ctx, "was %s", c.Was.Price.String())
	}
	return ui.T(ctx, "altered")
}

// stands says when a version counts.
func (v pricesView) stands(ctx context.Context, p db.PriceList) string {
	switch {
	case p.Since.After(v.At):
		return ui.T(ctx, "from %s", ui.Moment(ctx, p.Since))
	case p.ID == v.Now.ID:
		return ui.T(ctx, "in force since %s", ui.Date(ctx, p.Since))
	}
	return ui.T(ctx, "since %s", ui.Date(ctx, p.Since))
}

func formWords(ctx context.Context, f domain.Form) string {
	switch f {
	case domain.WholeHideOn:
		return ui.T(ctx, "Whole, hide on")
	case domain.Quarters:
		return ui.T(ctx, "Quarters")
	case domain.Boned:
		return ui.T(ctx, "Boned meat")
	}
	return ui.T(ctx, "Whole, skinned")
}

// madeBy says who made a list, when and why.
func madeBy(ctx context.Context, p db.PriceList) string {
	said := ui.T(ctx, "List %s, in force from %s.", strconv.Itoa(p.Version), ui.Moment(ctx, p.Since))
	if p.By != "" && p.MadeAt != nil {
		said += " " + ui.T(ctx, "Made by %s, %s.", p.By, ui.Moment(ctx, *p.MadeAt))
	}
	if p.Why != "" {
		said += " " + ui.T(ctx, "Why: %s", p.Why)
	}
	return said
}

// priceNote is a price in short, such as "$1.25 a pound hanging, at least $90.00, taxed".
func priceNote(ctx context.Context, it db.PriceItem) string {
	said := []string{ui.T(ctx, "%s %s", it.PriceCents.String(), Basis(ctx, it.Basis))}
	if it.MinimumCents > 0 {
		said = append(said, ui.T(ctx, "at least %s", it.MinimumCents.String()))
	}
	if it.Taxable {
		said = append(said, ui.T(ctx, "taxed"))
	}
	return strings.Join(append(said, byItself(ctx, it)), " · ")
}

func priceTitle(ctx context.Context, v priceView) string {
	if v.Code == "" {
		return ui.T(ctx, "A new line")
	}
	return ui.T(ctx, "Change a line")
}

// dash joins a reason to what stands before it.
func dash(why string) string {
	if why == "" {
		return ""
	}
	return " · " + why
}
