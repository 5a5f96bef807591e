package web_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/signin"
	"coldrail/web/webtest"
)

// Somebody presses back, changes a form that was sent and sends it once more: they are
// told that it was not done. The same form sent twice is done once and answered as
// done, in whatever order its fields come and whatever PIN is typed the second time.
func TestAChangedFormIsNotTakenForDone(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.HangDeer(t, 1, 1)
	bob := s.As(t, s.Bob)
	page, form := "/animals/"+string(n)+"/money/deposit", url.Values{"act": {signin.NewAct()}, "amount": {"50.00"}, "way": {"cash"}, "pin": {"2222"}}
	if a := bob.Post(page, form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	if a := bob.Post(page, form); a.Status != http.StatusSeeOther {
		t.Errorf("sent twice: %d %.600s", a.Status, a.Body)
	}
	form.Set("amount", "80.00")
	bob.Post(page, form).Wants(t, http.StatusUnprocessableEntity, "This form was sent before with other words")
	var deposits int
	if err := s.Pool().QueryRow(t.Context(), `SELECT count(*) FROM payments`).Scan(&deposits); err != nil || deposits != 1 {
		t.Errorf("%d deposits, %v; want one", deposits, err)
	}

	drop := url.Values{"act": {signin.NewAct()}, "number": {string(dbtest.Tag(2))}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-1"}, "state": {"NY"},
		"species": {"whitetail"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "killed": {"today"}, "place": {"next"}, "tag_kind": {"carcass-tag"}}
	for range 2 {
		if a := bob.Post("/dropoff", drop); a.Status != http.StatusSeeOther {
			t.Fatalf("drop-off: %d %.600s", a.Status, a.Body)
		}
	}
	drop.Set("sex", "female")
	bob.Post("/dropoff", drop).Wants(t, http.StatusUnprocessableEntity, "This form was sent before with other words")
}
