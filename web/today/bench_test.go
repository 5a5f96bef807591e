package today_test

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

// BenchmarkToday asks for the first page of a shop on opening weekend: 60 animals on
// the rail, 300 that came in and wait, and one more dropped off before each look, so
// that nothing remembered is still true. It reports the median of the page.
func BenchmarkToday(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	s.Cold(b)
	s.HangMany(b, 60)
	counter := s.As(b, s.Bob)
	n := 6000 // above those that hang already
	arrive := func() {
		n++
		form := url.Values{"number": {string(domain.NewShopNumber(26, n))}, "phone": {fmt.Sprintf("607-555-%04d", n)}, "name": {"Wendell Ostrander"},
			"tag": {fmt.Sprintf("NY-%07d", n)}, "state": {"NY"}, "species": {"whitetail"}, "shape": {"whole"}, "sex": {"male"}, "killed": {"today"},
			"deep": {"52"}, "other": {"-"}, "place": {"none"}}
		if a := counter.Post("/dropoff", form); a.Status != http.StatusSeeOther {
			b.Fatalf("drop-off is answered %d: %.300s", a.Status, a.Body)
		}
	}
	for range 300 {
		arrive()
	}
	var took []time.Duration
	for b.Loop() {
		for range 50 {
			arrive()
			began := time.Now()
			counter.Get("/").Wants(b, http.StatusOK, "Came in today")
			took = append(took, time.Since(began))
		}
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms/median-page")
	b.ReportMetric(float64(took[0].Microseconds())/1000, "ms/fastest-page")
}
