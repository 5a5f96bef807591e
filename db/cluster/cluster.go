package cluster

import (
	"context"
	"log/slog"
	"net/url"
)

// The two roles and the database that every cluster has.
const (
	Owner    = "coldrail_owner" // owns the tables, runs the migrations
	App      = "coldrail_app"   // what the program runs as; has no right it was not granted
	Database = "coldrail"
)

// Cluster is a running PostgreSQL, owned by this program or attached to.
type Cluster struct {
	socket  string        // the directory with the socket
	process *process      // nil when another program owns the cluster
	died    chan struct{} // closed once postgres has ended and the lock is given back; nil, so never ready, when attached
}

// Start makes the cluster in dir if there is none, starts it and returns once
// it answers and holds both roles and the database. If another program runs it
// already, Start attaches to that one. settings are lines of postgresql.conf,
// such as "fsync=off". When ctx ends before the cluster is ready, it is stopped.
func Start(ctx context.Context, dir string, log *slog.Logger, settings ...string) (*Cluster, error) {
	return start(ctx, dir, log, settings)
}

// URL returns the address of a database in the cluster, for role. It spells out
// what a PG* variable of the environment could otherwise turn elsewhere.
func (c *Cluster) URL(role, database string) string { return address(c.socket, role, database) }

func address(socket, role, database string) string {
	q := url.Values{
		"host": {socket}, "port": {port}, "sslmode": {"disable"}, "target_session_attrs": {"any"}, "options": {""},
	}
	u := url.URL{Scheme: "postgres", User: url.User(role), Path: "/" + database, RawQuery: q.Encode()}
	return u.String()
}

// Attached says that another program owns the cluster.
func (c *Cluster) Attached() bool { return c.process == nil }

// Died is closed when postgres has ended, whether asked to or not; from then on
// it can be started again. For an attached cluster it never is: there the
// connections fail instead.
func (c *Cluster) Died() <-chan struct{} { return c.died }

// Stop ends postgres in good order and waits for it. Close the connections
// first; those left are cut. Stopping an attached cluster does nothing.
func (c *Cluster) Stop() error {
	if c.process == nil {
		return nil
	}
	if err := c.process.stop(); err != nil {
		return err
	}
	<-c.died
	return nil
}
