package main

import (
	"context"
	"io"
	"log/slog"
	"path/filepath"
	"sync"
	"time"

	"coldrail/db"
	"coldrail/db/cluster"
)

// database is where the shop's records live while the program runs.
type database struct {
	ownerURL string // owns the tables and migrates
	url      string // the program's role

	mu      sync.Mutex // keepAlive puts a new cluster in the place of a dead one
	cluster *cluster.Cluster
}

// running returns the embedded cluster, nil where the shop brings its own.
func (d *database) running() *cluster.Cluster {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.cluster
}

// openDatabase uses DATABASE_URL or starts the embedded default.
func openDatabase(ctx context.Context, cfg Config, log *slog.Logger) (*database, error) {
	if cfg.DatabaseURL != "" {
		return &database{ownerURL: cfg.DatabaseURL, url: cfg.DatabaseURL}, nil
	}
	c, err := cluster.Start(ctx, filepath.Join(cfg.Data, "postgres"), log)
	if err != nil {
		return nil, err
	}
	return &database{ownerURL: c.URL("coldrail_owner", "coldrail"), url: c.URL(db.Role, "coldrail"), cluster: c}, nil
}

// close stops the embedded database if this process started it.
func (d *database) close(log *slog.Logger) {
	c := d.running()
	if c == nil {
		return
	}
	if err := c.Stop(); err != nil {
		log.Error("the database did not stop cleanly", "err", err)
	}
}

// keepAlive restarts the embedded database when it dies under the program, until
// ctx ends. Pages say meanwhile that the records cannot be reached.
func (d *database) keepAlive(ctx context.Context, cfg Config, log *slog.Logger) {
	if d.running() == nil {
		return
	}
	for wait := time.Second; ; wait = min(2*wait, 30*time.Second) {
		select {
		case <-ctx.Done():
			return
		case <-d.running().Died():
		}
		log.Error("the database has stopped by itself; starting it again")
		c, err := cluster.Start(ctx, filepath.Join(cfg.Data, "postgres"), log)
		if err == nil {
			d.mu.Lock()
			d.cluster, wait = c, time.Second
			d.mu.Unlock()
			log.Info("the database is back")
			continue
		}
		log.Error("the database does not start", "err", err, "again_in", wait.String())
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

// withDB runs do on a migrated database, for the commands that do one thing and
// end. While the site runs, they join its embedded database.
func withDB(ctx context.Context, c call, do func(d *db.DB) error) error {
	log := newLog(c.cfg, c.report)
	base, err := openDatabase(ctx, c.cfg, log)
	if err != nil {
		return err
	}
	defer base.close(log)
	if err := db.Migrate(ctx, base.ownerURL); err != nil {
		return err
	}
	d, err := db.Open(ctx, base.url)
	if err != nil {
		return err
	}
	defer d.Close()
	return do(d)
}

func newLog(cfg Config, to io.Writer) *slog.Logger {
	return slog.New(slog.NewJSONHandler(to, &slog.HandlerOptions{Level: cfg.LogLevel}))
}
