// Package kill is the page of livestock at its kill: who owned it before, how old
// cattle were, what had to come out, the stamp, and the farmer's call.
package kill

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/register"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// Pages serves the page of an animal's kill.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// mostShares is how many owners an animal can have.
const mostShares = 4

// shareForm is one owner as typed. Row is which owner of the entry that stands was in
// these fields, counted from one; Else says that it is somebody else now.
type shareForm struct {
	Row, Portion, Name, Phone, Sold, Evidence string
	Else                                      bool
}

// killForm is the kill as typed.
type killForm struct {
	Thirty, KnownBy, Note, SaidBy, Why string
	Household                          bool
	After                              string // of a correction: the line that was read
	Shares                             []shareForm
}

// killView is the page: what is known, and the forms for what is not.
type killView struct {
	db.Killed
	Animal  db.Animal
	Orders  []db.Order
	About   cutting.About
	Act     string
	ToldAge string // of cattle, as the register has it from the counter
	Form    killForm
	Parts   []string
	SRM     struct{ Weight, Barrel, Denatured, Why, NotOut string }
	Off     struct {
		Quarters []string
		Why      string
	}
	Which string
	Wrong *domain.Error

	Correcting bool // the form puts right what stands
}

// wrongOf is the error where it belongs to that form.
func (v killView) wrongOf(which string) *domain.Error {
	if v.Which == which {
		return v.Wrong
	}
	return nil
}

// refused are the lines of the orders that cannot be cut any more.
func (v killView) refused() (lines []domain.Words) {
	for _, o := range v.Orders {
		lines = append(lines, o.SpineLines(v.About)...)
	}
	return lines
}

// Show serves GET /animals/{number}/kill.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r)
	if err != nil {
		return err
	}
	v.Act = signin.NewAct()
	v.Form.Shares = v.booked(r.Context())
	v.Parts, v.SRM.Barrel, v.SRM.Denatured = v.Spine.Parts, v.Spine.Barrel, v.Spine.Denatured // to be put right
	if v.SpineOut {
		v.SRM.Weight = ui.TypedWeight(r.Context(), v.Spine.Kg)
	}
	if v.Entered && r.FormValue("correct") != "" {
		v.Correcting, v.Form = true, v.stands(r.Context())
	}
	return ui.Render(w, r, http.StatusOK, killPage(v))
}

func (p *Pages) view(r *http.Request) (v killView, err error) {
	ctx := r.Context()
	if v.Animal, err = p.DB.Animal(ctx, ui.ShopNumber(r)); err != nil {
		return v, err
	}
	if v.Animal.Species.Game() {
		return v, domain.Missing("%s is game: it has no page of its kill.", string(v.Animal.Number))
	}
	if v.Killed, err = p.DB.KilledOf(ctx, v.Animal); err != nil {
		return v, err
	}
	if v.About, err = p.DB.About(ctx, v.Animal); err != nil {
		return v, err
	}
	lines, err := p.DB.RegisterOf(ctx, v.Animal.Number)
	if err != nil {
		return v, err
	}
	age, _ := register.FieldNamed("age")
	for _, l := range lines {
		if told := l.Value(age); told != "" {
			v.ToldAge = told
		}
	}
	v.Orders, err = p.DB.StandingOrders(ctx, v.Animal.Number)
	return v, err
}

// stands is the entry as it stands, for the form that puts it right.
func (v killView) stands(ctx context.Context) killForm {
	f := killForm{Thirty: v.ThirtyMonths, KnownBy: v.KnownBy, Note: v.Note, After: strconv.Itoa(v.N)}
	for i, s := range v.Shares {
		f.Shares = append(f.Shares, shareForm{Row: strconv.Itoa(i + 1), Portion: string(s.Portion), Name: s.Name, Phone: phoneTyped(ctx, s.Phone), Sold: ui.TypedDay(ctx, ui.Calendar(ctx, s.SoldOn)), Evidence: s.Evidence})
	}
	return f
}

