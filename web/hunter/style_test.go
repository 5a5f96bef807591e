package hunter_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain/round"
	"coldrail/static"
	"coldrail/web/webtest"
)

// Every rule of the stylesheet that could touch something on an owner's page stands in
// the style inside it: on the page of an animal, the look-up, and the answer to a wrong
// link. And the content policy lets that style stand, and no other.
func TestOwnersPagesBringTheirStyle(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	set(t, s, `UPDATE animals SET disease = 'pending', promised_on = '2026-12-04', revision = revision + 1 WHERE number = $1`, n)
	look(t, s, n, dbtest.Noon.Add(-time.Hour), round.Look{Smell: round.SmellClean, Surface: round.SurfaceDry, Mould: []round.Mould{{Site: round.SiteRibs, Length: 3, Colour: round.White}}})
	home := s.Nobody(t)
	wrong := home.Post("/s", url.Values{"number": {string(n)}, "last_four": {"9999"}})
	seen := 0
	for name, a := range map[string]webtest.Answer{"animal": home.Get(path(t, s, n)), "look-up": home.Get("/s"), "wrong digits": wrong, "wrong link": home.Get("/s/none")} {
		if !strings.Contains(a.Header.Get("Content-Security-Policy"), "style-src 'self' "+static.OwnersStyleHash+" ") {
			t.Errorf("%s: %d, the policy says %q", name, a.Status, a.Header.Get("Content-Security-Policy"))
		}
		seen += wantsStyled(t, name, a.Body)
	}
	if seen < 150 {
		t.Errorf("%d rules touched the pages: this test saw nothing", seen)
	}
	if rail := s.As(t, s.Bob).Get("/rail"); rail.Status != http.StatusOK || strings.Contains(rail.Body, "<style") {
		t.Errorf("the rail: %d, or it carries a style of its own", rail.Status)
	}
}

var (
	inside   = regexp.MustCompile(`(?s)<style>(.*)</style>`)
	sheet    = regexp.MustCompile(`(?s)/\*.*?\*/`)
	rule     = regexp.MustCompile(`([^{}]+)\{([^{}]*)\}`)
	classes  = regexp.MustCompile(`class="([^"]*)"`)
	tags     = regexp.MustCompile(`<([a-z][a-z0-9]*)`)
	negated  = regexp.MustCompile(`:not\([^()]*(\([^()]*\))?[^()]*\)`)
	notTag   = regexp.MustCompile(`\[[^\]]*\]|::?[a-z-]+`)
	selected = regexp.MustCompile(`\.?[a-zA-Z_][\w-]*`)
)

// wantsStyled compares the page's own style with the whole stylesheet, and says how
// many rules could touch the page: those whose classes and elements all stand on it.
func wantsStyled(t *testing.T, name, page string) (touching int) {
	t.Helper()
	own := inside.FindStringSubmatch(page)
	if own == nil || own[1] != static.OwnersStyle {
		t.Fatalf("%s: no style, or another than the policy allows", name)
	}
	whole, err := static.Read("css/coldrail.css")
	if err != nil {
		t.Fatal(err)
	}
	onPage := map[string]bool{"html": true}
	for _, m := range classes.FindAllStringSubmatch(page, -1) {
		for _, class := range strings.Fields(m[1]) {
			onPage["."+class] = true
		}
	}
	for _, m := range tags.FindAllStringSubmatch(page, -1) {
		onPage[m[1]] = true
	}
	has := rulesOf(own[1])
	for said := range rulesOf(sheet.ReplaceAllString(string(whole), "")) {
		if !touches(said, onPage) {
			continue
		}
		touching++
		if !has[said] {
			t.Errorf("%s: lacks %s", name, said)
		}
	}
	return touching
}

// rulesOf are the rules of a stylesheet, each in one line.
func rulesOf(css string) map[string]bool {
	rules := map[string]bool{}
	for _, m := range rule.FindAllStringSubmatch(css, -1) {
		rules[strings.Join(strings.Fields(m[0]), " ")] = true
	}
	return rules
}

// touches tells whether one of a rule's selectors names only what stands on the page.
func touches(said string, onPage map[string]bool) bool {
	selectors, _, _ := strings.Cut(said, "{")
	for _, one := range strings.Split(notTag.ReplaceAllString(negated.ReplaceAllString(selectors, ""), ""), ",") {
		all := true
		for _, part := range selected.FindAllString(one, -1) {
			all = all && onPage[part]
		}
		if all {
			return true
		}
	}
	return false
}
