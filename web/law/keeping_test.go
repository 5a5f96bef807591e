package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// trade.md 1.9: a cape is frozen within 12 hours of coming off or stands on the first
// page; a head stays until its disease sample is taken; who takes either is named and
// signs, and only one of two hands it over.
func TestHeadAndCapeAreKept(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann, form := s.As(t, s.Bob), s.As(t, s.Ann), buck(1)
	form.Set("sample", "yes")
	bring(t, bob, form)
	at := "/animals/" + string(dbtest.Tag(1))
	for _, kind := range []string{"head", "cape"} {
		if a := bob.Post(at+"/pieces", url.Values{"kind": {kind}, "instruction": {"shoulder mount"}}); a.Status != http.StatusSeeOther {
			t.Fatalf("%s: %d %.800s", kind, a.Status, a.Body)
		}
	}
	bob.Get("/pieces").Wants(t, http.StatusOK, "2 pieces here", "shoulder mount", "Nobody has said where it lies", "To be frozen by")
	s.SetNow(dbtest.Noon.Add(11 * time.Hour))
	bob.Get("/").Wants(t, http.StatusOK, "Into the freezer", "Say where it lies")
	bob.Post(at+"/pieces/C/place", url.Values{"place": {""}, "frozen": {"yes"}}).Wants(t, http.StatusUnprocessableEntity, "Say where it lies")
	lay := url.Values{"place": {"hide freezer, shelf 2"}, "frozen": {"yes"}, "act": {actID(t, bob, at+"/pieces/C")}}
	for range 2 { // sent twice: one line
		if a := bob.Post(at+"/pieces/C/place", lay); a.Status != http.StatusSeeOther {
			t.Fatalf("lay: %d %.800s", a.Status, a.Body)
		}
	}
	if a := bob.Get("/"); strings.Contains(a.Body, "Into the freezer") {
		t.Error("the frozen cape is still on the first page")
	}
	if a := bob.Get(at); strings.Count(a.Body, "Piece laid") != 1 {
		t.Error("laid once, the time line says otherwise")
	}

	give := func(to, signer, pin string) url.Values {
		return url.Values{"gone": {to}, "signer": {signer}, "strokes": {"M10 10 L90 60"}, "pin": {pin}}
	}
	bob.Post(at+"/pieces/H", give("taxidermist", "Ira Lund", "2222")).Wants(t, http.StatusUnprocessableEntity, "has not been taken", "Ira Lund")
	bob.Post(at+"/pieces/H", give("discarded", "", "2222")).Wants(t, http.StatusUnprocessableEntity, "has not been taken")
	bob.Post(at+"/pieces/H", give("sampler", "", "2222")).Wants(t, http.StatusUnprocessableEntity, "Write the name of whoever signs")
	bob.Post(at+"/pieces/H", give("sampler", "R. Ames, DEC", "1111")).Wants(t, http.StatusUnprocessableEntity, "PIN")
	if a := bob.Post(at+"/pieces/H", give("sampler", "R. Ames, DEC", "2222")); a.Status != http.StatusSeeOther {
		t.Fatalf("to the sampler: %d %.800s", a.Status, a.Body)
	}
	bob.Post(at+"/pieces/C", give("owner", "Orrin Beck", "2222")).Wants(t, http.StatusUnprocessableEntity, "The owner has not named them")
	var wins int
	var mu sync.Mutex
	var both sync.WaitGroup
	for pin, b := range map[string]*webtest.Browser{"2222": bob, "4711": ann} {
		both.Add(1)
		go func() {
			defer both.Done()
			if a := b.Post(at+"/pieces/C", give("owner", "Dell Hargrove", pin)); a.Status == http.StatusSeeOther {
				mu.Lock()
				wins++
				mu.Unlock()
			} else if !strings.Contains(a.Body, "is gone: to the owner") {
				t.Errorf("the other is told: %d %.600s", a.Status, a.Body)
			}
		}()
	}
	both.Wait()
	if wins != 1 {
		t.Errorf("%d handed the one cape over", wins)
	}
	bob.Get(at+"/pieces/C").Wants(t, http.StatusOK, "to the owner", "Dell Hargrove", "M10 10 L90 60")
	bob.Get("/pieces").Wants(t, http.StatusOK, "None is here")
	ann.Post("/office/pieces", url.Values{"cape": {"300"}, "head": {"24"}}).Wants(t, http.StatusUnprocessableEntity, "1 to 240", "300")
	if a := ann.Post("/office/pieces", url.Values{"cape": {"6"}, "head": {"24"}, "hide": {""}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	ann.Get("/office/pieces").Wants(t, http.StatusOK, `value="6"`, "AK")
}
