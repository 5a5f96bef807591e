package dropoff_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/web/webtest"
)

// BenchmarkDropoff measures a drop-off from the request to the acknowledged
// commit against the same rows inserted by one bare pgx.Batch, both in this run
// and in turn. Target (design.md): at most 2 times. The test server keeps its
// files in memory with fsync off, so the commit itself costs next to nothing on
// either side: on a disk the ratio is smaller.
func BenchmarkDropoff(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	room := 0
	if err := s.Pool().QueryRow(b.Context(), `WITH r AS (SELECT id FROM rails WHERE name = 'R1'), p AS (
		INSERT INTO places (rail_id, position) SELECT r.id, n FROM r, generate_series(13, 400) AS n RETURNING 1) SELECT count(*) FROM p`).Scan(&room); err != nil {
		b.Fatal(err)
	}
	browser := s.As(b, s.Bob)
	var page, bare []time.Duration
	n := 0
	for b.Loop() {
		n++
		began := time.Now()
		a := browser.Post("/dropoff", url.Values{"number": {string(domain.NewShopNumber(26, n))}, "phone": {fmt.Sprintf("607-555-%04d", n)}, "name": {"Wendell Ostrander"},
			"tag": {fmt.Sprintf("NY-%07d", n)}, "state": {"NY"}, "species": {"whitetail"}, "shape": {"whole"}, "sex": {"male"}, "killed": {"today"}, "deep": {"52"}, "other": {"-"}, "place": {"next"}})
		if a.Status != http.StatusSeeOther {
			b.Fatalf("%d %.400s", a.Status, a.Body)
		}
		page = append(page, time.Since(began))
		began = time.Now()
		if err := s.InsertBare(b.Context(), 5000+n, s.Now()); err != nil {
			b.Fatal(err)
		}
		bare = append(bare, time.Since(began))
		if n == 180 { // the rail is full
			break
		}
	}
	slices.Sort(page)
	slices.Sort(bare)
	b.ReportMetric(float64(page[len(page)/2])/float64(bare[len(bare)/2]), "page/batch")
	b.ReportMetric(float64(page[len(page)/2].Microseconds()), "µs/page")
}
