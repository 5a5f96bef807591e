package office

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// shopView is the form of what stands of the shop itself.
type shopView struct {
	Act string
	db.Shop
	SeasonTyped string
}

// ShowShop serves GET /office/shop.
func (p *Pages) ShowShop(w http.ResponseWriter, r *http.Request) error {
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, shopPage(shopView{Act: signin.NewAct(), Shop: shop, SeasonTyped: strconv.Itoa(shop.Season)}, nil))
}

// ChangeShop serves POST /office/shop.
func (p *Pages) ChangeShop(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := shopView{Act: act.ID.String(), SeasonTyped: r.FormValue("season")}
	if v.Shop, err = p.DB.Shop(r.Context()); err != nil {
		return err
	}
	err = p.changeShop(r, act, &v.Shop)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		return ui.Render(w, r, http.StatusUnprocessableEntity, shopPage(v, e))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office", http.StatusSeeOther)
	return nil
}

func (p *Pages) changeShop(r *http.Request, act db.Act, s *db.Shop) error {
	if err := ReadShop(r, s); err != nil {
		return err
	}
	if err := readRules(r, s); err != nil {
		return err
	}
	if err := signin.PIN(r, p.DB, act.At); err != nil {
		return err
	}
	return p.DB.ChangeShop(r.Context(), act, *s)
}

// ReadShop puts what was typed onto the shop's row.
func ReadShop(r *http.Request, s *db.Shop) error {
	s.Name, s.Address, s.Phone = strings.TrimSpace(r.FormValue("shop")), strings.TrimSpace(r.FormValue("address")), strings.TrimSpace(r.FormValue("phone"))
	s.Zone, s.HomeState, s.Units = r.FormValue("zone"), strings.ToUpper(strings.TrimSpace(r.FormValue("state"))), r.FormValue("units")
	if s.Language = r.FormValue("language"); s.Language == "" {
		s.Language = "en"
	}
	if s.Name == "" {
		return domain.Wrong("shop", "Give the shop's name.")
	}
	return nil
}

// readRules reads what the shop's own page asks besides.
func readRules(r *http.Request, s *db.Shop) error {
	s.WardenPhone, s.CutAsTheyCome = strings.TrimSpace(r.FormValue("warden")), r.FormValue("cut_as_they_come") == "yes"
	season, err := strconv.Atoi(strings.TrimSpace(r.FormValue("season")))
	if err != nil {
		return domain.Wrong("season", "Give the season's two digits, such as 26.")
	}
	s.Season = season
	return nil
}

func unitOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "us", Label: ui.T(ctx, "°F, pounds, inches")}, {Value: "metric", Label: ui.T(ctx, "°C, kilograms, millimeters")}}
}

// zoneWords is a zone as it is read: "America/New York".
func zoneWords(z string) string { return strings.ReplaceAll(z, "_", " ") }

// zoneOptions are the time zones of North America; any other IANA name may be set
// from the command line.
func zoneOptions(chosen string) []ui.Option {
	zones := []string{"America/New_York", "America/Chicago", "America/Denver", "America/Phoenix", "America/Los_Angeles", "America/Anchorage", "Pacific/Honolulu",
		"America/Halifax", "America/Toronto", "America/Winnipeg", "America/Regina", "America/Edmonton", "America/Vancouver", "America/St_Johns",
		"America/Detroit", "America/Indiana/Indianapolis", "America/Kentucky/Louisville", "America/Boise", "America/Puerto_Rico", "America/Mexico_City",
		"Europe/London", "Europe/Berlin", "Pacific/Auckland", "Australia/Sydney"}
	options, found := make([]ui.Option, 0, len(zones)+1), false
	for _, z := range zones {
		found = found || z == chosen
		options = append(options, ui.Option{Value: z, Label: zoneWords(z)})
	}
	if !found && chosen != "" {
		options = append(options, ui.Option{Value: chosen, Label: chosen})
	}
	return options
}
