// Package closing is the page on which the lead or an owner ends the day.
package closing

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/closing"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// Pages serves the end of the day.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// form is what was typed; the counts by piece stand as they were typed.
type form struct {
	Act, Day, Seen                 string
	Float, Counted, Out, Why, Note string
	Pieces                         map[domain.Cents]string
	Done                           []string
}

// view is the day about to be closed.
type view struct {
	db.Closing
	Form      form
	Wrong     *domain.Error
	Past      []db.DayClose
	Yesterday *time.Time // not closed, while today is looked at
	Closed    *db.DayClose
}

// mostPast closes are listed beneath the form.
const mostPast = 31

// Show serves GET /close: today, or yesterday where ?day= says so.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	day, err := p.asked(r)
	if err != nil {
		return err
	}
	v, err := p.view(r.Context(), day)
	if err != nil {
		return err
	}
	v.Form = form{Act: signin.NewAct(), Day: day.Format(time.DateOnly), Seen: cents(v.CashCents)}
	return ui.Render(w, r, http.StatusOK, page(v))
}

// asked is the day in the address or the form; none means today.
func (p *Pages) asked(r *http.Request) (time.Time, error) {
	if typed := r.FormValue("day"); typed != "" {
		return readDay(typed)
	}
	return p.today(r.Context()), nil
}

// today is the shop's date at midnight UTC, as the database keeps dates.
func (p *Pages) today(ctx context.Context) time.Time {
	y, m, d := p.Now().In(ui.ShopOf(ctx).Zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func readDay(typed string) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, typed)
	if err != nil {
		return day, domain.Missing("There is no such day.")
	}
	return day, nil
}

// view reads the day. One that is closed already shows its close and the days
// before, and no form.
func (p *Pages) view(ctx context.Context, day time.Time) (v view, err error) {
	if v.Past, err = p.DB.DaysClosed(ctx, mostPast); err != nil {
		return v, err
	}
	v.Day = day
	if len(v.Past) > 0 && !v.Past[0].Day.Before(day) {
		v.Closed = &v.Past[0]
		return v, nil
	}
	if v.Closing, err = p.DB.DayToClose(ctx, day, p.Now()); err != nil {
		return v, err
	}
	if day.Equal(p.today(ctx)) {
		if open, err := p.DB.DayNotClosed(ctx, p.Now()); err != nil {
			return v, err
		} else if !open.IsZero() {
			v.Yesterday = &open
		}
	}
	return v, nil
}

