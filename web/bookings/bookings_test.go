package bookings_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// A day is opened, a farmer books two hogs, they are on the first page, one tap
// begins the drop-off; the other is said not to have come.
func TestBook(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Get("/bookings").Wants(t, http.StatusOK, "No day takes bookings yet")
	b.Post("/bookings/day", url.Values{"kind": {"kill"}, "day": {"2026-11-18"}, "heads": {"3"}}).Wants(t, http.StatusUnprocessableEntity, "That day is past", `value="3"`)
	if a := b.Post("/bookings/day", url.Values{"kind": {"kill"}, "day": {"2026-11-19"}, "heads": {"3"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	page := b.Get("/bookings")
	page.Wants(t, http.StatusOK, "Thu Nov 19, kill day", "0 of 3 head booked")
	days, err := s.BookingDays(t.Context(), s.Now().AddDate(0, 0, -1))
	if err != nil || len(days) != 1 {
		t.Fatalf("%+v, %v", days, err)
	}
	book := url.Values{"on": {days[0].ID.String()}, "species": {"hog"}, "heads": {"4"}, "name": {"Vera Quill"}, "phone": {"607-555-0177"}, "bring_at": {"07:30"}}
	b.Post("/bookings", book).Wants(t, http.StatusUnprocessableEntity, "That day has room for 3 more", `value="Vera Quill"`)
	book.Set("heads", "2")
	if a := b.Post("/bookings", book); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	page = b.Get("/bookings")
	page.Wants(t, http.StatusOK, "Vera Quill: 2 × hog", "brought at 7:30 am", "2 of 3 head booked")
	b.Get("/").Wants(t, http.StatusOK, "Booked for today: 1", "Vera Quill: 2 × hog")
	id := between(page.Body, "/dropoff?booking=", `"`)
	b.Get("/dropoff?booking="+id).Wants(t, http.StatusOK, `value="Vera Quill"`, `name="booking" value="`+id+`"`, "Booked: ")
	form := url.Values{"booking": {id}, "number": {string(dbtest.Tag(1))}, "name": {"Vera Quill"}, "phone": {"607-555-0177"}, "species": {"hog"}, "other": {"-"}, "shape": {"whole"}, "killed": {"today"}, "place": {"next"}}
	if a := b.Post("/dropoff", form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	b.Get("/bookings").Wants(t, http.StatusOK, "1 of 2 came")
	b.Post("/bookings/drop", url.Values{"booking": {id}, "state": {"no-show"}}).Wants(t, http.StatusUnprocessableEntity, "Write in a few words what was said")
	if a := b.Post("/bookings/drop", url.Values{"booking": {id}, "state": {"called-off"}, "why": {"second one lame"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	b.Get("/bookings").Wants(t, http.StatusOK, "called off: second one lame")
}

func between(text, from, to string) string {
	_, after, _ := strings.Cut(text, from)
	found, _, _ := strings.Cut(after, to)
	return found
}
