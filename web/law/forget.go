package law

import (
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/google/uuid"
)

// forgetView is what was kept long enough, and what something open keeps.
type forgetView struct {
	Act       string
	Due, Held []db.KeptRecord
	Done      []db.Blanking
}

// ShowForget serves GET /office/forget: the owner's list of what was kept long enough.
func (p *Pages) ShowForget(w http.ResponseWriter, r *http.Request) error {
	v, err := p.forget(r)
	if err != nil {
		return err
	}
	v.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, forgetPage(v, nil))
}

func (p *Pages) forget(r *http.Request) (v forgetView, err error) {
	if v.Due, v.Held, err = p.DB.KeptLongEnough(r.Context(), p.Now()); err != nil {
		return v, err
	}
	v.Done, err = p.DB.Blankings(r.Context())
	return v, err
}

// Forget serves POST /office/forget: the owner approves the list as it was shown.
func (p *Pages) Forget(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = signin.PIN(r, p.DB, p.Now()); err == nil {
		var numbers []domain.ShopNumber
		for _, n := range r.Form["animal"] {
			numbers = append(numbers, domain.ShopNumber(n))
		}
		err = p.DB.Blank(r.Context(), act, numbers, papersIn(r))
	}
	if err == nil {
		http.Redirect(w, r, "/office/forget", http.StatusSeeOther)
		return nil
	}
	v, errRead := p.forget(r)
	if errRead != nil {
		return errRead
	}
	v.Act = act.ID.String()
	return again(w, r, err, func(wrong *domain.Error) templ.Component { return forgetPage(v, wrong) })
}

// papersIn reads which papers stood on the list: the kind and the id of each.
func papersIn(r *http.Request) (papers []db.Paper) {
	for _, typed := range r.Form["paper"] {
		kind, id, _ := strings.Cut(typed, " ")
		of, _ := uuid.Parse(id) // what is no id is no paper, says the database
		papers = append(papers, db.Paper{Kind: kind, ID: of})
	}
	return papers
}
