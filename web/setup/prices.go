package setup

import (
	"context"
	"embed"
	"encoding/csv"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

//go:embed prices.csv
var sheet embed.FS

// pricesView is the starting sheet with what was typed over its prices.
type pricesView struct {
	Act   string
	Items []db.PriceItem
	Typed map[string]string // dollars by the item's code
}

// ShowPrices serves GET /setup/prices; a shop that has prices changes them in the
// office.
func (p *Pages) ShowPrices(w http.ResponseWriter, r *http.Request) error {
	lists, err := p.DB.PriceLists(r.Context())
	if err != nil {
		return err
	}
	if len(lists) > 0 {
		http.Redirect(w, r, "/office/prices", http.StatusSeeOther)
		return nil
	}
	v, err := newPrices()
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, pricesPage(v, nil))
}

// SetPrices serves POST /setup/prices.
func (p *Pages) SetPrices(w http.ResponseWriter, r *http.Request) error {
	v, err := newPrices()
	if err != nil {
		return err
	}
	err = v.read(r)
	if err == nil {
		err = p.DB.FirstPrices(r.Context(), ui.T(r.Context(), "First prices"), v.Items, signin.Holder(r.Context()).Staff.ID, p.Now())
	}
	if e := domain.As(err); err != nil && e.Kind == domain.Invalid {
		return ui.Render(w, r, http.StatusUnprocessableEntity, pricesPage(v, e))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/setup", http.StatusSeeOther)
	return nil
}

// read puts what was typed onto the sheet; a line without a price is not offered.
func (v *pricesView) read(r *http.Request) (err error) {
	var offered []db.PriceItem
	for _, it := range v.Items {
		typed := strings.TrimSpace(r.FormValue("price-" + it.Code))
		v.Typed[it.Code] = typed
		if typed == "" {
			continue
		}
		cents, wrong := ui.ReadMoney(r.Context(), "price-"+it.Code, typed)
		if wrong != nil && err == nil {
			err = wrong
		}
		it.PriceCents = cents
		offered = append(offered, it)
	}
	if err == nil && len(offered) == 0 {
		return domain.Wrong("", "Give at least one price.")
	}
	if err == nil {
		v.Items = offered
	}
	return err
}

// newPrices reads the starting sheet: what such shops charge for and, as far as
// common practice has one, a usual price.
func newPrices() (v pricesView, err error) {
	v.Act, v.Typed = signin.NewAct(), map[string]string{}
	f, err := sheet.Open("prices.csv")
	if err != nil {
		return v, err
	}
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return v, err
	}
	for _, row := range rows[1:] {
		price, err := strconv.Atoi(row[3])
		if err != nil {
			return v, err
		}
		it := db.PriceItem{Code: row[0], Label: row[1], Basis: row[2], PriceCents: domain.Cents(price), Treatments: strings.Fields(row[6])}
		for _, s := range strings.Fields(row[4]) {
			it.Species = append(it.Species, domain.Species(s))
		}
		for _, f := range strings.Fields(row[5]) {
			it.Forms = append(it.Forms, domain.Form(f))
		}
		v.Items = append(v.Items, it)
		v.Typed[it.Code] = strings.TrimPrefix(it.PriceCents.String(), "$")
	}
	return v, nil
}

func act(ctx context.Context, done bool) string {
	if done {
		return ui.T(ctx, "Change")
	}
	return ui.T(ctx, "Do it now")
}

func doneRooms(ctx context.Context, v progress) string {
	switch {
	case !v.rooms():
		return ui.T(ctx, "Such as: 4 rails of 12. Without one, nothing can hang.")
	case v.Freezers == 0:
		return ui.T(ctx, "Coolers: %d. Build the freezer too.", v.Coolers)
	}
	return ui.T(ctx, "Coolers: %d, freezers: %d.", v.Coolers, v.Freezers)
}

func donePrices(ctx context.Context, v progress) string {
	if !v.Priced {
		return ui.T(ctx, "A sheet to start from; the list in force at drop-off binds an animal.")
	}
	return ui.T(ctx, "What was dropped off keeps the list of its day.")
}