// Close serves POST /close.
func (p *Pages) Close(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	day, err := p.asked(r)
	if err != nil {
		return err
	}
	f := readForm(r)
	n, err := f.read(r.Context(), day)
	if err == nil {
		err = signin.PIN(r, p.DB, p.Now())
	}
	if err == nil {
		err = p.DB.CloseDay(r.Context(), act, n)
	}
	if err == nil {
		http.Redirect(w, r, "/close/"+day.Format(time.DateOnly), http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.view(r.Context(), day)
	if err != nil {
		return err
	}
	f.Seen = cents(v.CashCents)
	v.Form, v.Wrong = f, wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, page(v))
}

func readForm(r *http.Request) form {
	f := form{Act: r.FormValue("act"), Day: r.FormValue("day"), Seen: r.FormValue("seen"), Float: r.FormValue("float"), Counted: r.FormValue("counted"),
		Out: r.FormValue("out"), Why: r.FormValue("why"), Note: r.FormValue("note"), Done: r.Form["done"], Pieces: map[domain.Cents]string{}}
	for _, worth := range closing.Denominations {
		f.Pieces[worth] = strings.TrimSpace(r.FormValue(pieceField(worth)))
	}
	return f
}

// read turns what was typed into a count. The drawer is counted by its pieces, or
// one total is typed; where both stand they must agree.
func (f form) read(ctx context.Context, day time.Time) (n db.NewClose, err error) {
	n = db.NewClose{Day: day, Note: f.Note}
	for _, d := range f.Done {
		n.Done = append(n.Done, closing.Check(d))
	}
	seen, err := strconv.ParseInt(f.Seen, 10, 64)
	if err != nil {
		return n, domain.Wrong("seen", "This form came in damaged. Open it again and repeat.")
	}
	n.Seen, n.Drawer.Why = domain.Cents(seen), f.Why
	if n.Drawer.Float, err = optional(ctx, "float", f.Float); err != nil {
		return n, err
	}
	if n.Drawer.Out, err = optional(ctx, "out", f.Out); err != nil {
		return n, err
	}
	n.Drawer.Counted, n.Pieces, err = f.counted(ctx)
	return n, err
}

func (f form) counted(ctx context.Context) (sum domain.Cents, pieces closing.Pieces, err error) {
	pieces = closing.Pieces{}
	for worth, typed := range f.Pieces {
		if typed == "" {
			continue
		}
		if pieces[worth], err = strconv.Atoi(typed); err != nil {
			return 0, nil, domain.Wrong("counted", "%s is not a number of pieces. Type how many there are.", typed)
		}
	}
	if sum, err = pieces.Total(); err != nil {
		return 0, nil, err
	}
	if strings.TrimSpace(f.Counted) == "" {
		if len(pieces) == 0 {
			return 0, nil, domain.Wrong("counted", "Count the drawer: by notes and coins, or type the total.")
		}
		return sum, pieces, nil
	}
	total, err := ui.ReadMoney(ctx, "counted", f.Counted)
	if err == nil && len(pieces) > 0 && total != sum {
		err = domain.Wrong("counted", "The notes and coins add up to %v, and the total says %v. Clear one of them, or count again.", sum, total)
	}
	return total, pieces, err
}

// optional reads an amount that counts as nothing where the field is empty.
func optional(ctx context.Context, field, typed string) (domain.Cents, error) {
	if strings.TrimSpace(typed) == "" {
		return 0, nil
	}
	return ui.ReadMoney(ctx, field, typed)
}

// closedView is a day that was closed.
type closedView struct {
	db.DayClose
	Last  bool // no later day is closed: its drawer may still be counted again
	Form  form
	Wrong *domain.Error
}

// ShowDay serves GET /close/{day}.
func (p *Pages) ShowDay(w http.ResponseWriter, r *http.Request) error {
	v, err := p.closed(r)
	if err != nil {
		return err
	}
	v.Form.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, closedPage(v))
}

// Sheet serves GET /close/{day}/sheet: the day on paper.
func (p *Pages) Sheet(w http.ResponseWriter, r *http.Request) error {
	v, err := p.closed(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, sheet(v))
}

func (p *Pages) closed(r *http.Request) (v closedView, err error) {
	day, err := readDay(chi.URLParam(r, "day"))
	if err != nil {
		return v, err
	}
	if v.DayClose, err = p.DB.DayClosed(r.Context(), day); err != nil {
		return v, err
	}
	last, err := p.DB.DaysClosed(r.Context(), 1)
	v.Last = len(last) > 0 && last[0].ID == v.ID
	return v, err
}

// Recount serves POST /close/{day}/recount: the drawer counted again.
func (p *Pages) Recount(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.closed(r)
	if err != nil {
		return err
	}
	v.Form = readForm(r)
	counted, err := ui.ReadMoney(r.Context(), "counted", v.Form.Counted)
	var out domain.Cents
	if err == nil {
		out, err = optional(r.Context(), "out", v.Form.Out)
	}
	if err == nil {
		err = signin.PIN(r, p.DB, p.Now())
	}
	if err == nil {
		err = p.DB.RecountDrawer(r.Context(), act, v.Day, counted, out, v.Form.Why)
	}
	if v.Wrong = domain.As(err); err != nil && v.Wrong.Kind != domain.Internal {
		return ui.Render(w, r, http.StatusUnprocessableEntity, closedPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/close/"+v.Day.Format(time.DateOnly), http.StatusSeeOther)
	return nil
}
