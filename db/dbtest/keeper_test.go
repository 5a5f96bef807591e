package dbtest

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// The server stays while a test binary holds it, also one that asks nothing for
// longer than the keeper's patience; afterwards it goes and leaves no files.
func TestKeeperWaitsForUsersThenTidiesUp(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := os.Chmod(filepath.Dir(dir), 0o711); err != nil {
		t.Fatal(err)
	}
	// What a keeper killed in the middle has left.
	if err := os.MkdirAll(filepath.Join(dir, "cluster-old", "data"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := publish(filepath.Join(dir, addressFile), "postgres://nobody@/none?host=/nowhere"); err != nil {
		t.Fatal(err)
	}
	user, err := os.OpenFile(filepath.Join(dir, usersFile), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	if err := syscall.Flock(int(user.Fd()), syscall.LOCK_SH); err != nil {
		t.Fatal(err)
	}
	const patience = time.Millisecond
	ended := make(chan error, 1)
	go func() { ended <- keep(dir, patience) }()
	for begun := time.Now(); alive(t.Context(), dir) == ""; time.Sleep(20 * time.Millisecond) {
		if time.Since(begun) > time.Minute {
			t.Fatal("the server never came")
		}
	}
	if err := keep(dir, patience); err != nil { // a second keeper steps back at once
		t.Errorf("a second keeper: %v, want it to leave the server to the first", err)
	}
	time.Sleep(1200 * time.Millisecond) // two looks of the keeper
	if alive(t.Context(), dir) == "" {
		t.Error("the server went while a test binary held it")
	}
	user.Close()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("the keeper ended with %v", err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("the keeper does not see that nobody is left")
	}
	left, err := filepath.Glob(filepath.Join(dir, "cluster-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
	if _, err := os.Stat(filepath.Join(dir, addressFile)); err == nil {
		t.Error("the address of a server that is gone is still told")
	}
}
