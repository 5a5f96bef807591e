package cutting

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// orderForm is an order as it is being written.
type orderForm struct {
	Act, Source, Caller, Note, FallBack string
	Back                                string // "hung": it is taken in the middle of a drop-off
	OwnMeat, Added                      string // "yes", "no"; none, pork, beef; empty: not answered
	ForWhom                             string
	Days, DaysWhy                       string
	Told                                bool // the owner knows that the days were shortened
	Lost                                []string
	After                               int
	Portion                             domaincutting.Portion
	Parts                               []partRows
}

// partRows are the rows of one part on the sheet.
type partRows struct {
	domaincutting.Choices
	Rows []domaincutting.Line
}

// orderView is the order's page. Locked says that it cannot be changed.
type orderView struct {
	Animal   db.Animal
	About    domaincutting.About
	Newest   db.Order
	Standing []db.Order // one, or one a portion
	Versions []db.Order
	Last     *db.LastOrder // nil: the owner had none like it
	Locked   bool
	Ceiling  int // the most days from the kill for its kind
	Form     orderForm

	Conflicts []domaincutting.Conflict // between owners of one animal
	Mates     []db.Mate                // whom to call about it
}

func (v orderView) sheet() domaincutting.Sheet {
	return domaincutting.SheetOf(v.Animal.Species).Sold(v.About.Shares)
}

// standing is the order that counts for a portion, the zero Order where none does.
func (v orderView) standing(p domaincutting.Portion) db.Order {
	for _, o := range v.Standing {
		if o.Portion == p {
			return o
		}
	}
	return db.Order{}
}

// ways is how many ways of cutting the sheet offers for one part; what is not
// here is cut one way.
var ways = map[domaincutting.Part]int{domaincutting.Backstrap: 2, domaincutting.Hind: 3, domaincutting.Shoulder: 2, domaincutting.Trim: 5,
	domaincutting.Chuck: 2, domaincutting.Rib: 2, domaincutting.Round: 3, domaincutting.Sirloin: 2, domaincutting.Bones: 2,
	domaincutting.Loin: 2, domaincutting.Butt: 2, domaincutting.Ham: 2, domaincutting.Belly: 2, domaincutting.Leg: 2}

// ShowOrder serves GET /animals/{number}/order, with ?portion= the order for one
// portion and with ?last= what the owner had last time.
func (p *Pages) ShowOrder(w http.ResponseWriter, r *http.Request) error {
	v, err := p.order(r)
	if err != nil {
		return err
	}
	portion := domaincutting.Portion(r.FormValue("portion"))
	if !r.URL.Query().Has("portion") && len(v.Standing) > 0 {
		portion = v.Standing[0].Portion
	}
	v.Form = formOf(v.standing(portion), v.sheet())
	if r.FormValue("last") != "" && v.Last != nil {
		v.Form = formOf(v.Last.Order, v.sheet())
		v.Form.Source = "repeat"
	}
	v.Form.After, v.Form.Portion, v.Form.Act, v.Form.Back = v.Newest.Version, portion, signin.NewAct(), r.FormValue("back")
	return ui.Render(w, r, http.StatusOK, orderPage(v, nil))
}

// ReadBack serves GET /animals/{number}/order/read: the order to read aloud.
func (p *Pages) ReadBack(w http.ResponseWriter, r *http.Request) error {
	v, err := p.order(r)
	if err != nil {
		return err
	}
	v.Form.Back = r.FormValue("back")
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
	if v.Form, err = readOrder(r, v.sheet()); err != nil {
		return err
	}
	written, err := v.Form.written()
	if err == nil {
		err = p.DB.TakeOrder(r.Context(), act, v.Animal.Number, written)
	}
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		v.Form.After = v.Newest.Version // what stands now is on the page, so the next try is made knowing it
		return ui.Render(w, r, http.StatusUnprocessableEntity, orderPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, v.at("/read", ""), http.StatusSeeOther)
	return nil
}

// at is an address of this order that still knows the drop-off it is taken in.
func (v orderView) at(page, query string) string {
	if v.Form.Back == "hung" {
		query += "&back=hung"
	}
	if query = strings.TrimPrefix(query, "&"); query != "" {
		query = "?" + query
	}
	return "/animals/" + string(v.Animal.Number) + "/order" + page + query
}

// after is where one goes once the order was read back and is right.
func (v orderView) after() string {
	if v.Form.Back == "hung" {
		return "/dropoff/" + string(v.Animal.Number) + "/hung"
	}
	return "/animals/" + string(v.Animal.Number)
}

func (p *Pages) order(r *http.Request) (v orderView, err error) {
	ctx, number := r.Context(), ui.ShopNumber(r)
	if v.Animal, err = p.DB.Animal(ctx, number); err != nil {
		return v, err
	}
	if v.Versions, err = p.DB.OrderVersions(ctx, number); err != nil {
		return v, err
	}
	if len(v.Versions) > 0 {
		v.Newest = v.Versions[0]
	}
	if v.Standing, err = p.DB.StandingOrders(ctx, number); err != nil {
		return v, err
	}
	if v.About, err = p.DB.About(ctx, v.Animal); err != nil {
		return v, err
	}
	if v.Conflicts, v.Mates, err = p.DB.Disagreement(ctx, v.Animal, v.Standing); err != nil {
		return v, err
	}
	if v.Ceiling, err = p.DB.CeilingDays(ctx, v.Animal); err != nil {
		return v, err
	}
	last, found, err := p.DB.LastOrder(ctx, number)
	if found {
		v.Last = &last
	}
	v.Locked = v.Animal.OrderState == animal.Locked || v.Animal.OrderState == animal.Done || v.Animal.OrderState == animal.Cancelled
	return v, err
}

