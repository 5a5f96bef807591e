package pickup

import (
	"net/http"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// fetchView is the settings of handing out.
type fetchView struct {
	Act, Second, Letter, Decide, AfterLetter string
	Stub, On                                 bool
	Rules                                    []statute.Rule // of the state, about meat nobody fetches
}

// ShowFetching serves GET /office/fetching.
func (p *Pages) ShowFetching(w http.ResponseWriter, r *http.Request) error {
	f, err := p.DB.Fetching(r.Context())
	if err != nil {
		return err
	}
	rules, err := p.DB.UnfetchedRules(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, fetchingPage(fetchView{Rules: rules, Act: signin.NewAct(), Second: strconv.Itoa(f.SecondDays), Letter: strconv.Itoa(f.LetterDays),
		Decide: strconv.Itoa(f.DecideDays), AfterLetter: strconv.Itoa(f.AfterLetterDays), Stub: f.StubCollects, On: f.On}, nil))
}

// SetFetching serves POST /office/fetching.
func (p *Pages) SetFetching(w http.ResponseWriter, r *http.Request) error {
	v := fetchView{Act: r.FormValue("act"), Second: r.FormValue("second"), Letter: r.FormValue("letter"), Decide: r.FormValue("decide"), AfterLetter: r.FormValue("after_letter"),
		Stub: r.FormValue("stub") == "yes", On: r.FormValue("on") == "yes"}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	err = p.DB.SetFetching(r.Context(), act, db.Fetching{StubCollects: v.Stub, Ladder: animal.Ladder{On: v.On, SecondDays: daysTyped(v.Second), LetterDays: daysTyped(v.Letter),
		DecideDays: daysTyped(v.Decide), AfterLetterDays: daysTyped(v.AfterLetter)}})
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		if v.Rules, err = p.DB.UnfetchedRules(r.Context()); err != nil {
			return err
		}
		return ui.Render(w, r, http.StatusUnprocessableEntity, fetchingPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/fetching", http.StatusSeeOther)
	return nil
}
