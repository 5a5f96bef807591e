package animals

import (
	"net/http"
	"strings"

	"coldrail/web/signin"
	"coldrail/web/ui"
)

// LogCall serves POST /animals/{number}/call: somebody phoned about the animal,
// or was phoned. It goes back to where the tap was made.
func (p *Pages) LogCall(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	if err := p.DB.LogCall(r.Context(), act, n, "call", r.FormValue("outcome"), r.FormValue("note")); err != nil {
		return err
	}
	back := "/animals/" + string(n) + "?logged=" + string(n)
	if again := r.FormValue("back"); strings.HasPrefix(again, "/find?q=") {
		back = again + "&logged=" + string(n)
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}

// Promise serves POST /animals/{number}/promise: the day the owner was told. From
// the page after a drop-off it goes back there, for the papers and the next animal.
func (p *Pages) Promise(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	day, err := ui.ReadDay(r.Context(), "promised", r.FormValue("promised"))
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	if err := p.DB.Promise(r.Context(), act, n, day); err != nil {
		return err
	}
	back := "/animals/" + string(n)
	if r.FormValue("back") == "hung" {
		back = "/dropoff/" + string(n) + "/hung"
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}
