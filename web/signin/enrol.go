package signin

import (
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"
)

type enrolForm struct{ Initials, Device string }

// ShowEnrol serves GET /enrol; a shop where nobody works yet is set up first.
func (p *Pages) ShowEnrol(w http.ResponseWriter, r *http.Request) error {
	unmanned, err := p.DB.Unmanned(r.Context())
	if err != nil {
		return err
	}
	if unmanned { // nobody could let a device in yet
		http.Redirect(w, r, "/setup/open", http.StatusSeeOther)
		return nil
	}
	return ui.Render(w, r, http.StatusOK, enrolView(enrolForm{}, nil))
}

// Enrol serves POST /enrol: an owner lets this device take part.
func (p *Pages) Enrol(w http.ResponseWriter, r *http.Request) error {
	f := enrolForm{Initials: strings.TrimSpace(r.FormValue("initials")), Device: strings.TrimSpace(r.FormValue("device"))}
	device, err := p.DB.Enrol(r.Context(), db.Enrolment{Initials: f.Initials, Password: r.FormValue("password"), Device: f.Device,
		Address: httprate.CanonicalizeIP(middleware.GetClientIP(r.Context()))}, p.Now())
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		return ui.Render(w, r, http.StatusUnprocessableEntity, enrolView(f, e))
	}
	if err != nil {
		return err
	}
	if err := p.Sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	p.Sessions.Put(r.Context(), "device", device.String())
	http.Redirect(w, r, "/who", http.StatusSeeOther)
	return nil
}
