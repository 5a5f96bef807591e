package coolers

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/exposure"
	"coldrail/domain/round"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// incidentForm is what one of the page's three forms carried; Which says which.
type incidentForm struct {
	Which, Act           string
	Place, Number, Temp  string
	Numbers              []string
	Verdict, Why, Second string
	Found                string
}

// incidentView is the page of one incident.
type incidentView struct {
	db.IncidentFile
	Shown   []exposure.Reading // thinned
	Seconds []ui.Option        // who may stand beside the lead
	Form    incidentForm
	Wrong   *domain.Error
	Lead    bool
}

// act is the id for one of the page's forms: the one that was sent keeps its own.
func (v incidentView) act(which string) string {
	if v.Form.Which == which {
		return v.Form.Act
	}
	return signin.NewAct()
}

// wrong is the error if it belongs to the form named.
func (v incidentView) wrong(which string) *domain.Error {
	if v.Form.Which == which {
		return v.Wrong
	}
	return nil
}

// ShowIncident serves GET /coolers/incidents/{id}.
func (p *Pages) ShowIncident(w http.ResponseWriter, r *http.Request) error {
	v, err := p.incident(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, incidentPage(v))
}

// PrintIncident serves GET /coolers/incidents/{id}/report, the paper for the
// owner of the shop, an inspector or an insurer.
func (p *Pages) PrintIncident(w http.ResponseWriter, r *http.Request) error {
	v, err := p.incident(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, reportSheet(v, p.Now()))
}

// MeasureMeat serves POST /coolers/incidents/{id}/measure.
func (p *Pages) MeasureMeat(w http.ResponseWriter, r *http.Request) error {
	return p.onIncident(w, r, "measure", func(v incidentView, act db.Act) error {
		c, err := ui.ReadTemp(r.Context(), "c", v.Form.Temp)
		if err != nil {
			return err
		}
		number := domain.ShopNumber("")
		if v.Form.Number != "" {
			if number, err = v.numberOf(v.Form.Number); err != nil {
				return err
			}
		}
		return p.DB.MeasureMeat(r.Context(), act, v.ID, v.Form.Place, number, c)
	})
}

// numberOf reads a tag as it is written, or the four large digits of it where just one
// animal of the room has them.
func (v incidentView) numberOf(typed string) (domain.ShopNumber, error) {
	var found []domain.ShopNumber
	for _, a := range v.Animals {
		if a.Number.Short() == strings.TrimSpace(typed) {
			found = append(found, a.Number)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	return domain.ParseShopNumber("number", typed)
}

// DecideIncident serves POST /coolers/incidents/{id}/decide: one decision about
// each animal ticked, by name, with the PIN and the reason.
func (p *Pages) DecideIncident(w http.ResponseWriter, r *http.Request) error {
	return p.onIncident(w, r, "decide", func(v incidentView, act db.Act) error {
		verdict, reason := round.Decision(v.Form.Verdict), v.Form.Why
		if err := verdict.Check(reason); err != nil {
			return err
		}
		if verdict == round.CondemnAll {
			if !slices.ContainsFunc(v.Seconds, func(o ui.Option) bool { return o.Value == v.Form.Second }) {
				return domain.Wrong("second", "Condemning all of it takes two people. Say who looked at it with you.")
			}
			reason += " " + ui.T(r.Context(), "(seen with %s)", v.Form.Second)
		}
		var numbers []domain.ShopNumber
		for _, n := range v.Form.Numbers {
			if !slices.ContainsFunc(v.Animals, func(a db.Affected) bool { return string(a.Number) == n }) {
				return domain.Wrong("numbers", "%s was not in this room.", n)
			}
			numbers = append(numbers, domain.ShopNumber(n))
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.DecideIncident(r.Context(), act, v.ID, numbers, verdict, reason)
	})
}

// CloseIncident serves POST /coolers/incidents/{id}/close.
func (p *Pages) CloseIncident(w http.ResponseWriter, r *http.Request) error {
	return p.onIncident(w, r, "close", func(v incidentView, act db.Act) error {
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.CloseIncident(r.Context(), act, v.ID, v.Form.Found)
	})
}

// onIncident carries out one of the page's forms and shows the page again, with
// what was typed, where that did not go.
func (p *Pages) onIncident(w http.ResponseWriter, r *http.Request, which string, do func(incidentView, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.incident(r)
	if err != nil {
		return err
	}
	v.Form = incidentForm{Which: which, Act: r.FormValue("act"), Place: r.FormValue("place"), Number: r.FormValue("number"), Temp: r.FormValue("c"),
		Numbers: r.PostForm["numbers"], Verdict: r.FormValue("verdict"), Why: r.FormValue("reason"), Second: r.FormValue("second"), Found: r.FormValue("found")}
	err = do(v, act)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.Wrong = e
		return ui.Render(w, r, http.StatusUnprocessableEntity, incidentPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/coolers/incidents/"+v.ID.String(), http.StatusSeeOther)
	return nil
}

// incident reads the page.
func (p *Pages) incident(r *http.Request) (v incidentView, err error) {
	ctx, now := r.Context(), p.Now()
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return v, domain.Missing("There is no such incident.")
	}
	i, err := p.DB.Incident(ctx, id)
	if err != nil {
		return v, err
	}
	if v.IncidentFile, err = p.DB.IncidentFile(ctx, i, now); err != nil {
		return v, err
	}
	v.Shown = thinned(v.Readings, v.Incident, 48)
	holder := signin.Holder(ctx).Staff
	v.Lead = slices.Contains(holder.Roles, "lead") || slices.Contains(holder.Roles, "owner")
	v.Seconds, err = p.seconds(ctx, holder.ID)
	return v, err
}

// seconds are the people who may stand beside whoever decides.
func (p *Pages) seconds(ctx context.Context, but uuid.UUID) ([]ui.Option, error) {
	staff, err := p.DB.AllStaff(ctx, p.Now())
	var list []ui.Option
	for _, s := range staff {
		if s.ID != but {
			list = append(list, ui.Option{Value: s.Name, Label: s.Name})
		}
	}
	return list, err
}

// thinned keeps at most some readings, always the first, the last and the warmest.
func thinned(readings []exposure.Reading, i db.Incident, most int) []exposure.Reading {
	if len(readings) <= most {
		return readings
	}
	warmest := 0
	for n, r := range readings {
		if r.C > readings[warmest].C {
			warmest = n
		}
	}
	var list []exposure.Reading
	every := len(readings)/most + 1
	for n, r := range readings {
		if n%every == 0 || n == warmest || n == len(readings)-1 {
			list = append(list, r)
		}
	}
	return list
}
