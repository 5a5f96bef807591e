package browser

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/web/webtest"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/go-chi/chi/v5"
)

// everyLook has every page looked at in every size and light, and with text twice
// as large; without it the main pages are looked at once, by turns of size and light.
// The same is done where nothing hangs, where 3 and where 500 animals hang (board_test.go)
// and where every name is long (long_names_test.go).
var everyLook = flag.Bool("looks", false, "check every page in every size, by day, in the dark and with large text, and keep the pictures")

// notLinked are the addresses no link of the demo season leads to, or that are no
// pages; whoever adds a page either links it or says here why not.
var notLinked = map[string]string{
	"/healthz": "no page", "/readyz": "no page", "/live": "a stream", "/sw.js": "a script", "/manifest.webmanifest": "no page",
	"/trust/coldrail.crt": "a file", "/office/register.csv": "a file", "/photos/{id}": "a picture",
	"/static": "files", "/animals/{number}/boxes/{n}/label": "paper, in TestLifeOfOneDeer", "/coolers/incidents/{id}": "no incident in the season",
	"/coolers/incidents/{id}/report": "no incident in the season", "/animals/{number}/reached": "no positive test in the season",
	"/animals/{number}/pieces/{mark}": "no piece in the season", "/office/prices/new/{code}": "no list begun in the season", "/office/prices/new": "no list begun in the season",
	"/close/{day}": "no day closed in the season", "/close/{day}/sheet": "no day closed in the season", "/cutting/{number}/scale": "a part of a page",
	"/pickup/{number}/report":   "no letter sent in the season",
	"/pickup/{number}/donation": "nothing unclaimed in the season", "/pickup/{number}/letters": "nothing unclaimed in the season", "/pickup/{number}/letters/{id}": "nothing unclaimed in the season",
	"/enrol": "before signing in", "/setup": "an empty shop", "/setup/open": "an empty shop", "/setup/prices": "an empty shop",
	"/without": "without a network",
}

// forEveryone: the main pages, and with -looks every page of the demo season that a
// link leads to, pass axe-core: names for what is pressed, order, contrast by day and
// in the dark (WCAG 2.2 AA as far as a program can see it). Nothing is wider than its
// screen.
func (s *screen) forEveryone(t *testing.T, site *webtest.Site, d *db.DB, now time.Time) {
	pages := s.everyPage(site, "season", "/", "/find?q=0103", privateLink(t, d, now), "/s", "/dropoff", "/rail", "/round", "/cutting", "/pickup", "/batches", "/bookings", "/office",
		"/coolers", "/animals/26-0103-5/slip", "/animals/26-0103-5/money", "/help", "/help/owner", "/office/tax",
		"/office/register/print?from=2026-11-01&until=2026-11-25")
	if missing := unlinked(site, pages); *everyLook && len(missing) > 0 {
		t.Errorf("no link leads to %s", strings.Join(missing, ", "))
	}
}

// oneLook is a size, a light and how large the text is, in percent.
type oneLook struct {
	size, light string
	text        int64
}

func (l oneLook) String() string { return fmt.Sprintf("%s-%s-%d", l.size, l.light, l.text) }

var looks = []oneLook{{tablet, "light", 100}, {phone, "dark", 100}, {desktop, "light", 100}, {phone, "light", 100}, {tablet, "dark", 100}, {desktop, "dark", 100},
	{tablet, "light", 200}}

// everyPage looks at the pages it is given and at every page a link leads to from
// there, one for each route, and returns them.
func (s *screen) everyPage(site *webtest.Site, name string, queue ...string) (pages []string) {
	s.t.Helper()
	source, err := os.ReadFile(filepath.Join("..", "..", "testdata", "axe", "axe-4.10.3.min.js"))
	must(s.t, err)
	seen := map[string]bool{"/": true}
	for _, path := range queue {
		seen[routeOf(site, strings.Split(path, "?")[0])] = true
	}
	for len(queue) > 0 {
		path := queue[0]
		queue, pages = queue[1:], append(pages, path)
		s.goTo(path)
		if status := ask[int](s, `performance.getEntriesByType("navigation")[0].responseStatus`); status != 200 {
			s.t.Errorf("%s answers %d", path, status)
		}
		for _, link := range ask[[]string](s, `[...document.querySelectorAll("a[href]")].map(a => new URL(a.href)).filter(u => u.origin === location.origin).map(u => u.pathname + u.search)`) {
			plain, _, _ := strings.Cut(link, "?")
			if route := routeOf(site, plain); *everyLook && route != "" && !seen[route] && notLinked[route] == "" {
				seen[route] = true
				queue = append(queue, link)
			}
		}
		ask[bool](s, string(source)+"; true")
		for i, l := range looks {
			if *everyLook || i == len(pages)%len(looks) {
				s.t.Logf("%s, %s", path, l)
				s.lookAt(l, name+"-"+strings.Trim(strings.NewReplacer("/", "-", "?", "-").Replace(path), "-"))
			}
		}
	}
	return pages
}

