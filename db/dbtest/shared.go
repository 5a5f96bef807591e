package dbtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
)

// The files of the shared folder. The locks are flock(2): the kernel gives them
// back however a process ends.
const (
	usersFile   = "users"   // locked shared by each test binary in need of the server
	keeperFile  = "keeper"  // locked by the process that runs the server
	addressFile = "address" // the owner's address, once the server is ready
	logFile     = "log"     // what the keeper and its server had to say
)

// users is held open, and so locked, until this binary ends.
var users *os.File

// join returns the address of the shared server, starting it if there is none.
func join(ctx context.Context) (string, error) {
	dir, err := sharedDir()
	if err != nil {
		return "", err
	}
	if users, err = os.OpenFile(filepath.Join(dir, usersFile), os.O_CREATE|os.O_RDWR, 0o600); err != nil {
		return "", err
	}
	// Waits while a keeper that found itself unused is putting the server away.
	if err := syscall.Flock(int(users.Fd()), syscall.LOCK_SH); err != nil {
		return "", err
	}
	var failed chan error
	for {
		if address := alive(ctx, dir); address != "" {
			return address, nil
		}
		if failed == nil && free(filepath.Join(dir, keeperFile)) {
			if failed, err = startKeeper(dir); err != nil {
				return "", err
			}
		}
		select {
		case err := <-failed:
			if err != nil {
				said, _ := os.ReadFile(filepath.Join(dir, logFile))
				return "", fmt.Errorf("%w: %s", err, bytes.TrimSpace(said))
			}
			failed = nil // another keeper was faster
		case <-ctx.Done():
			return "", ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// sharedDir is this user's folder for the server: in memory where there is
// room (a container may have only 64 MB there), else among the temporary files.
func sharedDir() (string, error) {
	base, st := os.TempDir(), syscall.Statfs_t{}
	if err := syscall.Statfs("/dev/shm", &st); err == nil && st.Bavail*uint64(st.Bsize) > 2<<30 {
		base = "/dev/shm"
	}
	dir := filepath.Join(base, "coldrail-test-"+strconv.Itoa(os.Geteuid()))
	// Passable for the user root's server steps down to.
	if err := os.Mkdir(dir, 0o711); err != nil && !errors.Is(err, os.ErrExist) {
		return "", err
	}
	info, err := os.Lstat(dir)
	if err != nil {
		return "", err
	}
	if !info.IsDir() || int(info.Sys().(*syscall.Stat_t).Uid) != os.Geteuid() || info.Mode().Perm()&0o022 != 0 {
		return "", fmt.Errorf("%s belongs to somebody else: remove it", dir)
	}
	return dir, os.Chmod(dir, 0o711)
}

// alive returns the address of the server in dir if it answers, else "".
func alive(ctx context.Context, dir string) string {
	address, err := os.ReadFile(filepath.Join(dir, addressFile))
	if err != nil {
		return ""
	}
	conn, err := pgx.Connect(ctx, string(address))
	if err != nil {
		return ""
	}
	conn.Close(ctx)
	return string(address)
}

// free says that nobody holds the lock on the file.
func free(path string) bool {
	f, held, err := tryLock(path)
	if err == nil && held {
		f.Close()
	}
	return err == nil && held
}

// tryLock takes the lock on the file if it is to be had.
func tryLock(path string) (f *os.File, held bool, err error) {
	if f, err = os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600); err != nil {
		return nil, false, err
	}
	if err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err == nil {
		return f, true, nil
	}
	f.Close()
	if errors.Is(err, syscall.EWOULDBLOCK) {
		err = nil
	}
	return nil, false, err
}

// startKeeper runs this very binary again as the keeper. It must outlive us and
// hold none of our pipes, or `go test` would wait for it.
func startKeeper(dir string) (chan error, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	log, err := os.OpenFile(filepath.Join(dir, logFile), os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o600)
	if err != nil {
		return nil, err
	}
	defer log.Close()
	cmd := exec.Command(self)
	cmd.Dir, cmd.Stdout, cmd.Stderr = "/", log, log
	cmd.Env = append(os.Environ(), keeperVariable+"="+dir)
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	return ended, nil
}
