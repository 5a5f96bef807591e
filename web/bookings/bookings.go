// Package bookings is the book of who brings what when: kill days for livestock and
// places in the season.
package bookings

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// Pages serves the book.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// bookForm is a form of the page as typed; Which says which.
type bookForm struct {
	Which, Act                                        string
	DayID, Species, Heads, Name, Phone, BringAt, Note string
	Kind, Day, DayHeads, DayNote, Booking, State, Why string
}

// bookView is the days ahead and who is booked on each.
type bookView struct {
	Days   []dayView
	Passed []db.Booking // nobody came, and nobody has said so yet
	Form   bookForm
	Wrong  *domain.Error
	Now    time.Time
}

// due reports whether a booking is of today or of a day that is past.
func (v bookView) due(ctx context.Context, b db.Booking) bool {
	return ui.TypedDay(ctx, ui.Calendar(ctx, b.Day)) <= ui.TypedDay(ctx, v.Now)
}

// dayView is one day.
type dayView struct {
	db.BookingDay
	List []db.Booking
}

// wrong is the error of one form of the page.
func (v bookView) wrong(which string) *domain.Error {
	if v.Form.Which == which {
		return v.Wrong
	}
	return nil
}

// act is the id of one of the page's forms: the one that was sent keeps its own.
func (v bookView) act(which string) string {
	if v.Form.Which == which {
		return v.Form.Act
	}
	return signin.NewAct()
}

// Show serves GET /bookings.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r.Context())
	if err != nil {
		return err
	}
	v.Form.DayID = r.FormValue("on")
	return ui.Render(w, r, http.StatusOK, bookPage(v))
}

// Book serves POST /bookings: a new booking.
func (p *Pages) Book(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "book", func(ctx context.Context, act db.Act, f bookForm) error {
		day, _ := uuid.Parse(f.DayID) // no day: db says so
		heads, err := strconv.Atoi(f.Heads)
		if err != nil {
			return domain.Wrong("heads", "Say how many heads, from 1 to 50.")
		}
		return p.DB.Book(ctx, act, day, animal.Booking{Species: domain.Species(f.Species), Heads: heads, Name: f.Name, Phone: f.Phone, BringAt: f.BringAt, Note: f.Note})
	})
}

// OpenDay serves POST /bookings/day: a day takes bookings, or takes more.
func (p *Pages) OpenDay(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "day", func(ctx context.Context, act db.Act, f bookForm) error {
		heads, err := strconv.Atoi(f.DayHeads)
		if err != nil {
			return domain.Wrong("heads", "Say how many heads the day takes, from 1 to 200.")
		}
		day, err := time.Parse(time.DateOnly, f.Day)
		if err != nil {
			return domain.Wrong("day", "Choose the day.")
		}
		return p.DB.OpenDay(ctx, act, animal.BookingKind(f.Kind), day, heads, f.DayNote)
	})
}

// Drop serves POST /bookings/drop: nobody came, or it was called off.
func (p *Pages) Drop(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "drop", func(ctx context.Context, act db.Act, f bookForm) error {
		id, _ := uuid.Parse(f.Booking) // of none: db says so
		return p.DB.DropBooking(ctx, act, id, f.State, f.Why)
	})
}

// do reads a form, lets it act, and shows the book again.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, which string, act func(context.Context, db.Act, bookForm) error) error {
	t := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	f := bookForm{Which: which, Act: t("act"), DayID: t("on"), Species: t("species"), Heads: t("heads"), Name: t("name"), Phone: t("phone"), BringAt: t("bring_at"),
		Note: t("note"), Kind: t("kind"), Day: t("day"), DayHeads: t("heads"), DayNote: t("note"), Booking: t("booking"), State: t("state"), Why: t("why")}
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	err = act(r.Context(), a, f)
	if err == nil {
		http.Redirect(w, r, "/bookings", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.view(r.Context())
	if err != nil {
		return err
	}
	if which == "drop" {
		f.Which += f.Booking
	}
	v.Form, v.Wrong = f, wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, bookPage(v))
}

// ahead is how far the page looks; further days are opened when they come nearer.
const ahead = 400

func (p *Pages) view(ctx context.Context) (v bookView, err error) {
	v.Now = p.Now()
	y, m, d := v.Now.In(ui.ShopOf(ctx).Zone).Date()
	today := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	days, err := p.DB.BookingDays(ctx, today)
	if err != nil {
		return v, err
	}
	list, err := p.DB.Bookings(ctx, today.AddDate(0, 0, -14), today.AddDate(0, 0, ahead))
	if err != nil {
		return v, err
	}
	for _, day := range days {
		v.Days = append(v.Days, dayView{BookingDay: day})
	}
	for _, b := range list {
		if b.Day.Before(today) && b.State == "booked" {
			v.Passed = append(v.Passed, b)
		}
		for i := range v.Days {
			if v.Days[i].ID == b.DayID {
				v.Days[i].List = append(v.Days[i].List, b)
			}
		}
	}
	return v, nil
}
