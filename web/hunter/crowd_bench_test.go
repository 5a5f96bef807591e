package hunter_test

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/web/webtest"
)

// BenchmarkCrowd lets ten people at the counter take animals in, one after another with
// a tenth of a second between, alone and beside 500 owners' phones that each look every
// 15 s, in turn, three times each. It reports the 99th percentile of a drop-off beside
// the phones as a ratio to that of the same people alone; target (design.md): at most 2,
// and no error on either side.
func BenchmarkCrowd(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	s.Cold(b)
	s.HangMany(b, 200)
	c := crowd{b: b, site: s, pages: links(b, s.Shop), counter: s.As(b, s.Bob)}
	c.next.Store(6000) // above those that hang already
	const each = 6 * time.Second
	c.work(each/3, 500) // both sides warm
	var alone, beside []time.Duration
	for b.Loop() {
		for range 3 {
			alone = append(alone, c.work(each, 0)...)
			beside = append(beside, c.work(each, 500)...)
		}
	}
	b.ReportMetric(float64(p99(beside))/float64(p99(alone)), "beside/alone-p99")
	b.ReportMetric(float64(len(beside)), "dropoffs")
	b.ReportMetric(float64(c.looks.Load()), "looks")
}

type crowd struct {
	b           *testing.B
	site        *webtest.Site
	pages       []string
	counter     *webtest.Browser
	next, looks atomic.Int64
}

// work lets ten people work for a while beside so many phones, and says how long each
// drop-off took.
func (c *crowd) work(long time.Duration, phones int) (took []time.Duration) {
	ctx, stop := context.WithTimeout(c.b.Context(), long)
	defer stop()
	var all sync.WaitGroup
	var mu sync.Mutex
	for range 10 {
		all.Go(func() {
			for ctx.Err() == nil {
				form := c.form(int(c.next.Add(1)))
				began := time.Now()
				if a := c.counter.Post("/dropoff", form); a.Status != http.StatusSeeOther {
					c.b.Errorf("drop-off %s is answered %d", form.Get("number"), a.Status)
					return
				}
				mu.Lock()
				took = append(took, time.Since(began))
				mu.Unlock()
				rest(ctx, 100*time.Millisecond)
			}
		})
	}
	for i := range phones {
		all.Go(func() {
			phone := phoneAt(i)
			defer phone.CloseIdleConnections()
			for rest(ctx, time.Duration(i)*15*time.Second/time.Duration(phones)); ctx.Err() == nil; rest(ctx, 15*time.Second) {
				c.look(phone, c.pages[i%len(c.pages)])
			}
		})
	}
	all.Wait()
	return took
}

func (c *crowd) form(n int) url.Values {
	return url.Values{"number": {string(domain.NewShopNumber(26, n))}, "phone": {fmt.Sprintf("607-555-%04d", n)}, "name": {"Wendell Ostrander"},
		"tag": {fmt.Sprintf("NY-%07d", n)}, "state": {"NY"}, "species": {"whitetail"}, "shape": {"whole"}, "sex": {"male"}, "killed": {"today"}, "deep": {"52"}, "other": {"-"}, "place": {"none"}}
}

// phoneAt is a phone with an address of its own, as the limit on guessing wants it.
func phoneAt(i int) *http.Client {
	dial := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 1, byte(i/250), byte(i%250+1))}}
	return &http.Client{Transport: &http.Transport{DialContext: dial.DialContext}}
}

func (c *crowd) look(phone *http.Client, page string) {
	res, err := phone.Get(c.site.URL + page)
	if err != nil {
		c.b.Error(err)
		return
	}
	defer res.Body.Close()
	_, _ = io.Copy(io.Discard, res.Body)
	c.looks.Add(1)
	if res.StatusCode != http.StatusOK {
		c.b.Errorf("%s is answered %d", page, res.StatusCode)
	}
}

func rest(ctx context.Context, long time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(long):
	}
}

func p99(took []time.Duration) time.Duration {
	slices.Sort(took)
	return took[len(took)*99/100]
}
