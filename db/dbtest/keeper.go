package dbtest

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"
	"time"

	"coldrail/db/cluster"
)

// keeperVariable names the shared folder to a test binary that is to be the
// keeper instead of running tests.
const keeperVariable = "COLDRAIL_TEST_KEEPER"

// patience is how long an unused server stays: long enough for the next package
// of the same run, and for the next run of somebody at work.
const patience = 20 * time.Second

// A server shared by all test binaries must belong to none of them, since each
// ends at its own time and takes its children along. So the first binary starts
// itself again, and that process never reaches the tests.
func init() {
	dir := os.Getenv(keeperVariable)
	if dir == "" {
		return
	}
	if err := keep(dir, patience); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(0)
}

// keep runs the server in dir until nobody has used it for so long.
func keep(dir string, patience time.Duration) error {
	lock, held, err := tryLock(filepath.Join(dir, keeperFile))
	if err != nil || !held {
		return err // held by another: that one keeps
	}
	defer lock.Close()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()

	address := filepath.Join(dir, addressFile)
	if err := clearAway(dir); err != nil {
		return err
	}
	home, err := os.MkdirTemp(dir, "cluster-")
	if err != nil {
		return err
	}
	if err := os.Chmod(home, 0o711); err != nil {
		return err
	}
	// It may lose everything in a power cut; in return it never waits for a disk.
	c, err := cluster.Start(ctx, home, slog.Default(), "fsync=off", "synchronous_commit=off", "full_page_writes=off",
		"autovacuum=off", "max_connections=200", "shared_buffers=64MB", "max_wal_size=256MB")
	if err != nil {
		return errors.Join(err, clearAway(dir))
	}
	if err := publish(address, c.URL(cluster.Owner, "postgres")); err != nil {
		return errors.Join(err, c.Stop())
	}
	shut, err := untilUnused(ctx, dir, patience, c.Died())
	if shut != nil {
		defer shut.Close()
	}
	return errors.Join(err, os.Remove(address), c.Stop(), clearAway(dir))
}

// untilUnused returns when the server has gone unused for long, with the lock
// that makes newcomers wait until it is put away; or when it is to end anyway.
func untilUnused(ctx context.Context, dir string, patience time.Duration, died <-chan struct{}) (*os.File, error) {
	path := filepath.Join(dir, usersFile)
	for used := time.Now(); ; {
		select {
		case <-ctx.Done():
			return nil, nil
		case <-died:
			return nil, errors.New("the test server ended by itself")
		case <-time.After(500 * time.Millisecond):
		}
		f, unused, err := tryLock(path)
		if err != nil {
			return nil, err
		}
		switch {
		case !unused:
			used = time.Now()
		case time.Since(used) > patience:
			return f, nil
		default:
			f.Close()
		}
	}
}

// clearAway removes what an earlier keeper left. Its postgres, if one is still
// about, is on its way out: it gets a signal when its keeper dies.
func clearAway(dir string) error {
	old, err := filepath.Glob(filepath.Join(dir, "cluster-*"))
	if err != nil {
		return err
	}
	for _, path := range append(old, filepath.Join(dir, addressFile)) {
		if err := os.RemoveAll(path); err != nil {
			return err
		}
	}
	return nil
}

// publish writes the address whole or not at all.
func publish(path, address string) error {
	if err := os.WriteFile(path+".next", []byte(address), 0o600); err != nil {
		return err
	}
	return os.Rename(path+".next", path)
}
