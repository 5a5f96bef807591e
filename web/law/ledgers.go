package law

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/google/uuid"
)

// disposalView is the ledger of what left and is no meat for anybody.
type disposalView struct {
	Loads []db.Load
	Here  []db.SpineHere
	Act   string
	Form  struct{ Kind, Weight, Barrels, Denatured, Hauler, Receipt, Site, Left string }
	Ticks []string
}

// ShowDisposal serves GET /disposal.
func (p *Pages) ShowDisposal(w http.ResponseWriter, r *http.Request) error {
	v := disposalView{Act: signin.NewAct()}
	v.Form.Left = ui.TypedWhen(r.Context(), p.Now())
	if err := p.disposal(r.Context(), &v); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, disposalPage(v, nil))
}

func (p *Pages) disposal(ctx context.Context, v *disposalView) (err error) {
	if v.Loads, err = p.DB.Loads(ctx); err == nil {
		v.Here, err = p.DB.SpinesHere(ctx)
	}
	return err
}

// HaulOff serves POST /disposal: a load left.
func (p *Pages) HaulOff(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := disposalView{Act: act.ID.String(), Ticks: r.Form["animals"]}
	v.Form.Kind, v.Form.Weight, v.Form.Barrels, v.Form.Denatured = r.FormValue("kind"), r.FormValue("load_weight"), r.FormValue("barrels"), r.FormValue("denatured")
	v.Form.Hauler, v.Form.Receipt, v.Form.Site, v.Form.Left = r.FormValue("hauler"), r.FormValue("receipt"), r.FormValue("site"), r.FormValue("left")
	l, err := v.load(r.Context())
	if err == nil {
		err = p.DB.HaulOff(r.Context(), act, l)
	}
	if err == nil {
		http.Redirect(w, r, "/disposal", http.StatusSeeOther)
		return nil
	}
	if errRead := p.disposal(r.Context(), &v); errRead != nil {
		return errRead
	}
	return again(w, r, err, func(wrong *domain.Error) templ.Component { return disposalPage(v, wrong) })
}

func (v disposalView) load(ctx context.Context) (l db.Load, err error) {
	l = db.Load{Kind: v.Form.Kind, Denatured: v.Form.Denatured, Hauler: v.Form.Hauler, Receipt: v.Form.Receipt, Site: v.Form.Site, Animals: v.Ticks}
	if typed := strings.TrimSpace(v.Form.Barrels); typed != "" {
		if l.Barrels, err = strconv.Atoi(typed); err != nil {
			return l, domain.Wrong("barrels", "Count the barrels.")
		}
	}
	if l.Kg, err = ui.ReadWeight(ctx, "load_weight", v.Form.Weight); err != nil {
		return l, err
	}
	l.LeftAt, err = ui.ReadWhen(ctx, "left", v.Form.Left)
	return l, err
}

// programmesView is what was signed over to programmes and what was delivered.
type programmesView struct {
	Programmes []db.Programme
	Deer       []db.SignedOver
	Out        []db.Delivery
	Rules      []statute.Rule // of the state, about giving meat away
	Owns       bool
	Act        string
	Which      string // add, over or deliver
	Form       struct {
		Name, Registration, Words, Takes, Programme, Number, Signer, Strokes, Weight, Charity, Receipt, TakenBy string
	}
}

// wrongOf is the error where it belongs to that form.
func (v programmesView) wrongOf(which string, wrong *domain.Error) *domain.Error {
	if v.Which == which {
		return wrong
	}
	return nil
}

// ShowProgrammes serves GET /programmes.
func (p *Pages) ShowProgrammes(w http.ResponseWriter, r *http.Request) error {
	v := programmesView{Act: signin.NewAct()}
	if err := p.programmes(r.Context(), &v); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, programmesPage(v, nil))
}

func (p *Pages) programmes(ctx context.Context, v *programmesView) (err error) {
	v.Owns = signin.Holder(ctx).Staff.Has("owner")
	if v.Programmes, err = p.DB.Programmes(ctx); err != nil {
		return err
	}
	if v.Deer, err = p.DB.SignedOverDeer(ctx); err != nil {
		return err
	}
	if v.Rules, err = p.DB.RulesFor(ctx, statute.Donation); err != nil {
		return err
	}
	v.Out, err = p.DB.Deliveries(ctx)
	return err
}

