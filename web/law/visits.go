package law

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// visitsView is who came to see, and what is being written down about it.
type visitsView struct {
	Visits []db.Visit
	Act    string
	Form   struct{ Who, Agency, Asked, Shown, Findings, Due string }
	Which  string // begin, or the visit's id and what is written of it
}

func (v visitsView) open() (n int) {
	for _, visit := range v.Visits {
		if visit.EndedAt == nil {
			n++
		}
	}
	return n
}

// note says how many visits are not ended, where any is.
func (v visitsView) note(ctx context.Context) string {
	if v.open() == 0 {
		return ""
	}
	return ui.T(ctx, "%d not ended", v.open())
}

// wrongOf is the error where it belongs to that form.
func (v visitsView) wrongOf(which string, wrong *domain.Error) *domain.Error {
	if v.Which == which {
		return wrong
	}
	return nil
}

// ShowVisits serves GET /visits.
func (p *Pages) ShowVisits(w http.ResponseWriter, r *http.Request) (err error) {
	v := visitsView{Act: signin.NewAct()}
	if v.Visits, err = p.DB.Visits(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, visitsPage(v, nil))
}

// BeginVisit serves POST /visits: somebody is at the door.
func (p *Pages) BeginVisit(w http.ResponseWriter, r *http.Request) error {
	v := visitsView{Which: "begin"}
	v.Form.Who, v.Form.Agency, v.Form.Asked = r.FormValue("who"), r.FormValue("agency"), r.FormValue("asked")
	return p.visit(w, r, v, func(ctx context.Context, act db.Act) error {
		return p.DB.BeginVisit(ctx, act, v.Form.Who, v.Form.Agency, v.Form.Asked)
	})
}

// ShowVisitor serves POST /visits/{id}/shown: what they were shown or given.
func (p *Pages) ShowVisitor(w http.ResponseWriter, r *http.Request) error {
	v, id := visitOf(r, "shown ")
	v.Form.Shown = r.FormValue("shown")
	return p.visit(w, r, v, func(ctx context.Context, act db.Act) error { return p.DB.ShowVisitor(ctx, act, id, v.Form.Shown) })
}

// EndVisit serves POST /visits/{id}/end: what they found.
func (p *Pages) EndVisit(w http.ResponseWriter, r *http.Request) error {
	v, id := visitOf(r, "end ")
	v.Form.Findings, v.Form.Due = r.FormValue("findings"), r.FormValue("due")
	return p.visit(w, r, v, func(ctx context.Context, act db.Act) (err error) {
		var due time.Time
		if v.Form.Due != "" {
			if due, err = ui.ReadDay(ctx, "due", v.Form.Due); err != nil {
				return err
			}
		}
		return p.DB.EndVisit(ctx, act, id, v.Form.Findings, due)
	})
}

func visitOf(r *http.Request, form string) (visitsView, uuid.UUID) {
	id, _ := uuid.Parse(chi.URLParam(r, "id")) // what is no id is no visit, says the database
	return visitsView{Which: form + id.String()}, id
}

// visit does one thing and comes back to the list.
func (p *Pages) visit(w http.ResponseWriter, r *http.Request, v visitsView, what func(context.Context, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = what(r.Context(), act); err == nil {
		http.Redirect(w, r, "/visits", http.StatusSeeOther)
		return nil
	}
	list, errRead := p.DB.Visits(r.Context())
	if errRead != nil {
		return errRead
	}
	v.Visits, v.Act = list, act.ID.String()
	return again(w, r, err, func(wrong *domain.Error) templ.Component { return visitsPage(v, wrong) })
}

// beginAct is the act of the form for a new visit; the other forms have their own.
func beginAct(v visitsView) string {
	if v.Which == "begin" || v.Which == "" {
		return v.Act
	}
	return signin.NewAct()
}

func shownTyped(v visitsView, visit db.Visit) string {
	if v.Which == "shown "+visit.ID.String() {
		return v.Form.Shown
	}
	return ""
}

func findingsTyped(v visitsView, visit db.Visit) string {
	if v.Which == "end "+visit.ID.String() {
		return v.Form.Findings
	}
	return ""
}
