package rail_test

import (
	"context"
	"errors"
	"io"
	"net/http"
	"slices"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/web/webtest"

	"github.com/jackc/pgx/v5"
	"golang.org/x/sync/errgroup"
)

// BenchmarkBoard measures the rail with 500 hanging animals, readiness included,
// against its own SQL alone with the rows collected through pgx, both in this
// run and in turn, on one connection. Targets (design.md): page at most 1.6
// times the SQL; unchanged page, a 304, at most 0.1 of the full page. Most pages
// are drawn though nothing was done on the rail since the last; the first after an
// act reads the rail anew and is told by itself, and the 304 is held against it.
func BenchmarkBoard(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	s.HangMany(b, 500)
	browser := s.As(b, s.Ann)
	ctx := b.Context()
	conn, err := s.Pool().Acquire(ctx)
	if err != nil {
		b.Fatal(err)
	}
	defer conn.Release()
	bare := func() {
		rows, err := conn.Query(ctx, db.HangingSQL)
		if err != nil {
			b.Fatal(err)
		}
		if list, err := pgx.CollectRows(rows, pgx.RowToStructByName[db.Hung]); err != nil || len(list) != 500 {
			b.Fatal(len(list), err)
		}
	}
	page := func(etag string, want int) string {
		res := browser.Ask(http.MethodGet, "/rail", map[string]string{"If-None-Match": etag, "Accept-Encoding": "gzip"})
		defer res.Body.Close()
		if _, err := io.Copy(io.Discard, res.Body); err != nil || res.StatusCode != want {
			b.Fatal(res.StatusCode, err)
		}
		return res.Header.Get("ETag")
	}
	etag := page("", http.StatusOK) // fills the memory, as any page of the minute before did
	act := func() {
		if _, err := s.Pool().Exec(ctx, `UPDATE animals SET revision = revision + 1 WHERE id = (SELECT animal_id FROM occupancies WHERE until IS NULL LIMIT 1)`); err != nil {
			b.Fatal(err)
		}
	}
	var sql, full, unchanged, afterAct []time.Duration
	for b.Loop() {
		sql = append(sql, took(bare))
		full = append(full, took(func() { page("", http.StatusOK) }))
		unchanged = append(unchanged, took(func() { page(etag, http.StatusNotModified) }))
		act()
		afterAct = append(afterAct, took(func() { etag = page("", http.StatusOK) }))
	}
	b.ReportMetric(float64(median(full))/float64(median(sql)), "page/sql")
	b.ReportMetric(float64(median(afterAct))/float64(median(sql)), "after-act/sql")
	b.ReportMetric(float64(median(unchanged))/float64(median(afterAct)), "unchanged/after-act")
	b.ReportMetric(float64(median(full).Microseconds()), "µs/page")
	b.ReportMetric(float64(median(sql).Microseconds()), "µs/sql")
}

// BenchmarkBoardForEight measures the same with eight tablets that ask at once, each
// page whole, against eight connections that only run the query and collect its rows.
// Targets (design.md): at least 0.6 of the throughput; the slowest page in a hundred
// takes at most three times the median. Nothing is done on the rail meanwhile.
func BenchmarkBoardForEight(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	s.HangMany(b, 500)
	ctx := b.Context()
	const tablets, each = 8, 25
	var browsers [tablets]*webtest.Browser
	var conns [tablets]*pgx.Conn
	for i := range tablets {
		browsers[i] = s.As(b, s.Ann)
		conn, err := pgx.ConnectConfig(ctx, s.Pool().Config().ConnConfig)
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { _ = conn.Close(context.WithoutCancel(ctx)) })
		conns[i] = conn
	}
	page := func(i int) error {
		res := browsers[i].Ask(http.MethodGet, "/rail", map[string]string{"Accept-Encoding": "gzip"})
		_, err := io.Copy(io.Discard, res.Body)
		return errors.Join(err, res.Body.Close())
	}
	bare := func(i int) error {
		rows, err := conns[i].Query(ctx, db.HangingSQL)
		if err != nil {
			return err
		}
		_, err = pgx.CollectRows(rows, pgx.RowToStructByName[db.Hung])
		return err
	}
	atOnce := func(do func(int) error) (all time.Duration, one []time.Duration) {
		times := make([][]time.Duration, tablets)
		all = took(func() {
			var asking errgroup.Group
			for i := range tablets {
				asking.Go(func() (err error) {
					for range each {
						times[i] = append(times[i], took(func() { err = errors.Join(err, do(i)) }))
					}
					return err
				})
			}
			if err := asking.Wait(); err != nil {
				b.Fatal(err)
			}
		})
		return all, slices.Concat(times...)
	}
	atOnce(page) // fills the memory, as any page of the minute before did
	var pages, queries time.Duration
	var one []time.Duration
	for b.Loop() {
		took, times := atOnce(page)
		pages, one = pages+took, append(one, times...)
		took, _ = atOnce(bare)
		queries += took
	}
	slices.Sort(one)
	b.ReportMetric(float64(queries)/float64(pages), "throughput/sql")
	b.ReportMetric(float64(one[len(one)*99/100])/float64(one[len(one)/2]), "p99/median")
}

func took(do func()) time.Duration {
	began := time.Now()
	do()
	return time.Since(began)
}

func median(d []time.Duration) time.Duration {
	d = slices.Clone(d)
	slices.Sort(d)
	return d[len(d)/2]
}
