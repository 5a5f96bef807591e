package cluster

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// lock takes the lock file for as long as this program lives; the kernel gives
// it back however we end. It returns nil when another program holds it.
func lock(path string) (release func() error, err error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600) // Go opens close-on-exec: postgres never holds it
	if errors.Is(err, os.ErrPermission) {
		return nil, fmt.Errorf("the data directory belongs to another user; run as that user or as root, or choose another COLDRAIL_DATA: %w", err)
	}
	if err != nil {
		return nil, fmt.Errorf("lock the data directory: %w", err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return nil, f.Close()
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("lock the data directory: %w", err), f.Close())
	}
	return f.Close, nil
}

// settle waits for what is left of an earlier postgres on data, then clears the
// files it left. The caller holds the lock, so nobody else is starting one.
// A process number in postmaster.pid proves nothing, as numbers are used again;
// every process of postgres sits in its data folder, and that does.
func settle(ctx context.Context, data string, log *slog.Logger) error {
	begun, asked := time.Now(), false
	for {
		left := residents(data)
		if len(left) == 0 {
			return clear(data)
		}
		switch waited := time.Since(begun); {
		case waited > 15*time.Second:
			return fmt.Errorf("an earlier PostgreSQL (process %d) still runs on %s and does not stop: stop it and start again", left[0], data)
		case waited > time.Second && !asked:
			log.WarnContext(ctx, "an earlier postgres still runs; asking it to stop", "pids", left)
			for _, pid := range left {
				syscall.Kill(pid, syscall.SIGINT)
			}
			asked = true
		}
		if err := pause(ctx, 20*time.Millisecond); err != nil {
			return err
		}
	}
}

// evict sees the postgres off that an initdb cut short left running. Its input
// ended with initdb, so it goes by itself and tidies up; after a second it is
// killed, as nothing of it is kept.
func evict(ctx context.Context, growing string) error {
	for begun := time.Now(); time.Since(begun) < 5*time.Second; {
		left := residents(growing)
		if len(left) == 0 {
			return nil
		}
		for _, pid := range left {
			if time.Since(begun) > time.Second {
				syscall.Kill(pid, syscall.SIGKILL)
			}
		}
		if err := pause(ctx, 20*time.Millisecond); err != nil {
			return err
		}
	}
	return fmt.Errorf("an earlier first start still runs in %s", growing)
}

// residents returns the postgres processes whose working folder is data.
func residents(data string) (pids []int) {
	home, err := os.Stat(data)
	if err != nil {
		return nil
	}
	names, _ := filepath.Glob("/proc/[0-9]*") // the only error is a malformed pattern
	for _, proc := range names {
		comm, err := os.ReadFile(proc + "/comm")
		if err != nil || !strings.HasPrefix(string(comm), "postgres") {
			continue
		}
		cwd, err := os.Stat(proc + "/cwd")
		if err != nil || !os.SameFile(home, cwd) {
			continue
		}
		if pid, err := strconv.Atoi(filepath.Base(proc)); err == nil {
			pids = append(pids, pid)
		}
	}
	return pids
}

// clear removes the lock files of a postgres that is gone whose process number
// is in use again, or that a power cut left empty: either stops the next start.
// The others stay, as from them postgres learns what else of itself to tidy up.
func clear(data string) error {
	for _, path := range []string{
		filepath.Join(data, "postmaster.pid"),
		filepath.Join(socketPath(filepath.Dir(data)), ".s.PGSQL."+port+".lock"),
	} {
		text, err := os.ReadFile(path)
		if errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			return fmt.Errorf("look at what an earlier start left: %w", err)
		}
		first, _, _ := strings.Cut(string(text), "\n")
		pid, err := strconv.Atoi(strings.TrimSpace(first))
		if err == nil && errors.Is(syscall.Kill(pid, 0), syscall.ESRCH) {
			continue
		}
		if err := os.Remove(path); err != nil {
			return fmt.Errorf("clear what an earlier start left: %w", err)
		}
	}
	return nil
}
