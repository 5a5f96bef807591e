package office_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/web/webtest"
)

// fawns is the rule for young deer as the page's form sends it.
func fawns(change map[string]string) url.Values {
	f := url.Values{"base": {"1"}, "sign": {"no"}, "tender": {""}, "usual_from": {"1"}, "usual_to": {"2"}, "ceiling": {"2"}, "long_ceiling": {""},
		"cites": {"Our own practice"}, "why": {"fawns dry out"}, "pin": {"4711"}}
	for name, value := range change {
		f.Set(name, value)
	}
	return f
}

// The owner shortens how long fawns hang, and then lets it count for the one that
// hangs already; the page keeps every version with who and why.
func TestProtocolIsEdited(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := string(s.HangDeer(t, 1, 1))
	ann := s.As(t, s.Ann)
	const page = "/office/protocols/deer-young"
	ann.Get("/office").Wants(t, http.StatusOK, `href="/office/protocols"`)
	ann.Get("/office/protocols").Wants(t, http.StatusOK, page, "How each kind hangs")
	ann.Get(page).Wants(t, http.StatusOK, "not aged, usually 1 to 3 days, at most 5", "the program&#39;s table", "Common practice, no source")

	for _, tt := range []struct{ field, value, says string }{
		{"ceiling", "9", "The last day is from 1 to 5 for this kind."},
		{"ceiling", "soon", "Write a number here."},
		{"usual_to", "4", "cannot end after the last day, 2"},
		{"long_ceiling", "14", "may not hang longer"},
		{"cites", " ", "Say where these numbers come from"},
		{"why", "", "Say why the rule changes"},
		{"pin", "1111", "That does not fit"},
	} {
		a := ann.Post(page, fawns(map[string]string{tt.field: tt.value}))
		a.Wants(t, http.StatusUnprocessableEntity, tt.says, "Our own practice")
	}
	if a := ann.Post(page, fawns(nil)); a.Status != http.StatusSeeOther || a.Location != page {
		t.Fatalf("%d to %s: %.800s", a.Status, a.Location, a.Body)
	}
	ann.Get(page).Wants(t, http.StatusOK, "Thu Nov 19, 12:00 pm", "Why: fawns dry out", "AK", "1 still hangs by an older version", n)
	ann.Post(page, fawns(map[string]string{"ceiling": "3"})).Wants(t, http.StatusUnprocessableEntity, "AK changed this rule")

	also := page + "/hanging"
	ann.Post(also, url.Values{"also_why": {"same fawns"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Tick the animals it counts for")
	ann.Post(also, url.Values{"animal": {n}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Say why those hanging")
	ann.Get("/animals/"+n).Wants(t, http.StatusOK, "Its last day is day 5.")
	if a := ann.Post(also, url.Values{"all": {"yes"}, "also_why": {"same fawns"}, "pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d: %.800s", a.Status, a.Body)
	}
	ann.Get("/animals/"+n).Wants(t, http.StatusOK, "Its last day, day 2, is over.", "Judged by the newer rule", "same fawns", "past its day")
	ann.Get("/office/protocols/unicorn").Wants(t, http.StatusNotFound)
	s.As(t, s.Bob).Get(page).Wants(t, http.StatusForbidden)
}

// On lamb no mould sign can be chosen, nor sent past the page.
func TestNoMouldSignOnLamb(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	ann.Get("/office/protocols/lamb-goat").Wants(t, http.StatusOK, "Never: on this kind growth is a fault")
	f := fawns(map[string]string{"aged": "yes", "tender": "50", "sign": "required", "ceiling": "10", "usual_to": "7"})
	ann.Post("/office/protocols/lamb-goat", f).Wants(t, http.StatusUnprocessableEntity, "On this kind growth is never waited for.")
}
