package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// taken on for one kind of work alone.
func takenOn(t *testing.T, s *webtest.Site, name, initials string, roles ...string) *webtest.Browser {
	t.Helper()
	staff, err := s.AddStaff(t.Context(), db.NewStaff{Name: name, Initials: initials, Roles: roles, PIN: "3333"}, dbtest.Noon.Add(-time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	return s.As(t, staff)
}

// The page of a kill is everyone's, its owners' phone numbers are the counter's: the
// cutter's fields are empty, and what comes back empty keeps the number.
func TestPhonesOfAKillAreTheCounters(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := cow(t, s)
	bob, cutter, at := s.As(t, s.Bob), takenOn(t, s, "Kit Sarver", "KS", "cutter"), "/animals/"+string(n)+"/kill"
	post(t, bob, at, killed("yes", "teeth", [2]string{"", "Wade Tolliver"}))
	bob.Get(at+"?correct=yes").Wants(t, http.StatusOK, `value="555-0181"`)
	page := cutter.Get(at + "?correct=yes")
	if page.Wants(t, http.StatusOK, "Wade Tolliver"); strings.Contains(page.Body, "555-0181") {
		t.Error("the cutter is shown an owner's number")
	}
	right := killed("no", "papers", [2]string{"", "Wade Tolliver"})
	right.Set("phone1", "")
	right.Set("after", "0")
	right.Set("why", "the papers say so")
	post(t, cutter, at+"/correct", right)
	bob.Get(at+"?correct=yes").Wants(t, http.StatusOK, `value="555-0181"`)
}

// Licence numbers, addresses and who brought and killed it are for those who need
// them; elsewhere a mask stands, and each look is written down for the owner.
func TestPrivateThingsAreMaskedAndLooksWrittenDown(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	cooler, cutter := takenOn(t, s, "Cleo Marsh", "CM", "cooler"), takenOn(t, s, "Kit Sarver", "KS", "cutter")
	form := buck(1)
	form.Set("deliverer", "Wade Tolliver")
	form.Set("licence", "L-778812")
	bring(t, bob, form)
	bring(t, bob, buck(2)) // two, so that the find box lists them
	n := string(dbtest.Tag(1))

	for _, c := range []struct{ page, secret, instead string }{
		{"/animals/" + n, "555-0142", "··· 0142"},
		{"/find?q=Hargrove", "555-0142", "··· 0142"},
		{"/register/now", "Wade Tolliver", "kept at the counter"},
		{"/animals/" + n + "/slip", "12 Alder Lane", "kept at the counter"},
		{"/dropoff/owed/" + n, "L-778812", "kept at the counter"},
		{"/dropoff/owed/" + n, "12 Alder Lane", "··· 0142"},
	} {
		bob.Get(c.page).Wants(t, http.StatusOK, c.secret)
		a := cooler.Get(c.page)
		a.Wants(t, http.StatusOK, c.instead)
		if strings.Contains(a.Body, c.secret) {
			t.Errorf("the cooler reads %s on %s", c.secret, c.page)
		}
	}
	cutter.Get("/dropoff/owed/"+n).Wants(t, http.StatusForbidden, "not in Kit Sarver&#39;s work")
	if a := cooler.Post("/dropoff", url.Values{"phone": {"555-0142"}, "find": {"yes"}}); strings.Contains(a.Body, "L-778812") || strings.Contains(a.Body, "Alder") || !strings.Contains(a.Body, "Dell Hargrove") {
		t.Error("the cooler reads the licence or the address of a known person, or not the name")
	}
	bob.Post("/dropoff", url.Values{"phone": {"555-0142"}, "find": {"yes"}}).Wants(t, http.StatusOK, "12 Alder Lane")
	ann.Get("/office/register.csv?from=2026-11-01&until=2026-11-30").Wants(t, http.StatusOK, "L-778812")

	bob.Get("/office/looks").Wants(t, http.StatusForbidden, "not in Bob Tarrant&#39;s work")
	a := ann.Get("/office/looks")
	a.Wants(t, http.StatusOK, "Bob Tarrant&#39;s tablet", n, "drop-off slip", "lines of the register", "everything in the house", "at drop-off: Dell Hargrove",
		"the register as a file, 2026-11-01 – 2026-11-30", "licence numbers")
	if strings.Contains(a.Body, "Cleo Marsh") {
		t.Error("whoever saw a mask is in the list of looks")
	}
	ann.Get("/office/looks?of="+n).Wants(t, http.StatusOK, "lines of the register")
	if a := ann.Get("/office/looks?of=bt"); strings.Contains(a.Body, "register as a file") || !strings.Contains(a.Body, "drop-off slip") {
		t.Error("the list of Bob's looks has Ann's, or not his own")
	}
}

// actID is the act's id that the first form of a page carries.
func actID(t *testing.T, b *webtest.Browser, page string) string {
	t.Helper()
	_, rest, found := strings.Cut(b.Get(page).Body, `name="act" value="`)
	id, _, closed := strings.Cut(rest, `"`)
	if !found || !closed {
		t.Fatalf("no form on %s", page)
	}
	return id
}
