package office_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// The owner makes a new list: a copy, a line dearer, one added, one dropped, in
// force from a day ahead; the page shows what is charged now and from then on.
func TestPricesAreChanged(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	const page = "/office/prices"
	ann.Get("/office").Wants(t, http.StatusOK, page)
	ann.Get(page).Wants(t, http.StatusOK, "Season 2026", "Make a new list", "Deer, cut, grind and wrap", "$125.00", "whitetail, mule deer, deer", "when ticked")
	goes := func(a webtest.Answer) {
		t.Helper()
		if a.Status != http.StatusSeeOther || a.Location != page {
			t.Fatalf("%d to %s: %.900s", a.Status, a.Location, a.Body)
		}
	}
	goes(ann.Post(page, url.Values{}))
	ann.Get(page).Wants(t, http.StatusOK, "AK began it", "as a copy of list 1", "Throw the new list away")
	ann.Post(page, url.Values{}).Wants(t, http.StatusUnprocessableEntity, "AK began a new list")

	ann.Get(page+"/new/deer-whole").Wants(t, http.StatusOK, `value="125.00"`, `value="whitetail" checked`, "It is taxed")
	deer := func(price string) url.Values {
		return url.Values{"revision": {"1"}, "label": {"Deer, cut, grind and wrap"}, "basis": {"animal"}, "price": {price}, "taxable": {"yes"},
			"species": {"whitetail", "mule-deer"}}
	}
	ann.Post(page+"/new/deer-whole", deer("dear")).Wants(t, http.StatusUnprocessableEntity, "cannot be read", `value="dear"`)
	goes(ann.Post(page+"/new/deer-whole", deer("145")))
	ann.Post(page+"/new/deer-whole", deer("155")).Wants(t, http.StatusUnprocessableEntity, "Somebody else has just changed this line")
	ann.Post(page+"/new", url.Values{"revision": {"0"}, "label": {"The least for a beef"}, "basis": {"at-least"}, "price": {"300"}}).
		Wants(t, http.StatusUnprocessableEntity, "Tick the kinds of animal")
	goes(ann.Post(page+"/new", url.Values{"revision": {"0"}, "label": {"The least for a beef"}, "basis": {"at-least"}, "price": {"300"}, "species": {"beef"}}))
	goes(ann.Post(page+"/new/rush/drop", url.Values{}))
	ann.Get(page+"/new/rush").Wants(t, http.StatusNotFound)
	ann.Get(page).Wants(t, http.StatusOK, "was $125.00", "The least for a beef", "new", "Dropped: Rush, front of the line, $40.00")

	force := func(since, why, pin string) url.Values {
		return url.Values{"called": {"Season 2026, late"}, "since": {since}, "why": {why}, "pin": {pin}}
	}
	ann.Post(page+"/in-force", force("2026-11-18T08:00", "power", "4711")).Wants(t, http.StatusUnprocessableEntity, "That moment is past", "Season 2026, late")
	ann.Post(page+"/in-force", force("", "", "4711")).Wants(t, http.StatusUnprocessableEntity, "Say why the prices change")
	ann.Post(page+"/in-force", force("", "power", "1")).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	goes(ann.Post(page+"/in-force", force("2026-12-01T08:00", "power costs more", "4711")))
	ann.Get(page).Wants(t, http.StatusOK, "$125.00", "from Tue Dec 1, 8:00 am", "power costs more", "Make a new list")
	ann.Get(page+"/2").Wants(t, http.StatusOK, "Nothing is charged by it before Tue Dec 1, 8:00 am", "$145.00", "the least for an animal", "Made by AK")
	ann.Get(page+"/3").Wants(t, http.StatusNotFound)
	s.SetNow(dbtest.Noon.AddDate(0, 0, 14))
	if a := ann.Get(page); !strings.Contains(a.Body, "Season 2026, late") || !strings.Contains(a.Body, "$145.00") || strings.Contains(a.Body, "$125.00") {
		t.Errorf("the second list is not in force: %.2000s", a.Body)
	}
	s.As(t, s.Bob).Get(page).Wants(t, http.StatusForbidden)
}

// A list that was begun is thrown away; a shop without one is led to its first.
func TestPricesAreLeft(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	ann.Post("/office/prices/leave", url.Values{}).Wants(t, http.StatusUnprocessableEntity, "No new price list is being prepared any more")
	ann.Get("/office/prices/new").Wants(t, http.StatusNotFound)
	ann.Post("/office/prices", url.Values{})
	ann.Get("/office/prices/new").Wants(t, http.StatusOK, "A new line", "summer sausage")
	if a := ann.Post("/office/prices/leave", url.Values{}); a.Location != "/office/prices" {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	ann.Get("/office/prices").Wants(t, http.StatusOK, "Make a new list")
}
