package label_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/web/webtest"
)

// Annex E 23: the label printer's scale stands at 80 %. The letters of NOT FOR SALE,
// 10 mm as drawn, come out 8 mm, below 3/8 in (9 CFR 317.16): no label comes off that
// printer until it is measured true, and the labels at fault are counted.
func TestScenario23PrinterTooSmall(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	number := s.BoxDeer(t, 1, 1)
	s.Packed(t, number, "steaks", 4)
	bob := s.As(t, s.Bob)
	at := "/animals/" + string(number)
	print := func(which, labels, why string) webtest.Answer {
		return bob.Post(at+"/printed", url.Values{"what": {"box"}, "which": {which}, "labels": {labels}, "why": {why}})
	}
	measure := func(typed string) webtest.Answer {
		return bob.Post("/labels/ruler", url.Values{"paper": {"4x6"}, "measured": {typed}})
	}
	if a := print("1", "1", ""); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	s.SetNow(s.Now().Add(time.Minute))
	if a := measure("2 2/5"); a.Status != http.StatusSeeOther { // 80 % of 3 in
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get("/labels/ruler?paper=4x6").Wants(t, http.StatusOK, "prints at 80 %", "NOT FOR SALE comes out 8.0 mm high", "No label comes off this printer until it is measured true",
		"1 label of 1 animal was printed on it")
	page := bob.Get(at + "/boxes/1/label")
	page.Wants(t, http.StatusOK, "This printer makes NOT FOR SALE too small")
	if strings.Contains(page.Body, "sheet-4x6") {
		t.Error("the label is shown all the same")
	}
	print("1", "1", "torn").Wants(t, http.StatusConflict, "This printer makes NOT FOR SALE 8.0 mm high")
	if letter := bob.Get(at + "/boxes/1/label?paper=letter"); strings.Contains(letter.Body, "too small") {
		t.Error("another printer is blocked with it")
	}
	s.SetNow(s.Now().Add(time.Minute))
	measure("12").Wants(t, http.StatusUnprocessableEntity, "cannot be the line on the page")
	if a := measure("3"); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get("/labels/ruler?paper=4x6").Wants(t, http.StatusOK, "prints true")
	if a := print("1", "1", "the old one was too small"); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
}
