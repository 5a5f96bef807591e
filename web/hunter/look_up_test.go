package hunter_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// Without a link: number and last four digits open the same page, and the private
// link is neither on it nor in an address that the phone remembers.
func TestLookUpOpensTheSamePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 147, 7)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	home, link := s.Nobody(t), path(t, s, n)
	home.Get("/s").Wants(t, http.StatusOK, "Number on your receipt", "Last four digits", `content="noindex`)
	found := home.Post("/s", url.Values{"number": {n.Digits()}, "last_four": {"0142"}})
	found.Wants(t, http.StatusOK, "Your deer", "It hangs in our cooler", `name="referrer" content="no-referrer"`)
	if byLink := home.Get(link); byLink.Body != found.Body {
		t.Error("the page by link is another")
	}
	if token := strings.TrimPrefix(link, "/s/"); strings.Contains(found.Body, token) || found.Location != "" || found.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("the link is told, or the page is kept: %q, %q", found.Location, found.Header.Get("Cache-Control"))
	}
	set(t, s, `UPDATE animals SET call_first = true, revision = revision + 1 WHERE number = $1`, n)
	home.Post("/s", url.Values{"number": {n.Digits()}, "last_four": {"0142"}}).Wants(t, http.StatusOK, "Please call us about your deer.")
}

// Wrong number, wrong digits, another owner's digits: one answer. After five at one
// number it waits, for the right digits too; a question in the address is not asked.
func TestLookUpTellsNothing(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, other := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	s.Own(t, other, "Ray Tarrant", "607-555-0188")
	home := s.Nobody(t)
	answers := map[string]string{}
	for name, form := range map[string]url.Values{
		"wrong digits":         {"number": {string(n)}, "last_four": {"9999"}},
		"another's digits":     {"number": {string(n)}, "last_four": {"0188"}},
		"no such animal":       {"number": {"26-0999-5"}, "last_four": {"0142"}},
		"no number of a shop":  {"number": {"26-0001-0"}, "last_four": {"0142"}},
		"no digits":            {"number": {string(n)}, "last_four": {""}},
		"letters for a number": {"number": {"my deer"}, "last_four": {"0142"}},
	} {
		a := home.Post("/s", form)
		if a.Status != http.StatusNotFound {
			t.Errorf("%s: %d", name, a.Status)
		}
		answers[strings.ReplaceAll(a.Body, form.Get("number"), "")] = name
	}
	if len(answers) != 1 {
		t.Errorf("%d different answers: %v", len(answers), answers)
	}
	home.Get("/s?number="+string(other)+"&last_four=0188").Wants(t, http.StatusOK, "Number on your receipt")
	for i := range 2 {
		home.Post("/s", url.Values{"number": {string(n)}, "last_four": {fmt.Sprintf("777%d", i)}}).Wants(t, http.StatusNotFound, "do not belong together", "all seven digits")
	}
	right := url.Values{"number": {string(n)}, "last_four": {"0142"}}
	home.Post("/s", right).Wants(t, http.StatusTooManyRequests, "too many tries")
	s.SetNow(dbtest.Noon.Add(time.Minute))
	home.Post("/s", right).Wants(t, http.StatusOK, "Your deer")
}
