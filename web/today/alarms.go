package today

import (
	"net/http"

	"coldrail/domain"
	"coldrail/web/signin"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// HaveAlarm serves POST /alarms/{id}: whoever is signed in says "I have it".
func (p *Pages) HaveAlarm(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such alarm.")
	}
	if err := p.DB.HaveAlarm(r.Context(), act, id); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
