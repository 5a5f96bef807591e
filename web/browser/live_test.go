package browser

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// A rail that hangs on the wall shows what somebody else hung up, long before it
// would ask by itself.
func TestRailFollows(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	site.HangDeer(t, 1, 3)
	s := open(t, site.URL, desktop)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/rail")
	s.wait(`document.querySelector("#board")?.innerText.includes("0001")`)
	s.wait(`window.followed || (fetch("/healthz").then(() => window.followed = live?.readyState === 1), false)`)
	a := site.As(t, site.Ann).Post("/dropoff", url.Values{"number": {string(dbtest.Tag(2))}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-1"}, "state": {"NY"},
		"species": {"whitetail"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "killed": {"today"}, "place": {"next"}, "tag_kind": {"carcass-tag"}})
	if a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	s.wait(`document.querySelector("#board").innerText.includes("0002")`)
}