// AddProgramme serves POST /programmes/add: the owner writes a programme down.
func (p *Pages) AddProgramme(w http.ResponseWriter, r *http.Request) error {
	return p.programme(w, r, "add", func(ctx context.Context, act db.Act, v programmesView) error {
		g := db.Programme{Name: v.Form.Name, Registration: v.Form.Registration, Words: v.Form.Words}
		switch v.Form.Takes {
		case "":
		case "whole":
			g.WholeCuts = true
		case "ground":
			g.GroundOnly = true
		default:
			return domain.Wrong("takes", "Choose what it takes.")
		}
		return p.DB.AddProgramme(ctx, act, g)
	})
}

// SignOver serves POST /programmes/over: a hunter gives their deer.
func (p *Pages) SignOver(w http.ResponseWriter, r *http.Request) error {
	return p.programme(w, r, "over", func(ctx context.Context, act db.Act, v programmesView) error {
		number, err := domain.ParseShopNumber("deer", v.Form.Number)
		if err != nil {
			return err
		}
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		id, _ := uuid.Parse(v.Form.Programme) // what is no id is no programme, says the database
		return p.DB.SignOver(ctx, act, number, id, db.Signature{Signer: v.Form.Signer, Strokes: v.Form.Strokes})
	})
}

// Deliver serves POST /programmes/deliver: meat of a programme left.
func (p *Pages) Deliver(w http.ResponseWriter, r *http.Request) error {
	return p.programme(w, r, "deliver", func(ctx context.Context, act db.Act, v programmesView) error {
		kg, err := ui.ReadWeight(ctx, "load_weight", v.Form.Weight)
		if err != nil {
			return err
		}
		id, _ := uuid.Parse(v.Form.Programme)
		return p.DB.Deliver(ctx, act, id, db.Delivery{Kg: kg, Charity: v.Form.Charity, Receipt: v.Form.Receipt, TakenBy: v.Form.TakenBy})
	})
}

// programme does one thing and comes back to the ledger.
func (p *Pages) programme(w http.ResponseWriter, r *http.Request, which string, what func(context.Context, db.Act, programmesView) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := programmesView{Act: act.ID.String(), Which: which}
	f := &v.Form
	f.Name, f.Registration, f.Words = r.FormValue("programme_name"), r.FormValue("registration"), r.FormValue("words")
	f.Takes = r.FormValue("takes")
	f.Programme, f.Number, f.Signer, f.Strokes = r.FormValue("programme"), r.FormValue("deer"), r.FormValue("signer"), r.FormValue("strokes")
	f.Weight, f.Charity, f.Receipt, f.TakenBy = r.FormValue("load_weight"), r.FormValue("charity"), r.FormValue("receipt"), r.FormValue("taken_by")
	if err = what(r.Context(), act, v); err == nil {
		http.Redirect(w, r, "/programmes", http.StatusSeeOther)
		return nil
	}
	if domain.As(err).Kind == domain.NotFound {
		err = domain.Wrong("deer", "There is no animal of that number. Read the tag again.")
	}
	if errRead := p.programmes(r.Context(), &v); errRead != nil {
		return errRead
	}
	return again(w, r, err, func(wrong *domain.Error) templ.Component { return programmesPage(v, wrong) })
}

func takesOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "All cuts")}, {Value: "whole", Label: ui.T(ctx, "Whole cuts only")}, {Value: "ground", Label: ui.T(ctx, "Ground meat only")}}
}

func programmeOptions(v programmesView) (options []ui.Option) {
	for _, g := range v.Programmes {
		options = append(options, ui.Option{Value: g.ID.String(), Label: g.Name})
	}
	return options
}

// spinesSaid is what waits for the hauler in marked barrels, where something does.
func spinesSaid(ctx context.Context, v disposalView) string {
	if len(v.Here) == 0 {
		return ""
	}
	return ui.T(ctx, "%d in marked barrels here", len(v.Here))
}

func loadOptions(ctx context.Context) (options []ui.Option) {
	for _, k := range db.LoadKinds {
		options = append(options, ui.Option{Value: k, Label: ui.Capital(ui.Say(ctx, db.LoadWords(k)))})
	}
	return options
}

func spineOptions(ctx context.Context, v disposalView) (options []ui.Option) {
	for _, s := range v.Here {
		options = append(options, ui.Option{Value: string(s.Number), Label: string(s.Number), Note: ui.T(ctx, "%s in barrel %s, since %s", ui.Weight(ctx, s.Kg), s.Barrel, ui.Day(ctx, s.At))})
	}
	return options
}

// wordsSaid is what stands on a programme's packs, and what it does not take.
func wordsSaid(ctx context.Context, g db.Programme) string {
	switch {
	case g.WholeCuts:
		return ui.T(ctx, "%s. Whole cuts, no ground meat.", g.Words)
	case g.GroundOnly:
		return ui.T(ctx, "%s. Ground meat only.", g.Words)
	}
	return g.Words
}
