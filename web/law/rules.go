package law

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/register"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"
)

// rulesView is the list: one state's rules, by topic.
type rulesView struct {
	State  string // as asked for; empty: what reaches the shop
	Home   string
	States []string
	Rules  []db.Statute
	Now    time.Time
}

// about lists the rules of one topic.
func (v rulesView) about(t statute.Topic) (list []db.Statute) {
	for _, r := range v.Rules {
		if r.Topic == t {
			list = append(list, r)
		}
	}
	return list
}

// ShowRules serves GET /office/rules: what reaches this shop, or another state's.
func (p *Pages) ShowRules(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	shop, err := p.DB.Shop(ctx)
	if err != nil {
		return err
	}
	v := rulesView{State: strings.ToUpper(strings.TrimSpace(r.FormValue("state"))), Home: shop.HomeState, Now: p.Now()}
	if v.States, err = p.DB.StatuteStates(ctx); err != nil {
		return err
	}
	if v.State == "" {
		v.Rules, err = p.DB.Statutes(ctx)
	} else {
		v.Rules, err = p.DB.StatutesOf(ctx, v.State)
	}
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, rulesPage(v))
}

// ruleView is one rule with its form and its history; Version 0 is a new one.
type ruleView struct {
	statute.Rule
	Act, Counted       string
	CheckedDay, Review string
	Version            int
	Versions           []db.Statute
	Now                time.Time
}

// ShowRule serves GET /office/rules/{rule}; "new" is an empty form.
func (p *Pages) ShowRule(w http.ResponseWriter, r *http.Request) error {
	v := ruleView{Act: signin.NewAct(), Now: p.Now()}
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	v.State, v.Covers = shop.HomeState, "game"
	if err := p.versions(r, &v); err != nil {
		return err
	}
	if len(v.Versions) > 0 {
		now := v.Versions[0]
		v.Rule, v.Version = now.Rule, now.Version
		if now.Count > 0 {
			v.Counted = strconv.Itoa(now.Count)
		}
		v.CheckedDay, v.Review = dayTyped(now.CheckedOn), dayTyped(now.ReviewOn)
	}
	return ui.Render(w, r, http.StatusOK, rulePage(v, nil))
}

func (p *Pages) versions(r *http.Request, v *ruleView) (err error) {
	if key := chi.URLParam(r, "rule"); key != "new" {
		v.Versions, err = p.DB.StatuteVersions(r.Context(), key)
	}
	return err
}

// dayTyped writes a day of the calendar for a date field.
func dayTyped(day *time.Time) string {
	if day == nil {
		return ""
	}
	return day.Format(time.DateOnly)
}

// WriteRule serves POST /office/rules/{rule}: a new rule or a new version of one.
func (p *Pages) WriteRule(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := readRule(r)
	if errOf := p.versions(r, &v); errOf != nil {
		return errOf
	}
	v.Act, v.Now = act.ID.String(), p.Now()
	if err == nil {
		err = p.write(r, act, v)
	}
	if err != nil {
		return again(w, r, err, func(wrong *domain.Error) templ.Component { return rulePage(v, wrong) })
	}
	http.Redirect(w, r, "/office/rules", http.StatusSeeOther)
	return nil
}

func (p *Pages) write(r *http.Request, act db.Act, v ruleView) error {
	if err := signin.PIN(r, p.DB, p.Now()); err != nil {
		return err
	}
	if r.FormValue("end") == "yes" && v.Version > 0 {
		return p.DB.EndStatute(r.Context(), act, v.Key, v.Version)
	}
	return p.DB.WriteStatute(r.Context(), act, v.Version, v.Rule)
}

func readRule(r *http.Request) (v ruleView, err error) {
	typed := func(field string) string { return strings.TrimSpace(r.FormValue(field)) }
	v.Key = chi.URLParam(r, "rule")
	if v.Key == "new" {
		v.Key = newKey(typed("state"), typed("topic"), typed("act"))
	}
	v.State, v.StateName = strings.ToUpper(typed("state")), typed("state_name")
	v.EachOwner = typed("each_owner") == "yes"
	v.Topic, v.Covers, v.Form = statute.Topic(typed("topic")), typed("covers"), typed("shape")
	v.Says, v.Cites, v.TextDate, v.Tell, v.Must = typed("says"), typed("cites"), typed("text_date"), typed("tell"), typed("must")
	v.Trigger, v.Starts, v.Unit, v.Pending = statute.Trigger(typed("trigger")), statute.Start(typed("starts")), statute.Unit(typed("unit")), typed("pending")
	v.Species, v.Places = parts(typed("species")), parts(typed("places"))
	v.CheckedBy, v.CheckedDay, v.Review, v.Counted = typed("checked_by"), typed("checked_on"), typed("review_on"), typed("count")
	v.Version, _ = strconv.Atoi(typed("version")) // nothing typed there is a new rule
	v.Origin, v.Mark, v.CleanBetween = statute.Origin(typed("origin")), typed("mark"), typed("clean_between") == "yes"
	v.Custody = statute.Custody(typed("custody"))
	if r.ParseForm() == nil {
		v.Fields = r.Form["fields"]
		for _, e := range r.Form["accepts"] {
			v.Accepts = append(v.Accepts, statute.Evidence(e))
		}
	}
	if v.Counted != "" {
		if v.Count, err = strconv.Atoi(v.Counted); err != nil {
			return v, domain.Wrong("count", "Give a whole number.")
		}
	}
	if v.CheckedOn, err = calendarDay("checked_on", v.CheckedDay); err != nil {
		return v, err
	}
	v.ReviewOn, err = calendarDay("review_on", v.Review)
	return v, err
}

// newKey is what a new rule is found by: its state, what it is about, and the end of its
// form's id, so that the form sent twice is one rule.
func newKey(state, topic, act string) string {
	if state == "*" {
		state = "any"
	}
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return -1
	}, strings.ToLower(state+"-"+topic))
	return strings.TrimLeft(name[:min(len(name), 40)]+"-"+act[max(0, len(act)-6):], "-")
}

// calendarDay reads a day that may stay empty.
func calendarDay(field, typed string) (*time.Time, error) {
	if typed == "" {
		return nil, nil
	}
	day, err := time.Parse(time.DateOnly, typed)
	if err != nil {
		return nil, domain.Wrong(field, "Give the day as a date.")
	}
	return &day, nil
}

// parts splits what was typed with commas between.
func parts(typed string) []string {
	var list []string
	for _, s := range strings.Split(typed, ",") {
		if s = strings.TrimSpace(s); s != "" {
			list = append(list, s)
		}
	}
	return list
}

func topicOptions(ctx context.Context) (list []ui.Option) {
	for _, t := range statute.Topics {
		list = append(list, ui.Option{Value: string(t), Label: ui.Say(ctx, t.Words())})
	}
	return list
}

// accepts are the kinds of proof the rule accepts, for the form.
func (v ruleView) accepts() (kinds []string) {
	for _, e := range v.Accepts {
		kinds = append(kinds, string(e))
	}
	return kinds
}

func fieldOptions(ctx context.Context) (list []ui.Option) {
	for _, f := range register.Fields {
		list = append(list, ui.Option{Value: f.Name, Label: ui.Say(ctx, f.Label)})
	}
	return list
}
