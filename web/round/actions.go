package round

import (
	"context"
	"net/http"
	"strings"
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
	Open   []found
	Closed []db.ActionRow
	Form   form
	At     string // the id of the first finding whose form came back
	Wrong  *domain.Error
	Now    time.Time
}

// found is what one walk, or one moment, found in a room and one person puts right.
type found []db.ActionRow

// title is the room, with the finding where it is one.
func (f found) title(ctx context.Context) string {
	if len(f) == 1 {
		return f[0].Label + ": " + ui.Say(ctx, f[0].Action().Found())
	}
	return ui.T(ctx, "%s: %d things", f[0].Label, len(f))
}

// tick names the box of one of several findings.
func tick(a db.ActionRow) string { return "action-" + a.ID.String() }

// anchor is where the first page leads to: the card of one finding; of several each
// has it at its box.
func (f found) anchor() string {
	if len(f) == 1 {
		return tick(f[0])
	}
	return "several-" + f[0].ID.String()
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
	open, err := p.DB.OpenActions(ctx)
	if err != nil {
		return v, err
	}
	for _, f := range db.ByWalk(open) {
		v.Open = append(v.Open, f)
	}
	v.Closed, err = p.DB.ClosedActions(ctx, v.Now.AddDate(0, 0, -closedDays))
	return v, err
}

// PutRight serves POST /round/actions/{id}/done: what was done about it.
func (p *Pages) PutRight(w http.ResponseWriter, r *http.Request) error {
	return p.settle(w, r, func(f form, act db.Act, ids []uuid.UUID) error {
		return p.DB.PutRight(r.Context(), act, ids, f.get("done"), f.get("product"), f.get("cause"))
	})
}

// SeeRight serves POST /round/actions/{id}/close: a second person looked at it.
func (p *Pages) SeeRight(w http.ResponseWriter, r *http.Request) error {
	return p.settle(w, r, func(f form, act db.Act, ids []uuid.UUID) error { return p.DB.SeeRight(r.Context(), act, ids) })
}

func (p *Pages) settle(w http.ResponseWriter, r *http.Request, do func(form, db.Act, []uuid.UUID) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such thing to put right.")
	}
	ids, err := form(r.PostForm).actions(id)
	if err == nil {
		err = do(form(r.PostForm), act, ids)
	}
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

// actions are the findings a form is about: the one of its address, or those that
// were ticked among several.
func (f form) actions(first uuid.UUID) (ids []uuid.UUID, err error) {
	if f.get("several") == "" {
		return []uuid.UUID{first}, nil
	}
	for name := range f {
		typed, is := strings.CutPrefix(name, "action-")
		if !is {
			continue
		}
		id, err := uuid.Parse(typed)
		if err != nil {
			return nil, domain.Missing("There is no such thing to put right.")
		}
		ids = append(ids, id)
	}
	if len(ids) == 0 {
		err = domain.Wrong("several", "Tick what it is about.")
	}
	return ids, err
}

// ticked reports whether the box of a finding is ticked: all are until one is not.
func (v actionsView) ticked(f found, a db.ActionRow) bool {
	return v.At != f[0].ID.String() || v.Form.get(tick(a)) != ""
}

func (v actionsView) form(f found) form {
	if v.At == f[0].ID.String() {
		return v.Form
	}
	return form{"act": {signin.NewAct()}}
}

func (v actionsView) wrong(f found) *domain.Error {
	if v.At == f[0].ID.String() {
		return v.Wrong
	}
	return nil
}
