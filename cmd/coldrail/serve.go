package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/web"
)

var serveCommand = command{
	use:  "[--demo]",
	does: "Serve the site until it is told to stop.",
	help: `
--demo  first loads the demo season, if the database is empty.

SIGTERM or Ctrl-C stops it: open requests get ten seconds to finish.`,
	run: runServe,
}

func runServe(ctx context.Context, c call) error {
	demo := len(c.args) == 1 && c.args[0] == "--demo"
	if len(c.args) > 0 && !demo {
		return usage("serve knows --demo, not %q", c.args[0])
	}
	listener, err := net.Listen("tcp", c.cfg.Addr) // first, so that a taken port costs nobody a wait
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", c.cfg.Addr, err)
	}
	defer listener.Close()
	log := newLog(c.cfg, c.report)
	base, err := openDatabase(ctx, c.cfg, log)
	if err != nil {
		return err
	}
	defer func() { base.close(log) }()
	if err := db.Migrate(ctx, base.ownerURL); err != nil {
		return err
	}
	d, err := db.Open(ctx, base.url)
	if err != nil {
		return err
	}
	defer d.Close()
	if demo {
		if err := demoIfEmpty(ctx, d, c.out); err != nil {
			return err
		}
	}
	go base.keepAlive(ctx, c.cfg, log)
	return site(ctx, c, d, base.ownerURL, listener, log)
}

// site runs the pages and the watch until ctx ends.
func site(ctx context.Context, c call, d *db.DB, ownerURL string, listener net.Listener, log *slog.Logger) error {
	watch, err := startWatch(ctx, d, ownerURL, sender{mailPassword: c.cfg.MailPassword, gatewaySecret: c.cfg.GatewaySecret, public: c.cfg.PublicURL}, log)
	if err != nil {
		return err
	}
	safe, err := openTLS(ctx, c.cfg, d)
	if err != nil {
		return err
	}
	counts := newMeasures(d)
	quiet, err := counts.serve(c.cfg.MetricsAddr, log)
	if err != nil {
		return err
	}
	cfg := web.Config{DB: d, Measure: counts.count, Now: clock, Log: log, PublicURL: c.cfg.PublicURL, Secure: c.cfg.Secure(), Trust: safe.trust, MailPassword: c.cfg.MailPassword != "", Changes: d.Listen(ctx), Proxies: c.cfg.Proxies}
	handler, err := web.New(ctx, cfg)
	if err != nil {
		return err
	}
	cfg.Secure = true
	guarded, err := web.New(ctx, cfg)
	if err != nil {
		return err
	}
	server := newServer(safe.plainly(handler), log)
	tablets := newServer(guarded, log)
	fmt.Fprintf(c.out, "Coldrail serves on http://%s\n", listener.Addr())
	if err := sayHowToOpen(ctx, d, c.cfg.PublicURL, c.out); err != nil {
		return err
	}
	failed := make(chan error, 2)
	go func() { failed <- server.Serve(listener) }()
	if safe.listener != nil {
		fmt.Fprintf(c.out, "Tablets: https://%s, see /trust\n", safe.listener.Addr())
		fmt.Fprint(c.out, safe.leftOut())
		go func() { failed <- tablets.Serve(safe.listener) }()
	}
	select {
	case err = <-failed:
	case <-ctx.Done():
	}
	finish, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
	defer cancel()
	stopped := errors.Join(server.Shutdown(finish), tablets.Shutdown(finish), quiet(finish))
	watch(finish)
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return errors.Join(err, stopped)
}

// sayHowToOpen names the page on which a new shop is set up, with its code.
func sayHowToOpen(ctx context.Context, d *db.DB, address string, out io.Writer) error {
	unmanned, err := d.Unmanned(ctx)
	if err != nil || !unmanned {
		return err
	}
	code, err := d.OpeningCode(ctx)
	if err == nil {
		fmt.Fprintf(out, "Nobody works here yet. Set the shop up on %s/setup/open?code=%s\n", address, code)
	}
	return err
}

// newServer has the limits of every server of ours.
func newServer(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 60 * time.Second,
		WriteTimeout: 60 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}
