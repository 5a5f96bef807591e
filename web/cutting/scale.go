package cutting

import (
	"net/http"
	"strconv"
	"strings"

	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// ShowScale serves GET /cutting/{number}/scale: the weights sent to this tablet,
// as a part of the table's page that asks for itself.
func (p *Pages) ShowScale(w http.ResponseWriter, r *http.Request) error {
	weights, err := p.DB.WeightsAt(r.Context(), signin.Holder(r.Context()).Device, p.Now())
	if err != nil {
		return err
	}
	which := "pack"
	if r.FormValue("of") == "trim" {
		which = "trim"
	}
	return ui.Render(w, r, http.StatusOK, scaleTap(ui.ShopNumber(r), which, weights))
}

// Weigh serves POST /scales/{name}, where a scale sends what lies on it:
//
//	curl -H "Authorization: Bearer TOKEN" -d weight=12.34 -d unit=lb -d stable=yes http://SHOP/scales/bench-1
//
// The unit is lb or kg, the shop's own where it is left out. A weight that is not
// stable is not taken. 204: kept; 401: no such scale or token; 422: not a weight.
// It answers in one plain line, because no person reads it.
func (p *Pages) Weigh(w http.ResponseWriter, r *http.Request) error {
	token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	kg, said := sentWeight(r)
	if said != "" {
		http.Error(w, said, http.StatusUnprocessableEntity)
		return nil
	}
	known, err := p.DB.ReadScale(r.Context(), chi.URLParam(r, "name"), token, kg, r.FormValue("weight")+" "+r.FormValue("unit"), p.Now())
	switch {
	case err != nil && domain.As(err).Kind == domain.Invalid:
		http.Error(w, domain.As(err).Error(), http.StatusUnprocessableEntity)
	case err != nil:
		return err
	case !known:
		http.Error(w, "No scale of that name with that token. Its token is made in the office.", http.StatusUnauthorized)
	default:
		w.WriteHeader(http.StatusNoContent)
	}
	return nil
}

// sentWeight reads the scale's fields, or says what is wrong with them.
func sentWeight(r *http.Request) (kg domain.Kilogram, said string) {
	if stable := r.FormValue("stable"); stable != "" && stable != "yes" {
		return 0, "The weight is not stable. Send it when it stands still, with stable=yes."
	}
	n, err := strconv.ParseFloat(strings.TrimSpace(r.FormValue("weight")), 64)
	if err != nil {
		return 0, "weight is not a number. Send it like weight=12.34"
	}
	unit := r.FormValue("unit")
	if unit == "" {
		unit = ui.WeightUnit(r.Context())
	}
	switch unit {
	case "lb":
		return domain.Pounds(n), ""
	case "kg":
		return domain.Kilogram(n), ""
	}
	return 0, "unit is lb or kg"
}
