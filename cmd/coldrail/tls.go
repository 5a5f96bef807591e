package main

import (
	"context"
	"crypto/tls"
	"fmt"
	"net"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/web/trust"
)

// safety is the HTTPS side of the site: nothing where COLDRAIL_TLS_ADDR is empty.
type safety struct {
	listener net.Listener // nil: no HTTPS
	trust    trust.Pages
	outside  []string // names of COLDRAIL_NAMES that the authority may not speak for
}

// openTLS listens for tablets with the shop's own certificate or with one of ours.
func openTLS(ctx context.Context, cfg Config, d *db.DB) (s safety, err error) {
	s.trust.Addr, s.trust.TLSAddr = cfg.Addr, cfg.TLSAddr
	if cfg.TLSAddr == "" {
		return s, nil
	}
	conf := &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}
	if cfg.CertFile != "" {
		own, err := trust.Own(cfg.CertFile, cfg.KeyFile, clock())
		if err != nil {
			return s, err
		}
		conf.Certificates = []tls.Certificate{*own}
	} else {
		shop, err := d.Shop(ctx)
		if err != nil {
			return s, err
		}
		k := &trust.Keeper{Dir: cfg.certificates(), Shop: shop.Name, Names: cfg.Names, Now: clock}
		if err := k.Open(); err != nil {
			return s, err
		}
		conf.GetCertificate, s.trust.Authority = k.Certificate, k.Authority
		s.outside = k.Outside()
	}
	plain, err := net.Listen("tcp", cfg.TLSAddr)
	if err != nil {
		return s, fmt.Errorf("cannot listen on %s: %w", cfg.TLSAddr, err)
	}
	_, s.trust.Port, err = net.SplitHostPort(plain.Addr().String())
	s.listener = tls.NewListener(plain, conf)
	return s, err
}

// plainly keeps plain HTTP to this machine itself where there is HTTPS for the
// others: they see how to trust it and are sent on.
func (s safety) plainly(site http.Handler) http.Handler {
	if s.listener == nil {
		return site
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host, _, _ := net.SplitHostPort(r.RemoteAddr)
		path := r.URL.Path
		open := strings.HasPrefix(path, "/trust") || strings.HasPrefix(path, "/static/") || path == "/healthz" || path == "/readyz"
		if ip := net.ParseIP(host); open || ip != nil && ip.IsLoopback() {
			site.ServeHTTP(w, r)
			return
		}
		name := r.Host
		if h, _, err := net.SplitHostPort(name); err == nil {
			name = h
		}
		http.Redirect(w, r, "https://"+net.JoinHostPort(strings.Trim(name, "[]"), s.trust.Port)+r.URL.RequestURI(), http.StatusTemporaryRedirect)
	})
}