// booked is a row for each owner whose part was ordered or told already, or one.
func (v killView) booked(ctx context.Context) (rows []shareForm) {
	sold := ui.TypedDay(ctx, v.Animal.KilledAt)
	for _, m := range v.Mates {
		if !m.Farmer && len(rows) < mostShares {
			rows = append(rows, shareForm{Portion: string(m.Portion), Name: m.Name, Phone: phoneTyped(ctx, m.Phone), Sold: sold})
		}
	}
	if len(rows) == 0 {
		rows = []shareForm{{Sold: sold}}
	}
	return rows
}

// full reports whether there is no room for another owner.
func (f killForm) full() bool { return len(f.Shares) >= mostShares }

// Enter serves POST /animals/{number}/kill; the button that adds an owner only shows
// the form again with a row more.
func (p *Pages) Enter(w http.ResponseWriter, r *http.Request) error {
	v := killView{Which: "kill", Form: readKill(r)}
	if r.FormValue("another") != "" {
		return p.another(w, r, v)
	}
	return p.do(w, r, v, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		k, err := p.kill(ctx, n, v.Form)
		if err != nil {
			return err
		}
		return p.DB.EnterKill(ctx, act, n, k)
	})
}

// Correct serves POST /animals/{number}/kill/correct: a line that puts the entry right.
func (p *Pages) Correct(w http.ResponseWriter, r *http.Request) error {
	v := killView{Which: "kill", Form: readKill(r), Correcting: true}
	if r.FormValue("another") != "" {
		return p.another(w, r, v)
	}
	return p.do(w, r, v, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		k, err := p.kill(ctx, n, v.Form)
		if err != nil {
			return err
		}
		after, _ := strconv.Atoi(v.Form.After) // what is no number is the first entry
		return p.DB.CorrectKill(ctx, act, n, k, after, v.Form.Why)
	})
}

// another shows the form as it was typed, with room for one more owner.
func (p *Pages) another(w http.ResponseWriter, r *http.Request, typed killView) error {
	f := typed.Form
	v, err := p.view(r)
	if err != nil {
		return err
	}
	if !f.full() {
		f.Shares = append(f.Shares, shareForm{Sold: ui.TypedDay(r.Context(), v.Animal.KilledAt)})
	}
	v.Act, v.Form, v.Correcting = r.FormValue("act"), f, typed.Correcting
	return ui.Render(w, r, http.StatusOK, killPage(v))
}

// TakeOut serves POST /animals/{number}/kill/spine.
func (p *Pages) TakeOut(w http.ResponseWriter, r *http.Request) error {
	v := killView{Which: "spine"}
	_ = r.ParseForm() // signin.Act below reports a form that cannot be read
	v.Parts, v.SRM.Weight, v.SRM.Barrel, v.SRM.Denatured = r.Form["parts"], r.FormValue("srm_weight"), r.FormValue("barrel"), r.FormValue("denatured")
	return p.do(w, r, v, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		kg, err := ui.ReadWeight(ctx, "srm_weight", v.SRM.Weight)
		if err != nil {
			return err
		}
		return p.DB.TakeOutSpine(ctx, act, n, db.Spine{Parts: v.Parts, Kg: kg, Barrel: v.SRM.Barrel, Denatured: v.SRM.Denatured})
	})
}

// CorrectSpine serves POST /animals/{number}/kill/spine/right: other parts, weight or
// barrel, or not out after all.
func (p *Pages) CorrectSpine(w http.ResponseWriter, r *http.Request) error {
	v := killView{Which: "spine-right"}
	_ = r.ParseForm() // signin.Act below reports a form that cannot be read
	v.Parts, v.SRM.Weight, v.SRM.Barrel, v.SRM.Denatured = r.Form["parts"], r.FormValue("srm_weight"), r.FormValue("barrel"), r.FormValue("denatured")
	v.SRM.Why, v.SRM.NotOut = r.FormValue("why"), r.FormValue("not_out")
	return p.do(w, r, v, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		if v.SRM.NotOut == "yes" {
			return p.DB.CorrectSpine(ctx, act, n, false, db.Spine{}, v.SRM.Why)
		}
		kg, err := ui.ReadWeight(ctx, "srm_weight", v.SRM.Weight)
		if err != nil {
			return err
		}
		return p.DB.CorrectSpine(ctx, act, n, true, db.Spine{Parts: v.Parts, Kg: kg, Barrel: v.SRM.Barrel, Denatured: v.SRM.Denatured}, v.SRM.Why)
	})
}

