package round_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

func TestLookAndDecide(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	number := string(dbtest.Tag(1))
	page := "/animals/" + number + "/look"
	bob.Get("/animals/26-9999-9/look").Wants(t, http.StatusNotFound, "no animal with the number")
	bob.Get(page).Wants(t, http.StatusOK, "A look now", "smell clean, surface dry")
	bob.Post(page, url.Values{}).Wants(t, http.StatusUnprocessableEntity, "Say how it feels")
	if a := bob.Post(page, url.Values{"smell": {"sour"}, "surface": {"slimy"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", a.Status, a.Body)
	}
	bob.Get(page).Wants(t, http.StatusOK, "The lead has not decided yet", "Bad smell: stop")
	decide := "/animals/" + number + "/decide"
	good := url.Values{"verdict": {"condemn-all"}, "reason": {"sour to the bone"}, "second": {"Bob Tarrant"}, "pin": {"4711"}}
	if a := bob.Post(decide, good); a.Status != http.StatusForbidden {
		t.Errorf("the cutter decided: %d", a.Status)
	}
	for _, tt := range []struct{ field, value, says string }{
		{"verdict", "", "Say what you decide"},
		{"reason", "", "Give the reason"},
		{"second", "", "takes two people"},
		{"second", "Ann Kessler", "takes two people"},
		{"pin", "0000", "That does not fit"},
	} {
		f := url.Values{}
		for k, v := range good {
			f[k] = v
		}
		f.Del("act")
		f.Set(tt.field, tt.value)
		ann.Post(decide, f).Wants(t, http.StatusUnprocessableEntity, tt.says)
	}
	if a := ann.Post(decide, good); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", a.Status, a.Body)
	}
	ann.Get(page).Wants(t, http.StatusOK, "condemn all of it", "sour to the bone (seen with Bob Tarrant)")
	if a, err := s.Animal(t.Context(), dbtest.Tag(1)); err != nil || a.Physical != "condemned" {
		t.Errorf("stands at %s, %v", a.Physical, err)
	}
}

// From a look at an animal on the table the way back to the table is one tap; from one
// that hangs there is none.
func TestLookLeadsBackToTheTable(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	hung, cut := s.HangDeer(t, 1, 1), s.CutDeer(t, 2, animal.OnTable)
	b.Get("/animals/"+string(cut)+"/look").Wants(t, http.StatusOK, `href="/cutting/`+string(cut)+`"`, "At the table")
	if a := b.Get("/animals/" + string(hung) + "/look"); strings.Contains(a.Body, "At the table") {
		t.Error("one that hangs has a way to the table")
	}
}
