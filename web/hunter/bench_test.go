package hunter_test

import (
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web"
	"coldrail/web/hunter"
)

// BenchmarkHunterPage asks for owners' pages and for the same router's /healthz
// in turn, eight phones at a time over real connections, and reports their
// throughput as a ratio; the target is at least 0.4 (design.md). 200 animals on
// the rail, asked for one after another, pages packed as for a phone. Thirty
// requests come from each address, so that the limit on guessing is paid for
// but not met.
func BenchmarkHunterPage(b *testing.B) {
	s := dbtest.OpenShop(b)
	s.Past(b)
	s.Cold(b)
	s.HangMany(b, 200)
	handler, err := web.New(b.Context(), web.Config{DB: s.DB, Now: func() time.Time { return dbtest.Noon }, Log: slog.New(slog.DiscardHandler), PublicURL: "http://coldrail.example"})
	if err != nil {
		b.Fatal(err)
	}
	var caller atomic.Uint32
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		n := caller.Add(1) / 30
		r.RemoteAddr = fmt.Sprintf("10.%d.%d.%d:1234", n>>16&255, n>>8&255, n&255)
		handler.ServeHTTP(w, r)
	}))
	b.Cleanup(server.Close)
	pages := links(b, s)
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 8, DisableCompression: true}}
	ask(b, client, server.URL, pages, 400) // both sides warm
	ask(b, client, server.URL, []string{"/healthz"}, 400)

	const rounds, each = 5, 1000
	var ratios []float64
	for b.Loop() {
		for range rounds {
			page := ask(b, client, server.URL, pages, each)
			health := ask(b, client, server.URL, []string{"/healthz"}, each)
			ratios = append(ratios, health.Seconds()/page.Seconds())
		}
	}
	slices.Sort(ratios)
	b.ReportMetric(ratios[len(ratios)/2], "page/healthz")
}

// links are the owners' links of every animal in the shop.
func links(b *testing.B, s *dbtest.Shop) []string {
	secret, err := s.Secret(b.Context(), "hunter links")
	if err != nil {
		b.Fatal(err)
	}
	hung, err := s.Hanging(b.Context(), dbtest.Noon)
	if err != nil {
		b.Fatal(err)
	}
	paths := make([]string, len(hung))
	for i, h := range hung {
		paths[i] = hunter.Link("", secret, h.ID, 1)
	}
	return paths
}

// ask sends so many requests, eight at a time, and says how long they took.
func ask(b *testing.B, client *http.Client, base string, paths []string, times int) time.Duration {
	began := time.Now()
	var next atomic.Int64
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for i := next.Add(1); i <= int64(times); i = next.Add(1) {
				req, err := http.NewRequestWithContext(b.Context(), http.MethodGet, base+paths[int(i)%len(paths)], nil)
				if err != nil {
					b.Error(err)
					return
				}
				req.Header.Set("Accept-Encoding", "gzip")
				res, err := client.Do(req)
				if err != nil {
					b.Error(err)
					return
				}
				_, _ = io.Copy(io.Discard, res.Body)
				res.Body.Close()
				if res.StatusCode != http.StatusOK {
					b.Errorf("%s: %d", paths[int(i)%len(paths)], res.StatusCode)
					return
				}
			}
		})
	}
	wg.Wait()
	return time.Since(began)
}
