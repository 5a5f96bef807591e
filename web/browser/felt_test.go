package browser

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/db/demo"
	"coldrail/web/hunter"
	"coldrail/web/webtest"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// BenchmarkFirstWords measures how long a slow phone shows nothing: the hunter's
// page and the rail board against an empty page of the same server (/healthz, one
// word), as ratios of the first contentful paint; the targets are 2 and 3. Each
// round opens all of them one after the other. A hunter comes with nothing kept from
// before; the rail is opened that way too, and as the shop meets it, with the stylesheet
// and the script that signing in left on the device and a new page each time.
func BenchmarkFirstWords(b *testing.B) {
	now := time.Date(2026, 11, 25, 15, 30, 0, 0, time.UTC)
	d := dbtest.Open(b)
	must(b, demo.Load(b.Context(), d, now))
	site := webtest.Serve(b, d, now)
	s := open(b, site.URL, phone)
	s.signIn(demo.OwnerInitials, demo.OwnerPassword, "June Halvorsen")
	private := privateLink(b, d, now)
	s.slow()
	var empty, owner, rail, bare []float64
	for b.Loop() {
		for range 5 {
			s.keeps(false)
			call(s, network.DeleteCookies, network.DeleteCookiesParams{Name: "style", URL: site.URL})
			empty = append(empty, s.firstWords("/healthz"))
			owner = append(owner, s.firstWords(private))
			bare = append(bare, s.firstWords("/rail"))
			s.keeps(true)
			s.goTo("/help")
			rail = append(rail, s.firstWords(fmt.Sprintf("/rail?round=%d", len(rail))))
		}
	}
	b.ReportMetric(median(empty), "ms-empty")
	b.ReportMetric(median(owner)/median(empty), "hunter/empty")
	b.ReportMetric(median(rail)/median(empty), "rail/empty")
	b.ReportMetric(median(bare)/median(empty), "rail-nothing-kept/empty")
}

// keeps turns on or off what the browser keeps from before.
func (s *screen) keeps(files bool) {
	s.t.Helper()
	call(s, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: !files})
}

// slow makes the device a cheap phone far from a mast: 150 ms to an answer, 1.6
// Mbit/s down and 0.75 up, a processor four times slower than this one. These are
// the figures of Chrome's own "Slow 4G" and "4x slowdown" (from memory).
func (s *screen) slow() {
	s.t.Helper()
	everything := []*network.Conditions{{Latency: 150, DownloadThroughput: 1.6e6 / 8, UploadThroughput: 0.75e6 / 8}}
	call(s, network.Enable, network.EnableParams{})
	call(s, network.SetBypassServiceWorker, network.SetBypassServiceWorkerParams{Bypass: true})
	call(s, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: everything})
	call(s, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4})
}

// firstWords is how long after the request the first words stood on the screen, in
// milliseconds: the first contentful paint (W3C Paint Timing).
func (s *screen) firstWords(path string) float64 {
	s.t.Helper()
	const painted = `(performance.getEntriesByName("first-contentful-paint")[0]?.startTime || 0)`
	s.do(chromedp.Navigate("about:blank"))
	s.goTo(path)
	s.wait(painted)
	return ask[float64](s, painted)
}

// privateLink is an owner's link to an animal on the rail.
func privateLink(t testing.TB, d *db.DB, now time.Time) string {
	t.Helper()
	secret, err := d.Secret(t.Context(), "hunter links")
	must(t, err)
	hung, err := d.Hanging(t.Context(), now)
	must(t, err)
	return hunter.Link("", secret, hung[0].ID, 1)
}

func median(of []float64) float64 {
	sorted := slices.Sorted(slices.Values(of))
	return sorted[len(sorted)/2]
}
