package dropoff_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/cutting"
	"coldrail/web/webtest"
)

// The rest of the conversation on one page: what is owed, the order of last time read
// back, the ranges, the sentences, the signature.
func TestConversation(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	for i := 1; i <= 2; i++ {
		form := fast(i)
		form.Set("shape", "boned")
		form.Set("place", "none")
		form.Set("door_shot", "small-fault")
		form.Set("collectors", "June Hargrove, Pete Loomis")
		form.Set("payer", "Carl Hargrove")
		if a := b.Post("/dropoff", form); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.900s", a.Status, a.Body)
		}
	}
	second := "/dropoff/" + string(dbtest.Tag(2))
	b.Get(second+"/hung").Wants(t, http.StatusOK, "No order yet, and none of last time", "It costs about", "Shot damage takes about 4.0 lb to 6.0 lb off", "never sold", "Name of whoever signs")
	order := cutting.Order{Added: cutting.NoneAdded, Lines: []cutting.Line{{Part: cutting.Trim, Treatment: cutting.Burger}}}
	if err := s.TakeOrder(t.Context(), s.Act(s.Bob, s.Now()), dbtest.Tag(1), db.Written{Order: order, Source: "counter"}); err != nil {
		t.Fatal(err)
	}
	page := b.Get(second + "/hung")
	page.Wants(t, http.StatusOK)
	if strings.Contains(page.Body, "Same as last time") {
		if a := b.Post(second+"/same", url.Values{"after": {"0"}}); a.Status != http.StatusSeeOther || a.Location != second+"/hung" {
			t.Fatalf("same: %d %.600s", a.Status, a.Body)
		}
		b.Get(second+"/hung").Wants(t, http.StatusOK, "Read it back:")
	} else {
		t.Errorf("last time's order is not offered")
	}
	b.Post(second+"/sign", url.Values{"signer": {" "}}).Wants(t, http.StatusUnprocessableEntity, "Write the name of whoever signs")
	if a := b.Post(second+"/sign", url.Values{"signer": {"Dell Hargrove"}, "strokes": {"M1 2 L3 4"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("sign: %d %.600s", a.Status, a.Body)
	}
	b.Get(second+"/hung").Wants(t, http.StatusOK, `d="M1 2 L3 4"`, "Signed Thu Nov 19, 12:00 pm, with BT")
	b.Get("/animals/"+string(dbtest.Tag(2))).Wants(t, http.StatusOK, "June Hargrove", "Pays", "May collect", "Signed at the counter")
}
