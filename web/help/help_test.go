package help_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"coldrail/web/webtest"
)

// Each person reads their own work first; every page it leads to is there; the
// paper of each is there, and nobody's is not.
func TestEveryGuideLeadsSomewhere(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	page := ann.Get("/help")
	page.Wants(t, http.StatusOK, "The owner of the shop", "The lead", "Print this")
	s.As(t, s.Bob).Get("/help").Wants(t, http.StatusOK, "In the cooler", "Words we use")
	links := regexp.MustCompile(`<li>[^<]*<a href="(/[^"]*)">([^<]*)</a>`).FindAllStringSubmatch(page.Body, -1)
	if len(links) < 10 {
		t.Fatalf("only %d pages are named: %.200s", len(links), page.Body)
	}
	for _, l := range links {
		a := ann.Get(l[1])
		if a.Status != http.StatusOK {
			t.Errorf("the guide leads to %s, which answers %d", l[1], a.Status)
		}
		if heading := regexp.MustCompile(`(?s)<h1[^>]*>(.*?)</h1>`).FindString(a.Body); l[2] == "" || !strings.Contains(heading, l[2]) {
			t.Errorf("the guide calls %s %q, and its heading is %q", l[1], l[2], heading)
		}
	}
	for _, role := range []string{"counter", "cooler", "cutter", "lead"} {
		ann.Get("/help/"+role).Wants(t, http.StatusOK, "What must not happen", "Look, smell and probe")
	}
	ann.Get("/help/owner").Wants(t, http.StatusOK, "The owner&#39;s guide", "At the table", "battery-backed temperature alarm")
	ann.Get("/help/words").Wants(t, http.StatusOK, "Bone and hold", "Shop number")
	ann.Get("/help/king").Wants(t, http.StatusNotFound)
}
