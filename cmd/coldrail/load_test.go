package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/hunter"

	"github.com/google/uuid"
)

// How long the crowd works: a minute by `make load`.
var loadTime = flag.Duration("load", 3*time.Second, "how long TestLoad lets people work")

const (
	staffAtWork = 10
	phones      = 500
	phonePace   = 15 * time.Second // between two looks of one phone (design.md)
)

// Ten people work, first alone, then beside 500 phones. Nothing may fail. What is
// printed are medians and 99th percentiles, as ratios to the bare queries in the
// same run on the same disk.
func TestLoad(t *testing.T) {
	l := openLoad(t)
	alone, both := newTally(), newTally()
	l.work(t, *loadTime/3, alone, 0)
	l.work(t, *loadTime-*loadTime/3, both, phones)
	bareDrop, bareLink := l.bare(t)
	for _, row := range []struct {
		what string
		took []time.Duration
		bare time.Duration
	}{{"drop-off, staff alone", alone.took["drop-off"], bareDrop}, {"drop-off, beside 500 phones", both.took["drop-off"], bareDrop},
		{"rail, beside 500 phones", both.took["/rail"], 0}, {"today, beside 500 phones", both.took["/"], 0}, {"hunter's page", both.took["phone"], bareLink}} {
		t.Log(outcome(row.what, row.took, row.bare))
	}
	t.Logf("bare drop-off %s, bare hunter's query %s", bareDrop, bareLink)
	for _, wrong := range append(alone.wrong, both.wrong...) {
		t.Error(wrong)
	}
	if len(both.took["drop-off"]) < staffAtWork || len(both.took["phone"]) < phones/20 {
		t.Errorf("only %d drop-offs and %d looks by phone: this proves nothing", len(both.took["drop-off"]), len(both.took["phone"]))
	}
}

// outcome is one line of the outcome.
func outcome(what string, took []time.Duration, bare time.Duration) string {
	if len(took) == 0 {
		return what + ": none"
	}
	slices.Sort(took)
	median, p99 := took[len(took)/2], took[len(took)*99/100]
	line := fmt.Sprintf("%-28s %6d times, median %s, p99 %s", what, len(took), median.Round(10*time.Microsecond), p99.Round(10*time.Microsecond))
	if bare > 0 {
		line += fmt.Sprintf("; %.1f and %.1f times the bare one", float64(median)/float64(bare), float64(p99)/float64(bare))
	}
	return line
}

// load is the shop under load.
type load struct {
	s       *trouble // the program and its shop; nothing is broken here
	shop    *dbtest.Shop
	devices []*http.Client
	links   []string
	first   []uuid.UUID // the animals behind the links
	next    func() int
}

func openLoad(t *testing.T) *load {
	t.Helper()
	s := &trouble{binary: build(t), data: filepath.Join(t.TempDir(), "data"), address: freeAddress(t)}
	s.start(t)
	s.program.ready(t)
	s.url = ownersURL(s.data)
	d, err := db.Open(t.Context(), s.url)
	must(t, err)
	t.Cleanup(d.Close)
	var n int
	var mu sync.Mutex
	l := &load{s: s, shop: dbtest.Furnish(t, d), next: func() int { mu.Lock(); defer mu.Unlock(); n++; return n }}
	for range staffAtWork { // as many as may enrol in a minute
		l.devices = append(l.devices, s.signIn(t))
	}
	l.fill(t)
	return l
}

// fill takes in a hundred animals, whose owners will look, and reads their links.
func (l *load) fill(t *testing.T) {
	t.Helper()
	for range 100 {
		if _, err := l.dropOff(t.Context(), l.devices[0]); err != nil {
			t.Fatal(err)
		}
	}
	secret, err := l.shop.Secret(t.Context(), "hunter links")
	must(t, err)
	rows, err := l.shop.Pool().Query(t.Context(), `SELECT id FROM animals ORDER BY number`)
	must(t, err)
	defer rows.Close()
	for rows.Next() {
		var id uuid.UUID
		must(t, rows.Scan(&id))
		l.first = append(l.first, id)
		l.links = append(l.links, hunter.Link("http://"+l.s.address, secret, id, 1))
	}
	must(t, rows.Err())
}

// tally is how long things took, and what went wrong.
type tally struct {
	mu    sync.Mutex
	took  map[string][]time.Duration
	wrong []string
}