// TakeStampOff serves POST /animals/{number}/kill/stamp/off.
func (p *Pages) TakeStampOff(w http.ResponseWriter, r *http.Request) error {
	v := killView{Which: "stamp-off"}
	_ = r.ParseForm() // signin.Act below reports a form that cannot be read
	v.Off.Quarters, v.Off.Why = r.Form["unstamped"], r.FormValue("why")
	return p.do(w, r, v, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.TakeStampOff(ctx, act, n, v.Off.Quarters, v.Off.Why)
	})
}

// Stamp serves POST /animals/{number}/kill/stamp.
func (p *Pages) Stamp(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, killView{Which: "stamp"}, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.Stamp(ctx, act, n, r.Form["quarters"])
	})
}

// TellWeight serves POST /animals/{number}/kill/told: the farmer was called.
func (p *Pages) TellWeight(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, killView{Which: "told"}, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.LogCall(ctx, act, n, "call", "spoke", db.WeightTold)
	})
}

// do does one thing and comes back to the page, with what is wrong where it went wrong.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, typed killView, what func(context.Context, db.Act, domain.ShopNumber) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = what(r.Context(), act, ui.ShopNumber(r)); err == nil {
		http.Redirect(w, r, "/animals/"+string(ui.ShopNumber(r))+"/kill", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.view(r)
	if err != nil {
		return err
	}
	v.Correcting = typed.Correcting
	v.Act, v.Which, v.Form, v.Parts, v.SRM, v.Off, v.Wrong = act.ID.String(), typed.Which, typed.Form, typed.Parts, typed.SRM, typed.Off, wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, killPage(v))
}

func readKill(r *http.Request) (f killForm) {
	f = killForm{Thirty: r.FormValue("thirty_months"), KnownBy: r.FormValue("known_by"), Note: r.FormValue("age_note"), SaidBy: r.FormValue("said_by"),
		Household: r.FormValue("household") == "yes", Why: r.FormValue("why"), After: r.FormValue("after")}
	for i := range mostShares {
		n := strconv.Itoa(i + 1)
		if i > 0 && !r.Form.Has("owner"+n) {
			break
		}
		f.Shares = append(f.Shares, shareForm{Row: r.FormValue("row" + n), Portion: r.FormValue("portion" + n), Name: strings.TrimSpace(r.FormValue("owner" + n)), Phone: r.FormValue("phone" + n),
			Sold: r.FormValue("sold" + n), Evidence: r.FormValue("evidence" + n), Else: r.FormValue("else"+n) == "yes"})
	}
	return f
}

// kill reads what was typed; a row without a name is no owner.
func (f killForm) kill(ctx context.Context) (k cutting.Kill, err error) {
	k = cutting.Kill{ThirtyMonths: f.Thirty, KnownBy: f.KnownBy, Note: f.Note, SaidBy: f.SaidBy, Household: f.Household}
	for i, s := range f.Shares {
		if s.Name == "" {
			continue
		}
		sh := cutting.Buyer{Portion: cutting.Portion(s.Portion), Name: s.Name, Phone: s.Phone, Evidence: s.Evidence}
		if sh.SoldOn, err = ui.ReadDay(ctx, "sold"+strconv.Itoa(i+1), s.Sold); err != nil {
			return k, err
		}
		k.Shares = append(k.Shares, sh)
	}
	return k, nil
}
