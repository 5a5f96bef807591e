package office

import (
	"context"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// answersView is the form of what the shop answers to owners.
type answersView struct {
	Act  string
	Says db.Answers
}

// ShowAnswers serves GET /office/answers.
func (p *Pages) ShowAnswers(w http.ResponseWriter, r *http.Request) error {
	says, err := p.DB.Answers(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, answersPage(answersView{Act: signin.NewAct(), Says: says}, nil))
}

// SetAnswers serves POST /office/answers.
func (p *Pages) SetAnswers(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := answersView{Act: act.ID.String(), Says: db.Answers{}}
	for _, q := range animal.Questions {
		v.Says[q] = typedAnswer(r.Context(), q, r.FormValue(string(q)))
	}
	err = p.DB.SetAnswers(r.Context(), act, v.Says)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		return ui.Render(w, r, http.StatusUnprocessableEntity, answersPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/answers", http.StatusSeeOther)
	return nil
}

// typedAnswer is empty where the usual answer was left as it stands, so that a later
// version may say it better.
func typedAnswer(ctx context.Context, q animal.Question, typed string) string {
	typed = strings.TrimSpace(strings.ReplaceAll(typed, "\r\n", "\n"))
	if typed == ui.Say(ctx, q.Usual()) {
		return ""
	}
	return typed
}

// shownAnswer is what stands in the field: the shop's own, or the usual.
func (v answersView) shownAnswer(ctx context.Context, q animal.Question) string {
	if own := v.Says[q]; own != "" {
		return own
	}
	return ui.Say(ctx, q.Usual())
}

// answerHint marks the answers that are the shop's own.
func (v answersView) answerHint(ctx context.Context, q animal.Question) string {
	if v.Says[q] != "" {
		return ui.T(ctx, "Your own. Empty the field for the usual answer.")
	}
	return ""
}

func questionFields() []string {
	names := make([]string, len(animal.Questions))
	for i, q := range animal.Questions {
		names[i] = string(q)
	}
	return names
}
