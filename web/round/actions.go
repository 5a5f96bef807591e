package round

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// actionsView is what must be put right, and what was lately.
type actionsView struct {
	Open   []db.ActionRow
	Closed []db.ActionRow
	Form   form
	At     string // the id of the action whose form came back
	Wrong  *domain.Error
	Now    time.Time
}

// closedDays is how far back what was put right is listed.
const closedDays = 14

// ShowActions serves GET /round/actions.
func (p *Pages) ShowActions(w http.ResponseWriter, r *http.Request) error {
	v, err := p.actions(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, actionsPage(v))
}

func (p *Pages) actions(ctx context.Context) (v actionsView, err error) {
	v.Now = p.Now()
	if v.Open, err = p.DB.OpenActions(ctx); err != nil {
		return v, err
	}
	v.Closed, err = p.DB.ClosedActions(ctx, v.Now.AddDate(0, 0, -closedDays))
	return v, err
}

// PutRight serves POST /round/actions/{id}/done: what was done about it.
func (p *Pages) PutRight(w http.ResponseWriter, r *http.Request) error {
	return p.settle(w, r, func(f form, act db.Act, id uuid.UUID) error {
		return p.DB.PutRight(r.Context(), act, id, f.get("done"), f.get("product"), f.get("cause"))
	})
}

// SeeRight serves POST /round/actions/{id}/close: a second person looked at it.
func (p *Pages) SeeRight(w http.ResponseWriter, r *http.Request) error {
	return p.settle(w, r, func(f form, act db.Act, id uuid.UUID) error { return p.DB.SeeRight(r.Context(), act, id) })
}

func (p *Pages) settle(w http.ResponseWriter, r *http.Request, do func(form, db.Act, uuid.UUID) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such thing to put right.")
	}
	err = do(form(r.PostForm), act, id)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal && e.Kind != domain.NotFound {
		v, err := p.actions(r.Context())
		if err != nil {
			return err
		}
		v.Form, v.At, v.Wrong = form(r.PostForm), id.String(), e
		return ui.Render(w, r, http.StatusUnprocessableEntity, actionsPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/round/actions", http.StatusSeeOther)
	return nil
}

func (v actionsView) form(a db.ActionRow) form {
	if v.At == a.ID.String() {
		return v.Form
	}
	return form{"act": {signin.NewAct()}}
}

func (v actionsView) wrong(a db.ActionRow) *domain.Error {
	if v.At == a.ID.String() {
		return v.Wrong
	}
	return nil
}
