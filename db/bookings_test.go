package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
)

// A kill day of three heads: booked once though sent twice, the last place goes to
// one of two, what comes is ticked off head by head, the rest did not come.
func TestBookings(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	day := time.Date(2026, 11, 19, 0, 0, 0, 0, time.UTC)
	open := s.Act(s.Bob, now)
	for range 2 {
		must(t, s.OpenDay(ctx, open, animal.KillDay, day, 3, "stunner serviced"))
	}
	days, err := s.BookingDays(ctx, day)
	if err != nil || len(days) != 1 || days[0].Free() != 3 {
		t.Fatalf("%+v, %v", days, err)
	}
	two := animal.Booking{Species: domain.Hog, Heads: 2, Name: "Vera Quill", Phone: "607-555-0177", BringAt: "07:30"}
	book := s.Act(s.Bob, now)
	for range 2 {
		must(t, s.Book(ctx, book, days[0].ID, two))
	}
	one := animal.Booking{Species: domain.Beef, Heads: 1, Name: "Orrin Beck"}
	full := make(chan error, 2)
	for _, by := range []db.Staff{s.Ann, s.Bob} {
		go func() { full <- s.Book(ctx, s.Act(by, now), days[0].ID, one) }()
	}
	if a, b := <-full, <-full; (a == nil) == (b == nil) {
		t.Errorf("the last place went to %v and %v", a, b)
	}
	for at, bad := range map[string]animal.Booking{"species": {Species: domain.Whitetail, Heads: 1, Name: "x"}, "name": {Species: domain.Hog, Heads: 1}, "bring_at": {Species: domain.Hog, Heads: 1, Name: "x", BringAt: "early"}} {
		must(t, s.OpenDay(ctx, s.Act(s.Bob, now), animal.KillDay, day, 9, ""))
		if e := domain.As(s.Book(ctx, s.Act(s.Bob, now), days[0].ID, bad)); e.At != at {
			t.Errorf("%+v: %v", bad, e)
		}
	}
	if e := domain.As(s.OpenDay(ctx, s.Act(s.Bob, now), animal.KillDay, day, 2, "")); e.At != "heads" {
		t.Errorf("fewer heads than are booked: %v", e)
	}
	if e := domain.As(s.OpenDay(ctx, s.Act(s.Bob, now), animal.KillDay, day.AddDate(0, 0, -1), 2, "")); e.At != "day" {
		t.Errorf("yesterday: %v", e)
	}
	for i := range 2 {
		must(t, s.Receive(ctx, s.Act(s.Bob, now), db.Drop{Drop: animal.Drop{Number: dbtest.Tag(1 + i), Species: domain.Hog, Form: domain.Whole, KilledAt: now},
			Owner: db.Person{Name: "Vera Quill"}, Booking: book.ID, Left: "blue cooler, two tubs"}))
		b, err := s.BookingOf(ctx, book.ID)
		if want := []string{"booked", "came"}[i]; err != nil || b.State != want || b.Came != i+1 || b.BringAt != "07:30" {
			t.Errorf("after %d: %+v, %v", i+1, b, err)
		}
	}
	if e := domain.As(s.DropBooking(ctx, s.Act(s.Bob, now), book.ID, "no-show", "no answer")); e.Kind != domain.Conflict {
		t.Errorf("called a no-show after it came: %v", e)
	}
	list, err := s.Bookings(ctx, day, day)
	if err != nil || len(list) != 2 {
		t.Fatalf("%+v, %v", list, err)
	}
	oneWins(t, func(by db.Staff) error { return s.DropBooking(ctx, s.Act(by, now), list[1].ID, "no-show", "phone off") }, s.Ann, s.Bob)
	if days, err = s.BookingDays(ctx, day); err != nil || days[0].Booked != 2 {
		t.Errorf("the place is free again: %+v, %v", days, err)
	}
	if e := domain.As(s.Book(ctx, s.Act(s.Bob, now), uuid.New(), two)); e.At != "day" {
		t.Errorf("a day that is none: %v", e)
	}
}
