package cutting

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// orderForm is an order as it is being written. Sheet is nil for livestock.
type orderForm struct {
	Act, Source, Note, FallBack string
	OwnMeat, Added              string // "yes", "no"; none, pork, beef; empty: not answered
	Whole                       bool
	After                       int
	Sheet                       []partRows
	Free                        []domaincutting.Line
}

// partRows are the rows of one part on the sheet.
type partRows struct {
	domaincutting.Choices
	Rows []domaincutting.Line
}

// orderView is the order's page. Locked says why it cannot be changed.
type orderView struct {
	Animal db.Animal
	Newest db.Order
	Locked bool
	Form   orderForm
}

// ways is how many ways of cutting the sheet offers for one part; the others
// are cut one way.
var ways = map[domaincutting.Part]int{domaincutting.Backstrap: 2, domaincutting.Hind: 3, domaincutting.Shoulder: 2, domaincutting.Trim: 5}

// freeLines is how many lines an order for livestock has room for.
const freeLines = 14

// ShowOrder serves GET /animals/{number}/order.
func (p *Pages) ShowOrder(w http.ResponseWriter, r *http.Request) error {
	v, err := p.order(r)
	if err != nil {
		return err
	}
	v.Form = formOf(v)
	v.Form.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, orderPage(v, nil))
}

// ReadBack serves GET /animals/{number}/order/read: the order to read aloud.
func (p *Pages) ReadBack(w http.ResponseWriter, r *http.Request) error {
	v, err := p.order(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, readPage(v))
}

// TakeOrder serves POST /animals/{number}/order.
func (p *Pages) TakeOrder(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.order(r)
	if err != nil {
		return err
	}
	if v.Form, err = readOrder(r, db.HasSheet(v.Animal.Species)); err != nil {
		return err
	}
	err = p.DB.TakeOrder(r.Context(), act, v.Animal.Number, v.Form.written())
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		v.Form.After = v.Newest.Version // what stands now is on the page, so the next try is made knowing it
		return ui.Render(w, r, http.StatusUnprocessableEntity, orderPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/animals/"+string(v.Animal.Number)+"/order/read", http.StatusSeeOther)
	return nil
}

func (p *Pages) order(r *http.Request) (v orderView, err error) {
	if v.Animal, err = p.DB.Animal(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	v.Newest, _, err = p.DB.NewestOrder(r.Context(), v.Animal.Number)
	v.Locked = v.Animal.OrderState == animal.Locked || v.Animal.OrderState == animal.Done || v.Animal.OrderState == animal.Cancelled
	return v, err
}

// readOrder reads the rows as they stand on the page; rows without a treatment
// are empty paper.
func readOrder(r *http.Request, sheet bool) (orderForm, error) {
	if err := r.ParseForm(); err != nil {
		return orderForm{}, err
	}
	after, _ := strconv.Atoi(r.FormValue("after")) // anything else is no version, and db says so
	f := orderForm{Act: r.FormValue("act"), Source: r.FormValue("source"), Note: r.FormValue("note"), FallBack: r.FormValue("fall_back"),
		OwnMeat: r.FormValue("own_meat"), Added: r.FormValue("added_meat"), Whole: r.FormValue("whole") == "yes", After: after}
	var lines []domaincutting.Line
	for i := range r.Form["part"] {
		l := domaincutting.Line{Part: domaincutting.Part(at(r, "part", i)), Treatment: domaincutting.Treatment(at(r, "treatment", i)),
			Thickness: at(r, "thickness", i), Size: at(r, "size", i), PerPack: at(r, "per_pack", i), Amount: at(r, "amount", i)}
		if l.Treatment != "" || !sheet && (l.Part != "" || l.Amount != "") {
			lines = append(lines, l)
		}
	}
	f.fill(lines, sheet)
	return f, nil
}

// at is the i-th value of a field that stands in every row.
func at(r *http.Request, field string, i int) string {
	if values := r.Form[field]; i < len(values) {
		return strings.TrimSpace(values[i])
	}
	return ""
}

// formOf puts the newest order back on the page, so that a change begins with
// what stands.
func formOf(v orderView) orderForm {
	f := orderForm{After: v.Newest.Version, FallBack: v.Newest.FallBack, Note: v.Newest.Note, Added: string(v.Newest.Added), Whole: v.Newest.Complete}
	if v.Newest.Version > 0 {
		f.OwnMeat = "no"
		if v.Newest.OwnMeatOnly {
			f.OwnMeat = "yes"
		}
	}
	f.fill(v.Newest.Lines, db.HasSheet(v.Animal.Species))
	return f
}

// fill lays the lines out in the rows of the page, with room for more.
func (f *orderForm) fill(lines []domaincutting.Line, sheet bool) {
	if !sheet {
		f.Free = slices.Clone(lines)
		for len(f.Free) < freeLines {
			f.Free = append(f.Free, domaincutting.Line{})
		}
		return
	}
	for _, c := range domaincutting.Sheet {
		rows := partRows{Choices: c}
		for _, l := range lines {
			if l.Part == c.Part {
				rows.Rows = append(rows.Rows, l)
			}
		}
		for len(rows.Rows) < max(1, ways[c.Part]) {
			rows.Rows = append(rows.Rows, domaincutting.Line{Part: c.Part})
		}
		f.Sheet = append(f.Sheet, rows)
	}
}

// written is the order as it goes to the shop's memory. Own meat is the answer
// unless somebody said no.
func (f orderForm) written() db.Written {
	w := db.Written{Source: f.Source, Note: f.Note, Whole: f.Whole, After: f.After, Order: domaincutting.Order{
		OwnMeatOnly: f.OwnMeat != "no", Added: domaincutting.AddedMeat(f.Added), FallBack: f.FallBack}}
	for _, rows := range f.Sheet {
		for _, l := range rows.Rows {
			if l.Treatment != "" {
				w.Lines = append(w.Lines, l)
			}
		}
	}
	for _, l := range f.Free {
		if l != (domaincutting.Line{}) {
			w.Lines = append(w.Lines, l)
		}
	}
	return w
}
