package season_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/web/webtest"
)

func TestTheSeasonsPage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	bob.Get("/office/season").Wants(t, http.StatusForbidden)
	ann.Get("/office/season").Wants(t, http.StatusOK, "No animal has come in yet")
	number := s.BoxDeer(t, 1, 2)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET form = 'whole', promised_on = '2026-11-16' WHERE number = $1`, number); err != nil {
		t.Fatal(err)
	}
	s.Packed(t, number, "Steaks", 20)
	bob.Post("/animals/"+string(number)+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Post("/animals/"+string(number)+"/money/pay", url.Values{"amount": {"50"}, "way": {"check"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	// By hand: 20 of 40 kg is 50 %; promised for the 16th, boxed on the 17th.
	ann.Get("/office/season").Wants(t, http.StatusOK, "Season 2026/27", "whitetail, grown", "50 %", "Deer, cut, grind and wrap", "$125.00", "$50.00",
		"0 of 1 were in the freezer on the promised day", "1 came later", "<svg", "The house was fullest on", "88 lb", ">0 %</text>")
	if a := ann.Get("/office/season"); strings.Contains(a.Body, "%!") {
		t.Error("a sentence lacks a value")
	}
	ann.Get("/office/season?year=2025").Wants(t, http.StatusNotFound, "No animal came in that season")
	ann.Get("/office/season?year=x").Wants(t, http.StatusNotFound)
	ann.Get("/office").Wants(t, http.StatusOK, "/office/season", "/close")
}

// The first days of a season: what has no number yet says so, and two lines that run
// together bear one name.
func TestASeasonThatBegins(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	number := s.HangDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET promised_on = '2026-12-16' WHERE number = $1`, number); err != nil {
		t.Fatal(err)
	}
	s.As(t, s.Ann).Get("/office/season").Wants(t, http.StatusOK, ">all, not cut yet</text>", "animals in it: 1;", "No animal with a promised day is packed or late yet.")
}