// readOrder reads the rows as they stand on the page; rows without a treatment
// are empty paper.
func readOrder(r *http.Request, sheet domaincutting.Sheet) (orderForm, error) {
	if err := r.ParseForm(); err != nil {
		return orderForm{}, err
	}
	after, _ := strconv.Atoi(r.FormValue("after")) // anything else is no version, and db says so
	f := orderForm{Act: r.FormValue("act"), Back: r.FormValue("back"), Source: r.FormValue("source"), Caller: r.FormValue("caller"), Note: r.FormValue("note"),
		FallBack: r.FormValue("fall_back"), OwnMeat: r.FormValue("own_meat"), Added: r.FormValue("added_meat"), ForWhom: r.FormValue("for_whom"),
		Days: strings.TrimSpace(r.FormValue("days")), DaysWhy: r.FormValue("days_why"), Told: r.FormValue("days_told") == "yes",
		Lost: r.Form["lost"], After: after, Portion: domaincutting.Portion(r.FormValue("portion"))}
	var lines []domaincutting.Line
	for i := range r.Form["part"] {
		l := domaincutting.Line{Part: domaincutting.Part(at(r, "part", i)), Treatment: domaincutting.Treatment(at(r, "treatment", i)),
			Thickness: at(r, "thickness", i), Size: sized(r.Context(), at(r, "part", i), at(r, "size", i)), PerPack: at(r, "per_pack", i), Amount: at(r, "amount", i),
			Flavour: at(r, "flavour", i), Fat: at(r, "fat", i)}
		if l.Treatment != "" {
			lines = append(lines, l)
		}
	}
	f.fill(lines, sheet)
	return f, nil
}

// sized is a size as the cutter reads it: a bare number, as "1" in "Packs of", is a weight
// in the shop's unit, and would else be read back as so many pieces. Of a ham it may be
// halves or slices, so that stays as typed.
func sized(ctx context.Context, part, size string) string {
	bare := strings.ContainsAny(size, "0123456789") && strings.Trim(size, "0123456789.,/-– ") == ""
	if !bare || domaincutting.Part(part) == domaincutting.Ham {
		return size
	}
	return size + " " + ui.WeightUnit(ctx)
}

// at is the i-th value of a field that stands in every row.
func at(r *http.Request, field string, i int) string {
	if values := r.Form[field]; i < len(values) {
		return strings.TrimSpace(values[i])
	}
	return ""
}

// formOf puts an order back on the page, so that a change begins with what
// stands.
func formOf(o db.Order, sheet domaincutting.Sheet) orderForm {
	f := orderForm{FallBack: o.FallBack, Note: o.Note, Added: string(o.Added), ForWhom: o.ForWhom, DaysWhy: o.Days.Why, Told: o.Days.Settled < o.Days.Wanted}
	if o.Days.Wanted > 0 {
		f.Days = strconv.Itoa(o.Days.Wanted)
	}
	for _, p := range o.Lost {
		f.Lost = append(f.Lost, string(p))
	}
	if o.Version > 0 {
		f.OwnMeat = "no"
		if o.OwnMeatOnly {
			f.OwnMeat = "yes"
		}
	}
	f.fill(o.Lines, sheet)
	return f
}

// fill lays the lines out in the rows of the page, with room for more. A line
// for a part this kind has not, as a damaged form may send, is left for the
// domain to refuse.
func (f *orderForm) fill(lines []domaincutting.Line, sheet domaincutting.Sheet) {
	for _, c := range sheet.Parts {
		rows := partRows{Choices: c}
		for _, l := range lines {
			if l.Part == c.Part {
				rows.Rows = append(rows.Rows, l)
			}
		}
		for len(rows.Rows) < max(1, ways[c.Part]) {
			rows.Rows = append(rows.Rows, domaincutting.Line{Part: c.Part})
		}
		f.Parts = append(f.Parts, rows)
	}
}

// written is the order as it goes to the shop's memory. Own meat is the answer
// unless somebody said no.
func (f orderForm) written() (db.Written, error) {
	w := db.Written{Days: domaincutting.Days{Why: f.DaysWhy}, Told: f.Told, Source: f.Source, Caller: f.Caller, Note: f.Note, After: f.After, Order: domaincutting.Order{Portion: f.Portion, ForWhom: f.ForWhom,
		OwnMeatOnly: f.OwnMeat != "no", Added: domaincutting.AddedMeat(f.Added), FallBack: f.FallBack}}
	for _, p := range f.Lost {
		w.Lost = append(w.Lost, domaincutting.Part(p))
	}
	for _, rows := range f.Parts {
		for _, l := range rows.Rows {
			if l.Treatment != "" {
				w.Lines = append(w.Lines, l)
			}
		}
	}
	if f.Days != "" {
		n, err := strconv.Atoi(f.Days)
		if err != nil {
			return w, domain.Wrong("days", "%s is not a number of days.", f.Days)
		}
		w.Days.Wanted = n
	}
	return w, nil
}
