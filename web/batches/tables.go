package batches

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/cure"
	"coldrail/web/ui"
)

// ShowTables serves GET /batches/tables: the tables that cooking, cooling and
// freezing are held against; with a question in the address, its answer too.
func (p *Pages) ShowTables(w http.ResponseWriter, r *http.Request) error {
	f, said := form{}, domain.Words{}
	if r.URL.Query().Has("ask") {
		f = form{Which: "ask", Typed: r.URL.Query()}
		var err error
		said, err = lookUp(r.Context(), f)
		if f.Wrong = told(err); f.Wrong == nil && err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, tablesPage(f, said))
}

// lookUp answers one question from one of the tables.
func lookUp(ctx context.Context, f form) (domain.Words, error) {
	at, err := ui.ReadTemp(ctx, "temperature", f.Typed.Get("temperature"))
	if err != nil {
		return domain.Words{}, err
	}
	ask := f.Typed.Get("ask")
	if ask == "cook" {
		row, err := cure.DwellAt(at)
		if err == nil && row.SixAndAHalf == 0 {
			return domain.Say("The table asks for no time at %s: at once.", at), nil
		}
		return domain.Say("The row of %s counts: %.0f s for 6.5 log, %.0f s for 7 log.", degrees(row.F), row.SixAndAHalf.Seconds(), row.Seven.Seconds()), err
	}
	hours, err := strconv.ParseFloat(strings.TrimSpace(f.Typed.Get("hours")), 64)
	if err != nil || !(hours >= 0 && hours <= 100_000) {
		return domain.Words{}, domain.Wrong("hours", "Type the hours it was held, such as 0.5.")
	}
	held, met := time.Duration(hours*float64(time.Hour)), false
	switch species := domain.Species(f.Typed.Get("meat")); ask {
	case "air":
		piece, e := ui.ReadLength(ctx, "thickness", f.Typed.Get("thickness"))
		if e != nil {
			return domain.Words{}, e
		}
		met, err = cure.FreezingMet(species, piece, at, hours/24)
	case "centre":
		met, err = cure.CentreFreezingMet(species, at, held)
	case "heat":
		met, err = cure.HeatingMet(at, held)
	default:
		err = domain.Wrong("ask", "Choose the table.")
	}
	if err != nil {
		return domain.Words{}, err
	}
	if met {
		return domain.Say("That meets the table. The table speaks of Trichinella alone."), nil
	}
	return domain.Say("That does not meet the table: it asks for longer."), nil
}

func askOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: "cook", Label: ui.T(ctx, "Cooking"), Note: ui.T(ctx, "how long at a temperature")},
		{Value: "air", Label: ui.T(ctx, "Freezing, by the air")},
		{Value: "centre", Label: ui.T(ctx, "Freezing, by the center")},
		{Value: "heat", Label: ui.T(ctx, "Heating pork throughout")},
	}
}

func meatOptions(ctx context.Context) []ui.Option {
	list := make([]ui.Option, 0, len(domain.AllSpecies))
	for i := len(domain.AllSpecies) - 1; i >= 0; i-- { // hog first: the tables are for pork
		s := domain.AllSpecies[i]
		list = append(list, ui.Option{Value: string(s), Label: ui.Capital(ui.Say(ctx, s.Words()))})
	}
	return list
}
