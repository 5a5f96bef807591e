package web_test

import (
	"bufio"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// Two servers on one database, as behind a proxy: a device let in at one is let in
// at the other, what is done at one is told at the other, and its board shows it;
// the same act sent to both is done once. Each has connections and a memory of its own,
// as two machines have, and neither goes on telling what it remembers.
func TestTwoServers(t *testing.T) {
	t.Parallel()
	one := webtest.Open(t)
	its, err := db.Open(t.Context(), one.Pool().Config().ConnString())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(its.Close)
	two := webtest.Serve(t, its, dbtest.Noon)
	bob := one.As(t, one.Bob)
	there := bob.At(two)
	told := follow(t, there)
	for _, page := range []string{"/", "/rail", "/dropoff/owed", "/cutting/plan"} { // both have something to remember
		there.Get(page).Wants(t, http.StatusOK)
	}
	etag := there.Ask(http.MethodGet, "/rail", nil).Header.Get("ETag")
	if res := there.Ask(http.MethodGet, "/rail", map[string]string{"If-None-Match": etag}); res.StatusCode != http.StatusNotModified {
		t.Errorf("an unchanged board answers %d, want 304", res.StatusCode)
	}
	drop := url.Values{"number": {string(dbtest.Tag(1))}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-1"}, "state": {"NY"},
		"species": {"whitetail"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "killed": {"today"}, "place": {"next"}, "tag_kind": {"carcass-tag"}}
	if a := bob.Post("/dropoff", drop); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	select {
	case <-told:
	case <-time.After(10 * time.Second):
		t.Fatal("the other server tells nobody")
	}
	if res := there.Ask(http.MethodGet, "/rail", map[string]string{"If-None-Match": etag}); res.StatusCode != http.StatusOK {
		t.Errorf("a changed board answers %d, want 200", res.StatusCode)
	}
	for _, page := range []string{"/", "/rail", "/dropoff/owed"} {
		if here, other := withoutActs(bob.Get(page)), withoutActs(there.Get(page)); !strings.Contains(other, "0001") || here != other {
			t.Errorf("%s is another page at the other server, or does not tell of the animal: %d and %d bytes", page, len(here), len(other))
		}
	}
	if a := there.Post("/dropoff", drop); a.Status != http.StatusSeeOther {
		t.Errorf("the same act at the other server: %d %.300s", a.Status, a.Body)
	}
	var animals int
	if err := one.Pool().QueryRow(t.Context(), `SELECT count(*) FROM animals`).Scan(&animals); err != nil || animals != 1 {
		t.Errorf("%d animals, %v; want one", animals, err)
	}
}

// withoutActs is a page without the ids of the acts in its forms, which are made as it is
// asked for.
func withoutActs(a webtest.Answer) string { return actField.ReplaceAllString(a.Body, "") }

var actField = regexp.MustCompile(`value="[0-9a-f-]{36}"`)

// follow listens to a server's changes as a board does; the beginning counts as
// heard once the stream stands.
func follow(t *testing.T, b *webtest.Browser) <-chan struct{} {
	t.Helper()
	res := b.Ask(http.MethodGet, "/live", nil)
	t.Cleanup(func() { res.Body.Close() })
	if got := res.Header.Get("Content-Type"); res.StatusCode != http.StatusOK || got != "text/event-stream" {
		t.Fatalf("%d, %s", res.StatusCode, got)
	}
	lines := bufio.NewScanner(res.Body)
	if !lines.Scan() || lines.Text() != ": here" {
		t.Fatalf("the stream begins with %q", lines.Text())
	}
	told := make(chan struct{}, 100)
	go func() {
		for lines.Scan() {
			if strings.HasPrefix(lines.Text(), "event: changed") {
				told <- struct{}{}
			}
		}
	}()
	return told
}
