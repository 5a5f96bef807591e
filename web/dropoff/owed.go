package dropoff

import (
	"maps"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/register"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// ShowOwed serves GET /dropoff/owed: who is to be called, and for what.
func (p *Pages) ShowOwed(w http.ResponseWriter, r *http.Request) error {
	owed, err := p.DB.Owed(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, owedPage(owed))
}

// tellView is the form that pays what one animal owes.
type tellView struct {
	Animal db.Owing
	Lines  []db.RegisterLine
	Act    string
	Typed  map[string]string // by field of the register
	Hour   string            // of the kill
	How    string            // how it is known, one of a few
	Why    string
	Repeat string
	Back   string // "hung" or "record": the page it was opened from; else the list
	Right  bool   // it was opened to put something right
}

// ShowTell serves GET /dropoff/owed/{number}.
func (p *Pages) ShowTell(w http.ResponseWriter, r *http.Request) error {
	v, err := p.tellView(r)
	if err != nil {
		return err
	}
	v.Act, v.Back, v.Right = signin.NewAct(), r.FormValue("back"), r.FormValue("right") != ""
	return ui.Render(w, r, http.StatusOK, tellPage(v, nil))
}

// Tell serves POST /dropoff/owed/{number}: enters what was told.
func (p *Pages) Tell(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	how, why := strings.TrimSpace(r.FormValue("how")), strings.TrimSpace(r.FormValue("why"))
	told := db.Told{Fields: map[string]string{}, Why: how, RepeatWhy: r.FormValue("repeat_why")}
	switch {
	case how == "":
		told.Why = why
	case why != "":
		told.Why += ", " + why
	}
	for _, f := range register.Fields {
		if value := written(r, f.Name); value != "" {
			told.Fields[f.Name] = value
		}
	}
	typed := maps.Clone(told.Fields)
	if told.Fields["killed"], err = p.killed(r); err == nil {
		err = p.DB.Tell(r.Context(), act, ui.ShopNumber(r), told)
	}
	if err == nil {
		http.Redirect(w, r, backFrom(r.FormValue("back"), ui.ShopNumber(r)), http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.tellView(r)
	if err != nil {
		return err
	}
	v.Act, v.Typed, v.Hour, v.How, v.Why, v.Repeat, v.Back = act.ID.String(), typed, strings.TrimSpace(r.FormValue("killed_time")), how, why, told.RepeatWhy, r.FormValue("back")
	return ui.Render(w, r, http.StatusUnprocessableEntity, tellPage(v, wrong))
}

// backFrom is where whoever entered it goes on: with the owner who stands there, on the
// record, or down the list of those to call.
func backFrom(back string, n domain.ShopNumber) string {
	switch back {
	case "hung":
		return "/dropoff/" + string(n) + "/hung"
	case "record":
		return "/animals/" + string(n)
	}
	return "/dropoff/owed"
}

// written is what was typed of a field; the kinds of proof that were ticked are one text.
func written(r *http.Request, field string) string {
	if field != "proof" {
		return strings.TrimSpace(r.FormValue(field))
	}
	var shown []statute.Evidence
	for _, e := range r.Form["proof"] {
		shown = append(shown, statute.Evidence(e))
	}
	return statute.WriteProof(shown)
}

// killed is the kill as it was told since, as the register writes it; empty where nobody
// touched it. An hour alone is one of the day that stands.
func (p *Pages) killed(r *http.Request) (string, error) {
	ctx := r.Context()
	f := dropForm{Day: "other", Date: strings.TrimSpace(r.FormValue("killed")), Time: strings.TrimSpace(r.FormValue("killed_time"))}
	if f.Date == "" && f.Time == "" {
		return "", nil
	}
	if f.Date == "" {
		a, err := p.DB.Animal(ctx, ui.ShopNumber(r))
		if err != nil {
			return "", err
		}
		f.Date = ui.TypedDay(ctx, a.KilledAt)
	}
	at, dayOnly, err := f.killed(ctx, p.Now())
	if dayOnly {
		return at.Format(time.DateOnly), err
	}
	return at.Format(db.RegisterTime), err
}

// GiveReceipt serves POST /dropoff/{number}/receipt: the slip was handed over, as the
// state wants it.
func (p *Pages) GiveReceipt(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	if err := p.DB.Tell(r.Context(), act, n, db.Told{Fields: map[string]string{"receipt": db.ReceiptGiven}, Why: "printed and handed over"}); err != nil {
		return err
	}
	http.Redirect(w, r, "/dropoff/"+string(n)+"/hung", http.StatusSeeOther)
	return nil
}

func (p *Pages) tellView(r *http.Request) (v tellView, err error) {
	if v.Animal, err = p.DB.OwedBy(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	if v.Lines, err = p.DB.RegisterOf(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	return v, signin.Look(r.Context(), p.DB, p.Now(), db.Looked{Number: v.Animal.Number, Page: "owed", Shown: privateIn(v.Lines)})
}

// privateIn are the groups of private things that the lines hold.
func privateIn(lines []db.RegisterLine) (groups []domain.Private) {
	for _, l := range lines {
		for _, f := range told(l) {
			if f.Private != "" && !slices.Contains(groups, f.Private) {
				groups = append(groups, f.Private)
			}
		}
	}
	return groups
}

// told lists the fields of a line that say something, in the register's order.
func told(l db.RegisterLine) []register.Field {
	var said []register.Field
	for _, f := range register.Fields {
		if l.Value(f) != "" {
			said = append(said, f)
		}
	}
	return said
}

// rest are the fields that are not owed and may be put right.
func (v tellView) rest() (open []register.Field) {
	owed := v.Animal.Fields()
	for _, f := range register.Fields {
		if db.CanBeTold(f.Name) && !slices.ContainsFunc(owed, func(o register.Field) bool { return o.Name == f.Name }) {
			open = append(open, f)
		}
	}
	return open
}

// restOpen reports whether they are what the page was opened for: to put one right,
// nothing is owed, or something was typed there.
func (v tellView) restOpen(wrong *domain.Error) bool {
	return v.Right || len(v.Animal.Fields()) == 0 || slices.ContainsFunc(v.rest(), func(f register.Field) bool {
		return v.Typed[f.Name] != "" || f.Name == "killed" && v.Hour != "" || wrongAt(wrong, f.Name)
	})
}
