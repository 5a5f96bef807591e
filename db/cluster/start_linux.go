package cluster

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// port only names the socket file; nothing listens on TCP.
const port = "5432"

// attachWait is how long a second program waits for the owner's cluster. A first
// start takes two seconds, recovery after a power cut perhaps half a minute.
const attachWait = time.Minute

func start(ctx context.Context, dir string, log *slog.Logger, settings []string) (*Cluster, error) {
	dir, err := prepare(dir)
	if err != nil {
		return nil, err
	}
	for giveUp := time.Now().Add(attachWait); ; {
		release, err := lock(filepath.Join(dir, "lock"))
		if err != nil {
			return nil, err
		}
		if release != nil {
			c, err := own(ctx, dir, log, settings)
			if err != nil {
				return nil, errors.Join(err, release())
			}
			go func() {
				<-c.process.done
				if err := release(); err != nil {
					log.Error("give the data directory's lock back", "err", err)
				}
				close(c.died)
			}()
			return c, nil
		}
		if c, err := attach(ctx, dir); c != nil || err != nil {
			return c, err
		}
		if time.Now().After(giveUp) {
			return nil, fmt.Errorf("another program holds %s but its database does not answer: stop that program and start again", dir)
		}
		if err := pause(ctx, 50*time.Millisecond); err != nil {
			return nil, err
		}
	}
}

// prepare makes dir and returns its one true name, since processes are found by it.
func prepare(dir string) (string, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return "", fmt.Errorf("make the data directory: %w", err)
		}
		// Root's postgres runs as somebody else and must be able to pass through.
		if err := os.Chmod(dir, 0o711); err != nil {
			return "", err
		}
	}
	return filepath.EvalSymlinks(dir)
}

// own starts postgres as our child; the caller holds the lock.
func own(ctx context.Context, dir string, log *slog.Logger, settings []string) (_ *Cluster, err error) {
	data := filepath.Join(dir, "data")
	if err := settle(ctx, data, log); err != nil {
		return nil, err
	}
	who, err := runner(dir, data)
	if err != nil {
		return nil, err
	}
	bin, err := binaries(data)
	if err != nil {
		return nil, err
	}
	if err := initialise(ctx, bin, data, who, log); err != nil {
		return nil, err
	}
	socket, err := socketDir(dir, who)
	if err != nil {
		return nil, err
	}
	if err := letIn(data, who); err != nil {
		return nil, err
	}
	p, err := launch(bin, data, socket, who, log, settings)
	if err != nil {
		return nil, err
	}
	if err := furnish(ctx, socket, p); err != nil {
		return nil, errors.Join(err, p.stop())
	}
	return &Cluster{socket: socket, process: p, died: make(chan struct{})}, nil
}

// attach joins the cluster another program owns. It returns nil and no error
// while that one is not ready.
func attach(ctx context.Context, dir string) (*Cluster, error) {
	socket := socketPath(dir)
	if err := trusted(socket, filepath.Join(dir, "data")); err != nil {
		if errors.Is(err, os.ErrNotExist) {
			return nil, nil
		}
		return nil, err
	}
	conn, err := pgx.Connect(ctx, address(socket, App, Database))
	if err == nil {
		return &Cluster{socket: socket}, conn.Close(ctx)
	}
	// While the owner is still furnishing, the program's role may be missing,
	// which looks like a refusal; the owner's role is there from the beginning.
	if refused(err) {
		conn, again := pgx.Connect(ctx, address(socket, Owner, "postgres"))
		if again == nil {
			return nil, conn.Close(ctx)
		}
		if refused(again) {
			return nil, fmt.Errorf("the database in %s belongs to another user; run as that user or as root: %w", dir, again)
		}
	}
	return nil, nil
}

// furnish waits until postgres answers, then makes sure of roles and database.
// Each step can be repeated: a first start cut short goes on where it stopped.
func furnish(ctx context.Context, socket string, p *process) error {
	conn, err := answer(ctx, address(socket, Owner, "postgres"), p)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))

	var role, database bool
	if err := conn.QueryRow(ctx, `
		SELECT EXISTS (SELECT FROM pg_roles WHERE rolname = $1), EXISTS (SELECT FROM pg_database WHERE datname = $2)`,
		App, Database).Scan(&role, &database); err != nil {
		return fmt.Errorf("look for the program's role: %w", err)
	}
	if !role {
		if _, err := conn.Exec(ctx, "CREATE ROLE "+App+" LOGIN"); err != nil {
			return fmt.Errorf("make the program's role: %w", err)
		}
	}
	if !database {
		if _, err := conn.Exec(ctx, "CREATE DATABASE "+Database); err != nil {
			return fmt.Errorf("make the database: %w", err)
		}
	}
	return nil
}

// answer connects as soon as postgres lets us. It gives up when postgres ends,
// when ctx does, and at once when postgres answers that we may not come in.
func answer(ctx context.Context, url string, p *process) (*pgx.Conn, error) {
	for {
		conn, err := pgx.Connect(ctx, url)
		if err == nil {
			return conn, nil
		}
		if refused(err) {
			return nil, fmt.Errorf("the database does not let this program in: %w", err)
		}
		select {
		case <-p.done:
			return nil, fmt.Errorf("PostgreSQL did not start: %s", p.lastWords())
		default:
		}
		if err := pause(ctx, 10*time.Millisecond); err != nil {
			return nil, err
		}
	}
}

// refused says that err is PostgreSQL's "invalid authorization", class 28.
func refused(err error) bool {
	e, ok := errors.AsType[*pgconn.PgError](err)
	return ok && len(e.Code) == 5 && e.Code[:2] == "28"
}

func pause(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}
