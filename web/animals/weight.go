package animals

import (
	"net/http"
	"slices"

	"coldrail/db"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// Reweigh serves POST /animals/{number}/weight: a hanging weight typed wrong.
func (p *Pages) Reweigh(w http.ResponseWriter, r *http.Request) error {
	ctx, number := r.Context(), ui.ShopNumber(r)
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	again := db.Reweighed{Mark: r.FormValue("side"), Confirmed: r.FormValue("confirmed") == "yes", Why: r.FormValue("why")}
	if again.Gross, err = ui.ReadWeight(ctx, "weight", r.FormValue("weight")); err != nil {
		return err
	}
	if typed := r.FormValue("tare"); typed != "" {
		if again.Tare, err = ui.ReadWeight(ctx, "tare", typed); err != nil {
			return err
		}
	}
	if err := p.DB.Reweigh(ctx, act, number, again); err != nil {
		return err
	}
	http.Redirect(w, r, "/animals/"+string(number), http.StatusSeeOther)
	return nil
}

// sides reports whether it was weighed in two sides.
func (v recordView) sides() bool {
	return slices.ContainsFunc(v.Weighings, func(w db.Weighed) bool { return w.Purpose == "hanging" && w.Part != "" })
}
