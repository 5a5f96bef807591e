package coolers_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/web/webtest"
)

// eightHours is the small room with two deer and eight hours at 54 °F, over for
// an hour, already found by the watch.
func eightHours(t *testing.T) (s *webtest.Site, page string) {
	t.Helper()
	s = small(t, 2)
	bring(t, s, 30, func(ago time.Duration) (domain.Celsius, bool) {
		if ago < 9*time.Hour && ago > time.Hour {
			return 12, true
		}
		return 2, true
	})
	must(t, s.WatchIncidents(t.Context(), now))
	open, err := s.OpenIncidents(t.Context())
	must(t, err)
	if len(open) != 1 {
		t.Fatalf("%d incidents, want one", len(open))
	}
	return s, "/coolers/incidents/" + open[0].ID.String()
}

// The warm room is told everywhere, its meat measured, its animals decided about
// together with PIN and reason, and then it is closed.
func TestIncidentOnThePage(t *testing.T) {
	t.Parallel()
	s, page := eightHours(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	bob.Get("/").Wants(t, http.StatusOK, "Incidents: 1", page, "2 animals wait for a decision.")
	bob.Get("/coolers/small").Wants(t, http.StatusOK, "Incidents", page)
	bob.Get(page).Wants(t, http.StatusOK, "Too warm from", "Measure five within the hour", "stopped: the lead decides",
		"2 hours above 40 °F", "4 hours above 40 °F", "Transylvania County", "None of them decides", "When in doubt", "over it")
	// Only the lead decides and closes.
	if a := bob.Post(page+"/decide", url.Values{"numbers": {"x"}, "verdict": {"carry-on"}, "reason": {"x"}, "pin": {"2222"}}); a.Status == http.StatusSeeOther {
		t.Errorf("the counter decided: %d", a.Status)
	}
	bob.Post(page+"/measure", url.Values{"place": {"door"}, "c": {"warm"}}).Wants(t, http.StatusUnprocessableEntity, "a temperature in")
	bob.Post(page+"/measure", url.Values{"place": {"door"}, "c": {"145"}}).Wants(t, http.StatusUnprocessableEntity, "A temperature is from −40 °F to 140 °F. Read the thermometer again.")
	bob.Post(page+"/measure", url.Values{"c": {"44"}}).Wants(t, http.StatusUnprocessableEntity, "where you measured", `value="44"`)
	if a := bob.Post(page+"/measure", url.Values{"place": {"door"}, "c": {"44"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(page).Wants(t, http.StatusOK, "by the door", "44.0 °F", "BT", `<svg class="chart"`, "chart-incident", "Meat measured: 44.0 °F", "The readings, one by one")

	// The four large digits are enough for one of the room; of another the whole tag is asked.
	bob.Post(page+"/measure", url.Values{"place": {"old"}, "c": {"43"}, "number": {"9999"}}).Wants(t, http.StatusUnprocessableEntity, "9999 is not a tag number")
	numbers := func() []string {
		open, err := s.OpenIncidents(t.Context())
		must(t, err)
		f, err := s.IncidentFile(t.Context(), open[0], now)
		must(t, err)
		var list []string
		for _, a := range f.Animals {
			list = append(list, string(a.Number))
		}
		return list
	}()
	if a := bob.Post(page+"/measure", url.Values{"place": {"old"}, "c": {"43"}, "number": {domain.ShopNumber(numbers[0]).Short()}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	open, err := s.OpenIncidents(t.Context())
	must(t, err)
	f, err := s.IncidentFile(t.Context(), open[0], now)
	must(t, err)
	if got := f.Animals[0].Measured; got == nil || *got != domain.Fahrenheit(43) {
		t.Errorf("%s was measured at %v, want 43 °F", numbers[0], got)
	}
	form := func(change func(url.Values)) url.Values {
		f := url.Values{"numbers": numbers, "verdict": {"trim-and-cut-first"}, "reason": {"clean smell, dry, probe 43 °F"}, "pin": {"4711"}}
		if change != nil {
			change(f)
		}
		return f
	}
	ann.Post(page+"/close", url.Values{"found": {"fan motor"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "2 animals wait")
	ann.Post(page+"/decide", form(func(f url.Values) { f.Set("pin", "1111") })).Wants(t, http.StatusUnprocessableEntity, "clean smell, dry")
	ann.Post(page+"/decide", form(func(f url.Values) { f.Del("numbers") })).Wants(t, http.StatusUnprocessableEntity, "Tick the animals")
	ann.Post(page+"/decide", form(func(f url.Values) { f.Set("numbers", "26-9999-9") })).Wants(t, http.StatusUnprocessableEntity, "was not in this room")
	ann.Post(page+"/decide", form(func(f url.Values) { f.Set("verdict", "condemn-all") })).Wants(t, http.StatusUnprocessableEntity, "takes two people")
	if a := ann.Post(page+"/decide", form(nil)); a.Status != http.StatusSeeOther || a.Location != page {
		t.Fatalf("%d %s %.900s", a.Status, a.Location, a.Body)
	}
	ann.Get(page).Wants(t, http.StatusOK, "decided: trim and cut first, by AK", "Close the incident")
	ann.Post(page+"/close", url.Values{"found": {""}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "what was wrong")
	if a := ann.Post(page+"/close", url.Values{"found": {"fan motor burnt out, replaced"}, "pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(page).Wants(t, http.StatusOK, "Closed", "fan motor burnt out, replaced")
	bob.Get(page+"/report").Wants(t, http.StatusOK, "Report of an incident", "sheet-letter", "Signed, for the shop", "fan motor burnt out", "4 hours above 40 °F")
	bob.Get("/coolers/incidents/nonsense").Wants(t, http.StatusNotFound, "There is no such incident.")
}

// Two warm times of one room that nobody has closed: Today and the room's page show both,
// told apart by their times, and lead to each; what is open at the day's end counts both.
func TestTwoIncidentsOfARoom(t *testing.T) {
	t.Parallel()
	s := small(t, 1)
	bring(t, s, 60, func(ago time.Duration) (domain.Celsius, bool) {
		if ago > time.Hour && ago < 5*time.Hour || ago > 40*time.Hour && ago < 44*time.Hour {
			return 12, true
		}
		return 2, true
	})
	must(t, s.WatchIncidents(t.Context(), now))
	open, err := s.OpenIncidents(t.Context())
	must(t, err)
	if len(open) != 2 {
		t.Fatalf("%d incidents, want two", len(open))
	}
	zone, err := time.LoadLocation("America/New_York")
	must(t, err)
	ann := s.As(t, s.Ann)
	for _, path := range []string{"/", "/coolers/small"} {
		page := ann.Get(path)
		for _, i := range open {
			page.Wants(t, http.StatusOK, "/coolers/incidents/"+i.ID.String(), "Too warm from "+i.BeganAt.In(zone).Format("Mon Jan 2, 3:04 pm"))
		}
	}
	ann.Get("/").Wants(t, http.StatusOK, "Incidents: 2")
	ann.Get("/close").Wants(t, http.StatusOK, "Rooms that were too warm, not settled: 2")
}
