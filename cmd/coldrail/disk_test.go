package main

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"
	"unsafe"
)

// disk is where the records lie: a file system of its own that can be filled, or
// where none may be mounted, a limit on what the database's processes may write.
type disk struct {
	dir, how string
	own      bool
}

const diskBytes = 400 << 20

// openDisk mounts a small file system in memory if this machine lets us.
func openDisk(t *testing.T) *disk {
	t.Helper()
	d := &disk{dir: t.TempDir(), how: "a limit on the size of its files (mounting is not allowed here)"}
	if err := syscall.Mount("tmpfs", d.dir, "tmpfs", 0, "size="+strconv.Itoa(diskBytes)+",mode=0755"); err == nil {
		d.own, d.how = true, "filling a file system of "+size(diskBytes)
		t.Cleanup(func() { must(t, syscall.Unmount(d.dir, syscall.MNT_DETACH)) })
	}
	return d
}

// full leaves no byte free for a while.
func (d *disk) full(t *testing.T, long time.Duration) {
	t.Helper()
	if !d.own {
		d.limit(t, 1)
		time.Sleep(long)
		d.limit(t, ^uint64(0))
		return
	}
	name := filepath.Join(d.dir, "filler")
	f, err := os.Create(name)
	must(t, err)
	defer func() { must(t, os.Remove(name)) }()
	defer f.Close()
	block := make([]byte, 1<<20)
	for end := time.Now().Add(long); time.Now().Before(end); {
		if _, err := f.Write(block); errors.Is(err, syscall.ENOSPC) {
			if len(block) > 4096 {
				block = block[:4096] // the last crumbs
				continue
			}
			time.Sleep(5 * time.Millisecond)
		} else {
			must(t, err)
		}
	}
}

// limit bounds the files that the database's processes may write (prlimit(2)).
func (d *disk) limit(t *testing.T, bytes uint64) {
	t.Helper()
	data := filepath.Join(d.dir, "data", "postgres", "data")
	all, err := filepath.Glob("/proc/[0-9]*/cwd")
	must(t, err)
	for _, cwd := range all {
		if at, err := os.Readlink(cwd); err != nil || at != data {
			continue
		}
		pid, err := strconv.Atoi(filepath.Base(filepath.Dir(cwd)))
		must(t, err)
		limit := syscall.Rlimit{Cur: bytes, Max: ^uint64(0)}
		_, _, no := syscall.RawSyscall6(syscall.SYS_PRLIMIT64, uintptr(pid), syscall.RLIMIT_FSIZE, uintptr(unsafe.Pointer(&limit)), 0, 0, 0)
		if no != 0 && no != syscall.ESRCH {
			t.Fatal(no)
		}
	}
}
