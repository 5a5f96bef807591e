package round

import (
	"context"
	"net/http"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/round"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/google/uuid"
)

// lookView is one animal with its looks and the lead's decisions about it.
type lookView struct {
	Animal    db.Animal
	Looks     []db.LookRow
	Taken     []db.TakenSurface // from touched neighbours
	Decisions []db.DecisionRow
	Warm      *db.Incident // that stopped it, not decided about; nil: none
	Seconds   []ui.Option  // who may stand beside the lead
	Form      form
	Wrong     *domain.Error
	Deciding  bool // the form that came back is the decision's
	Now       time.Time
}

// lookTools is where a look leads besides: none but the table, of one that is there.
func lookTools(a db.Animal) templ.Component {
	if a.Physical != animal.OnTable {
		return nil
	}
	return tableTool(a.Number)
}

// ShowLook serves GET /animals/{number}/look.
func (p *Pages) ShowLook(w http.ResponseWriter, r *http.Request) error {
	v, err := p.look(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	v.Form = form{"act": {signin.NewAct()}}
	return ui.Render(w, r, http.StatusOK, lookPage(v))
}

// Look serves POST /animals/{number}/look: one look outside a round.
func (p *Pages) Look(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, false, func(v lookView, act db.Act) error {
		l, made, err := readLook(r.Context(), v.Form, act.At)
		if err != nil {
			return err
		}
		if l.Photo, err = photo.Read(r, "photo-"+string(v.Animal.Number)); err != nil {
			return err
		}
		if !made {
			return domain.Wrong("look", "Say how it feels and what it smells of.")
		}
		return p.DB.Look(r.Context(), act, v.Animal.Number, l)
	})
}

// Decide serves POST /animals/{number}/decide: the lead, with a PIN. Condemning
// all of it takes a second person, who stands in the reason.
func (p *Pages) Decide(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, true, func(v lookView, act db.Act) error {
		verdict, reason := round.Decision(v.Form.get("verdict")), v.Form.get("reason")
		if err := verdict.Check(reason); err != nil {
			return err
		}
		second := v.Form.get("second")
		if verdict == round.CondemnAll {
			if !slices.ContainsFunc(v.Seconds, func(o ui.Option) bool { return o.Value == second }) {
				return domain.Wrong("second", "Condemning all of it takes two people. Say who looked at it with you.")
			}
			reason += " " + ui.T(r.Context(), "(seen with %s)", second)
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.Decide(r.Context(), act, v.Animal.Number, verdict, reason)
	})
}

// do carries out one of the page's two forms and shows the page again where that
// did not go.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, deciding bool, act func(lookView, db.Act) error) error {
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.look(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	v.Form, v.Deciding = form(r.PostForm), deciding
	err = act(v, a)
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.Wrong = e
		return ui.Render(w, r, http.StatusUnprocessableEntity, lookPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/animals/"+string(v.Animal.Number)+"/look", http.StatusSeeOther)
	return nil
}

func (p *Pages) look(ctx context.Context, number domain.ShopNumber) (lookView, error) {
	v := lookView{Now: p.Now()}
	var err error
	if v.Animal, err = p.DB.Animal(ctx, number); err != nil {
		return v, err
	}
	if v.Looks, err = p.DB.LooksAt(ctx, v.Animal.Number); err != nil {
		return v, err
	}
	if v.Taken, err = p.DB.SurfacesTaken(ctx, v.Animal.Number); err != nil {
		return v, err
	}
	if v.Decisions, err = p.DB.DecisionsOn(ctx, v.Animal.Number); err != nil {
		return v, err
	}
	if v.Warm, err = p.DB.IncidentToDecide(ctx, v.Animal.Number); err != nil {
		return v, err
	}
	staff, err := p.DB.AllStaff(ctx, v.Now)
	for _, s := range staff {
		if s.ID != signin.Holder(ctx).Staff.ID {
			v.Seconds = append(v.Seconds, ui.Option{Value: s.Name, Label: s.Name, Note: ui.RoleNames(ctx, s.Roles)})
		}
	}
	return v, err
}

// wrong is the error if it belongs to the form asked about.
func (v lookView) wrong(deciding bool) *domain.Error {
	if v.Deciding == deciding {
		return v.Wrong
	}
	return nil
}

// act is the id of one of the two forms: the one sent keeps its own, and the two
// never share one.
func (v lookView) act(deciding bool) string {
	if v.Wrong != nil && v.Deciding == deciding {
		return v.Form.get("act")
	}
	return uuid.Must(uuid.NewV7()).String()
}

// stop is the last look that stopped it, where nobody has decided since; nil: none. A
// clean look after it is not the lead's decision.
func (v lookView) stop() *db.LookRow {
	k := slices.IndexFunc(v.Looks, func(l db.LookRow) bool { return l.Look().Stops() })
	if k < 0 || len(v.Decisions) > 0 && !v.Decisions[0].At.Before(v.Looks[k].At) {
		return nil
	}
	return &v.Looks[k]
}