// at stops the clock of the pages opened from now on, as the site's stands still too, so
// that none of them says that the tablet's clock is wrong.
func (s *screen) at(now time.Time) {
	s.t.Helper()
	call(s, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: fmt.Sprintf(`((now, real) => {
		window.Date = class extends real { constructor(...when) { super(...(when.length ? when : [now])); } static now() { return now; } };
	})(%d, Date)`, now.UnixMilli())})
}

// lookAt shows the open page in one size and light and fails on what is wrong with it.
func (s *screen) lookAt(l oneLook, name string) {
	s.t.Helper()
	s.do(chromedp.EmulateViewport(sizes[l.size][0], sizes[l.size][1]))
	call(s, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: l.light}}})
	s.letters(l.text)
	s.fits(l.size)
	s.onPaper()
	s.axe(l.String())
	if *everyLook {
		// A picture of the whole page is drawn with letters of usual size, one of the
		// screen is not; so the screen is made as high as the page.
		s.do(chromedp.EmulateViewport(sizes[l.size][0], min(ask[int64](s, "document.documentElement.scrollHeight"), 12000)))
		s.letters(l.text)
		png, err := chromedp.Call(s.ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{})
		must(s.t, err)
		keep(s.t, name+"-"+l.String()+".png", png.Data)
	}
}

// letters has the browser's own setting for the size of text at so many percent.
func (s *screen) letters(percent int64) {
	s.t.Helper()
	call(s, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: 16 * percent / 100}})
}

func routeOf(site *webtest.Site, path string) string {
	found := chi.NewRouteContext()
	if !site.Routes().Match(found, "GET", path) {
		return ""
	}
	return found.RoutePattern()
}

// unlinked are the routes that everyPage did not come by.
func unlinked(site *webtest.Site, pages []string) (missing []string) {
	seen := map[string]bool{}
	for _, p := range pages {
		plain, _, _ := strings.Cut(p, "?")
		seen[routeOf(site, plain)] = true
	}
	var walk func(prefix string, r chi.Routes)
	walk = func(prefix string, r chi.Routes) {
		for _, route := range r.Routes() {
			full := strings.TrimSuffix(prefix+strings.TrimSuffix(route.Pattern, "/*"), "/")
			if route.SubRoutes != nil {
				walk(full, route.SubRoutes)
				continue
			}
			if _, get := route.Handlers["GET"]; get && full != "" && !seen[full] && notLinked[full] == "" {
				missing = append(missing, full)
			}
		}
	}
	walk("", site.Routes())
	slices.Sort(missing)
	return missing
}

// axe fails on every violation that axe-core finds on the page as it stands.
func (s *screen) axe(where string) {
	s.t.Helper()
	ctx, stop := context.WithTimeout(s.ctx, 2*time.Minute) // five hundred tags take it half a minute on a busy machine
	defer stop()
	found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](`axe.run({resultTypes: ["violations"], preload: false}).then(r => r.violations.map(v =>
		v.id + ": " + v.help + " (" + v.nodes.length + ") " + v.nodes.slice(0, 2).map(n => n.html.slice(0, 160) + " " + n.any.concat(n.all).map(c => c.message).slice(0, 1)).join(" | ")))`, chromedp.EvalAwaitPromise))
	must(s.t, err)
	for _, v := range found {
		s.t.Errorf("%s (%s): %s", ask[string](s, "location.pathname"), where, v)
	}
}
