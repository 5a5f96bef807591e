package hunter

import (
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"
)

// ShowLookUp serves GET /s: the form for whoever has no link at hand. It is empty
// whatever the address says.
func (p *Pages) ShowLookUp(w http.ResponseWriter, r *http.Request) error {
	return ui.Render(w, r, http.StatusOK, lookUpPage(lookUpView{}))
}

// lookUpView is the form; Tried says that the last try opened nothing, Waits that
// nothing was compared.
type lookUpView struct {
	Number       string
	Tried, Waits bool
}

// LookUp serves POST /s. Unlike our other forms it answers with the page itself and
// sends nobody on: the private link would then stand in the history of a phone that
// may be borrowed. Of a shared animal it shows how far it is; the shares have links of
// their own. A wrong number and wrong digits get one and the same answer.
func (p *Pages) LookUp(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Cache-Control", "no-store")
	v := lookUpView{Number: strings.TrimSpace(r.PostFormValue("number")), Tried: true}
	found, err := p.DB.LookUp(r.Context(), p.Secret, db.LookUp{Number: v.Number, Digits: strings.TrimSpace(r.PostFormValue("last_four")),
		Address: httprate.CanonicalizeIP(middleware.GetClientIP(r.Context()))}, p.Now())
	if err != nil {
		return err
	}
	if v.Waits = found.Waits; v.Waits {
		return ui.Render(w, r, http.StatusTooManyRequests, lookUpPage(v))
	}
	m, there, err := p.DB.MarkOf(r.Context(), found.Animal)
	if err != nil {
		return err
	}
	if !found.Found || !there {
		return ui.Render(w, r, http.StatusNotFound, lookUpPage(v))
	}
	return p.answer(w, r, opened{animal: found.Animal, portion: cutting.WholeAnimal}, m)
}