func newTally() *tally { return &tally{took: map[string][]time.Duration{}} }

func (c *tally) note(ctx context.Context, what string, took time.Duration, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case err == nil:
		c.took[what] = append(c.took[what], took)
	case ctx.Err() == nil && len(c.wrong) < 20:
		c.wrong = append(c.wrong, what+": "+err.Error())
	}
}

// work lets everybody at it for a while.
func (l *load) work(t *testing.T, long time.Duration, c *tally, crowd int) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), long)
	defer cancel()
	var all sync.WaitGroup
	for i, device := range l.devices {
		all.Go(func() { l.person(ctx, i, device, c) })
	}
	for i := range crowd {
		all.Go(func() { l.phone(ctx, i, c) })
	}
	all.Wait()
}

// person takes an animal in and looks at the boards, a few things a second.
func (l *load) person(ctx context.Context, i int, device *http.Client, c *tally) {
	pause(ctx, time.Duration(i)*100*time.Millisecond)
	for ctx.Err() == nil {
		took, err := l.dropOff(ctx, device)
		c.note(ctx, "drop-off", took, err)
		for _, page := range []string{"/rail", "/"} {
			pause(ctx, 300*time.Millisecond)
			took, err := look(ctx, device, "http://"+l.s.address+page)
			c.note(ctx, page, took, err)
		}
		pause(ctx, 400*time.Millisecond)
	}
}

// phone looks at its link again and again, from an address of its own in this
// machine, as the site counts how often each asks.
func (l *load) phone(ctx context.Context, i int, c *tally) {
	from := &net.TCPAddr{IP: net.IPv4(127, 1, byte(i/250), byte(1+i%250))}
	device := &http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{DialContext: (&net.Dialer{LocalAddr: from}).DialContext}}
	defer device.CloseIdleConnections()
	for pause(ctx, time.Duration(i)*phonePace/phones); ctx.Err() == nil; pause(ctx, phonePace) {
		took, err := look(ctx, device, l.links[i%len(l.links)])
		c.note(ctx, "phone", took, err)
	}
}

func pause(ctx context.Context, long time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(long):
	}
}

// look asks for a page, to its last byte.
func look(ctx context.Context, device *http.Client, address string) (time.Duration, error) {
	began := time.Now()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return 0, err
	}
	answer, err := device.Do(r)
	if err != nil {
		return 0, err
	}
	defer answer.Body.Close()
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		return 0, err
	}
	if answer.StatusCode != http.StatusOK {
		return 0, fmt.Errorf("it answers %d", answer.StatusCode)
	}
	return time.Since(began), nil
}

func (l *load) dropOff(ctx context.Context, device *http.Client) (time.Duration, error) {
	n := l.next()
	number := string(domain.NewShopNumber(26, n))
	began := time.Now()
	status, body := l.s.post(ctx, device, "/dropoff", url.Values{"act": {uuid.NewString()}, "number": {number}, "phone": {fmt.Sprintf("607-555-%04d", n)}, "name": {"Dell Hargrove"},
		"tag": {"T-" + number}, "state": {"NY"}, "species": {"whitetail"}, "other": {"-"}, "shape": {"whole"}, "sex": {"male"}, "killed": {"yesterday"}, "deep": {"52"},
		"place": {"none"}, "tag_kind": {"carcass-tag"}})
	if status != http.StatusSeeOther {
		return 0, fmt.Errorf("it answers %d: %.300s", status, strings.TrimSpace(body))
	}
	return time.Since(began), nil
}

// bare is the median of the same rows inserted in one batch, and of one look-up
// of an animal by its key: no rule, no page.
func (l *load) bare(t *testing.T) (drop, link time.Duration) {
	t.Helper()
	var drops, links []time.Duration
	for n := range 20 {
		began := time.Now()
		must(t, l.shop.InsertBare(t.Context(), 9000+n, began))
		drops = append(drops, time.Since(began))
	}
	for n := range 200 {
		began := time.Now()
		var number string
		must(t, l.shop.Pool().QueryRow(t.Context(), `SELECT number FROM animals WHERE id = $1`, l.first[n%len(l.first)]).Scan(&number))
		links = append(links, time.Since(began))
	}
	slices.Sort(drops)
	slices.Sort(links)
	return drops[len(drops)/2], links[len(links)/2]
}
