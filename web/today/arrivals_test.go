package today_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// arrive takes a deer in, into the cooler or not, as warm as it is.
func arrive(t testing.TB, s *webtest.Site, running int, form domain.Form, nowhere bool, deep *domain.Celsius) domain.ShopNumber {
	t.Helper()
	n := dbtest.Tag(running)
	must(t, s.Receive(t.Context(), s.Act(s.Bob, s.Now()), db.Drop{NotHung: nowhere, Owner: db.Person{Name: "Dell Hargrove", Phone: "607-555-0142"},
		Drop: animal.Drop{Number: n, Species: domain.Whitetail, Form: form, KilledAt: s.Now().Add(-4 * time.Hour), DeepTemp: deep}}))
	return n
}

// What came in and hangs nowhere yet is urgent, each with its hours and its warmth at
// the door; what hangs and waits for knife and scale is one line.
func TestTodayArrivals(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, warm := s.As(t, s.Bob), domain.Fahrenheit(79.6)
	if page := bob.Get("/"); strings.Contains(page.Body, "Not in the cooler") || strings.Contains(page.Body, "To skin and weigh") {
		t.Error("an empty shop has something to hang")
	}
	out := arrive(t, s, 1, domain.WholeHideOn, true, &warm)
	arrive(t, s, 2, domain.WholeHideOn, false, nil)
	arrive(t, s, 3, domain.Whole, false, nil)
	s.SetNow(dbtest.Noon.Add(15 * time.Hour))
	arrive(t, s, 4, domain.Whole, true, nil)
	page := bob.Get("/")
	page.Wants(t, http.StatusOK, "Not in the cooler yet: 2", "Whitetail, came 15 hours ago", "79.6 °F deep at the door, Thu Nov 19, 12:00 pm.", "/skinning/"+string(out), "line urgent", "Nobody measured it at the door.",
		"To skin and weigh: 2", "1 with the hide on, 1 to weigh", "The first of them came 15 hours ago.")
	if first, second := strings.Index(page.Body, "came 15 hours ago"), strings.Index(page.Body, "came just now"); first > second {
		t.Error("what waits longest does not come first")
	}
	for i := range 9 {
		arrive(t, s, 10+i, domain.Whole, true, nil)
	}
	if page = bob.Get("/"); !strings.Contains(page.Body, "Not in the cooler yet: 11") || !strings.Contains(page.Body, "and 3 more") || strings.Contains(page.Body, "and 1 more") {
		t.Error("of eleven outside eight are shown and three counted; the line of those inside counts nothing more")
	}
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE animals SET physical = 'hanging' WHERE number = $1`, out)
	must(t, err)
	if page = bob.Get("/"); !strings.Contains(page.Body, "Not in the cooler yet: 10") {
		t.Error("what was hung still waits")
	}
}
