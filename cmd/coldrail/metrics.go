package main

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"time"

	"coldrail/db"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// measures are what Prometheus reads at COLDRAIL_METRICS_ADDR, an address of this
// machine alone. They name routes, never addresses: a hunter's link is a secret.
type measures struct {
	registry *prometheus.Registry
	requests *prometheus.HistogramVec
}

func newMeasures(d *db.DB) *measures {
	m := &measures{registry: prometheus.NewRegistry(), requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "coldrail_request_seconds", Help: "Time to answer a request, by route, method and status.",
		Buckets: []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 10},
	}, []string{"route", "method", "status"})}
	pool := d.Pool()
	gauge := func(name, help string, value func() float64) prometheus.Collector {
		return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, value)
	}
	m.registry.MustRegister(m.requests, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}),
		gauge("coldrail_db_connections_busy", "Connections to the database in use.", func() float64 { return float64(pool.Stat().AcquiredConns()) }),
		gauge("coldrail_db_connections_most", "Connections to the database there may be.", func() float64 { return float64(pool.Stat().MaxConns()) }),
		gauge("coldrail_db_waits_total", "Requests that had to wait for a connection.", func() float64 { return float64(pool.Stat().EmptyAcquireCount()) }),
		gauge("coldrail_last_good_backup_timestamp_seconds", "When the last good nightly backup ended; 0: none, -1: the database does not say.", func() float64 {
			return lastBackup(d)
		}),
		gauge("coldrail_register_lines_whole", "Lines of the register found whole by the last nightly walk; 0: never walked, -1: a line is not as it was written, -2: the database does not say.", func() float64 {
			return lastWalk(d)
		}))
	return m
}

// lastBackup is asked as Prometheus reads.
func lastBackup(d *db.DB) float64 {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	b, err := d.BackupsSoFar(ctx)
	switch {
	case err != nil:
		return -1
	case b.Good.IsZero():
		return 0
	}
	return float64(b.Good.Unix())
}

// lastWalk is asked as Prometheus reads.
func lastWalk(d *db.DB) float64 {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	c, _, err := d.LastRegisterCheck(ctx)
	switch {
	case err != nil:
		return -2
	case c.Wrong != "":
		return -1
	}
	return float64(c.Lines)
}

// count takes in one answered request.
func (m *measures) count(route, method string, status int, took time.Duration) {
	m.requests.WithLabelValues(route, method, strconv.Itoa(status)).Observe(took.Seconds())
}

// serve answers /metrics at addr until the returned function is called; nothing
// where addr is empty.
func (m *measures) serve(addr string, log *slog.Logger) (stop func(context.Context) error, err error) {
	if addr == "" {
		return func(context.Context) error { return nil }, nil
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, fmt.Errorf("cannot listen for Prometheus on %s: %w", addr, err)
	}
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 2, Timeout: 10 * time.Second}))
	server := newServer(mux, log)
	go func() {
		if err := server.Serve(l); err != nil && err != http.ErrServerClosed {
			log.Error("Prometheus cannot be answered any more", "err", err)
		}
	}()
	return server.Shutdown, nil
}

// ownAddress says whether an address is this machine's alone.
func ownAddress(addr string) bool {
	host, _, err := net.SplitHostPort(addr)
	ip := net.ParseIP(host)
	return err == nil && (host == "localhost" || ip != nil && ip.IsLoopback())
}
