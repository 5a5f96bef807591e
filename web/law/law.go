// Package law shows what the law asks and has to be shown: the rules by state, the
// notices to send, the sheet a warden asks for, the official tags, and what a
// positive test reached.
package law

import (
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/a-h/templ"
)

// Pages serves the law's screens.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// again shows a form once more if what was typed is at fault, and passes any other
// error on.
func again(w http.ResponseWriter, r *http.Request, err error, view func(*domain.Error) templ.Component) error {
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, view(wrong))
}
