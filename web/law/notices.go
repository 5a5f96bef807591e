package law

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// noticesView is what is still to be told, and what was.
type noticesView struct {
	Open, Sent []db.Notice
	Reports    []db.Statute // that may be raised by hand
	Now        time.Time
	Which      string // the form that was sent: a notice's id, or raise
	Act        string
	How, When  string
	Answer     string
}

// act is the id of one of the page's forms.
func (v noticesView) act(which string) string {
	if v.Which == which {
		return v.Act
	}
	return signin.NewAct()
}

// ShowNotices serves GET /notices.
func (p *Pages) ShowNotices(w http.ResponseWriter, r *http.Request) error {
	v, err := p.notices(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, noticesPage(v, nil))
}

func (p *Pages) notices(ctx context.Context) (v noticesView, err error) {
	v.Now = p.Now()
	if v.Open, err = p.DB.OpenNotices(ctx); err != nil {
		return v, err
	}
	if v.Sent, err = p.DB.SentNotices(ctx); err != nil {
		return v, err
	}
	look := db.Looked{Page: "notices", Shown: []domain.Private{domain.Names, domain.Addresses}}
	if len(v.Open)+len(v.Sent) > 0 {
		if err := signin.Look(ctx, p.DB, v.Now, look); err != nil {
			return v, err
		}
	}
	rules, err := p.DB.Statutes(ctx)
	for _, s := range rules {
		if s.Topic == statute.Report && s.State != statute.AnyState {
			v.Reports = append(v.Reports, s)
		}
	}
	return v, err
}

// SendNotice serves POST /notices/{id}: how and when it was told.
func (p *Pages) SendNotice(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such notice.")
	}
	return p.told(w, r, id.String(), func(ctx context.Context, act db.Act) error {
		var when time.Time
		if typed := r.FormValue("sent"); typed != "" {
			if when, err = ui.ReadWhen(ctx, "sent", typed); err != nil {
				return err
			}
		}
		return p.DB.SendNotice(ctx, act, id, db.ToldSo{How: r.FormValue("how"), When: when, Answer: r.FormValue("answer")})
	})
}

// ReopenNotice serves POST /notices/again: one was ticked off by a slip.
func (p *Pages) ReopenNotice(w http.ResponseWriter, r *http.Request) error {
	return p.told(w, r, "again", func(ctx context.Context, act db.Act) error {
		id, err := uuid.Parse(r.FormValue("notice"))
		if err != nil {
			return domain.Wrong("notice", "Choose which one it was.")
		}
		return p.DB.ReopenNotice(ctx, act, id, r.FormValue("why"))
	})
}

// toldOptions are the notices that were told, and not taken back yet.
func toldOptions(ctx context.Context, sent []db.Notice) (options []ui.Option) {
	for _, n := range sent {
		if n.WrongAt == nil {
			options = append(options, ui.Option{Value: n.ID.String(), Label: ui.T(ctx, "%s, to %s %s", ui.Moment(ctx, *n.SentAt), n.Tell, string(n.Number))})
		}
	}
	return options
}

// RaiseNotice serves POST /notices: a month's, a season's, a year's report.
func (p *Pages) RaiseNotice(w http.ResponseWriter, r *http.Request) error {
	return p.told(w, r, "raise", func(ctx context.Context, act db.Act) error {
		start, err := ui.ReadDay(ctx, "start", r.FormValue("start"))
		if err != nil {
			return err
		}
		return p.DB.RaiseNotice(ctx, act, r.FormValue("report"), start)
	})
}

// told does what one of the page's forms asks, and shows the list again.
func (p *Pages) told(w http.ResponseWriter, r *http.Request, which string, do func(context.Context, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = do(r.Context(), act); err == nil {
		http.Redirect(w, r, "/notices", http.StatusSeeOther)
		return nil
	}
	v, errRead := p.notices(r.Context())
	if errRead != nil {
		return errRead
	}
	v.Which, v.Act, v.How, v.When, v.Answer = which, act.ID.String(), strings.TrimSpace(r.FormValue("how")), r.FormValue("sent"), r.FormValue("answer")
	return again(w, r, err, func(wrong *domain.Error) templ.Component { return noticesPage(v, wrong) })
}

// wrongOf is the error where it belongs to that form.
func (v noticesView) wrongOf(which string, wrong *domain.Error) *domain.Error {
	if v.Which == which {
		return wrong
	}
	return nil
}

func reportOptions(list []db.Statute) (options []ui.Option) {
	for _, s := range list {
		options = append(options, ui.Option{Value: s.Key, Label: s.Says, Note: s.Cites})
	}
	return options
}

// aboutSaid is the animal's hunter as the report has to name them.
func aboutSaid(ctx context.Context, n db.Notice) string {
	switch {
	case n.Number == "":
		return ""
	case n.Address == "":
		return ui.T(ctx, "%s, address still owed", n.Taker)
	}
	return ui.T(ctx, "%s, %s", n.Taker, n.Address)
}

func howTyped(v noticesView, n db.Notice) string {
	if v.Which == n.ID.String() {
		return v.How
	}
	return ""
}

func whenTyped(v noticesView, n db.Notice) string {
	if v.Which == n.ID.String() {
		return v.When
	}
	return ""
}

// stands reports whether the notice that was sent is still on the page.
func (v noticesView) stands() bool {
	return slices.ContainsFunc(v.Open, func(n db.Notice) bool { return n.ID.String() == v.Which })
}

func answerOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "keeps", Label: ui.T(ctx, "Keeps it")}, {Value: "replacement", Label: ui.T(ctx, "A replacement")},
		{Value: "money-back", Label: ui.T(ctx, "Money back")}, {Value: "discard", Label: ui.T(ctx, "Discard it")}}
}

func answerTyped(v noticesView, n db.Notice) string {
	if v.Which == n.ID.String() {
		return v.Answer
	}
	return ""
}

// sentSaid is how a notice was told, and what the owner answered.
func sentSaid(ctx context.Context, n db.Notice) string {
	said := ui.T(ctx, "%s, %s: %s", ui.Moment(ctx, *n.SentAt), n.SentBy, n.How)
	if n.Answer != "" {
		said = ui.T(ctx, "%s. Answer: %s", said, ui.LabelOf(answerOptions(ctx), n.Answer))
	}
	if n.WrongAt != nil {
		said = ui.T(ctx, "%s. Not told after all, says %s, %s: %s", said, n.WrongBy, ui.Moment(ctx, *n.WrongAt), n.WrongWhy)
	}
	return said
}

// phoneSaid is a phone number with how its owner wants to be told, where they said so.
func phoneSaid(ctx context.Context, phone, tellBy string) string {
	if way := ui.TellBy(ctx, tellBy); way != "" {
		return ui.T(ctx, "%s, %s", phone, way)
	}
	return phone
}

// openNote counts what is open; where nothing is, the page says so itself.
func openNote(ctx context.Context, n int) string {
	if n == 0 {
		return ""
	}
	return ui.T(ctx, "%d open", n)
}
