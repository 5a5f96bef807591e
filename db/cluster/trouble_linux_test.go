package cluster

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// programVariable makes this test binary a program with a cluster in the named
// directory, to be killed by a test.
const programVariable = "COLDRAIL_CLUSTER_PROGRAM"

func TestMain(m *testing.M) {
	if dir := os.Getenv(programVariable); dir != "" {
		if _, err := Start(context.Background(), dir, slog.New(slog.DiscardHandler)); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		fmt.Println("ready")
		select {} // until killed
	}
	// A dozen clusters are made here: in memory, where there is room, that takes
	// 11 s and not 27 (measured on two busy cores).
	var memory syscall.Statfs_t
	if err := syscall.Statfs("/dev/shm", &memory); err == nil && memory.Bavail*uint64(memory.Bsize) > 2<<30 {
		os.Setenv("TMPDIR", "/dev/shm")
	}
	os.Exit(m.Run())
}

// program starts that program without waiting for it.
func program(t *testing.T, dir string) (*exec.Cmd, *bufio.Reader) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), programVariable+"="+dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	return cmd, bufio.NewReader(out)
}

// A killed program takes its postgres along; what was committed is there next time.
func TestProgramKilled(t *testing.T) {
	t.Parallel()
	dir := room(t)
	cmd, out := program(t, dir)
	if line, err := out.ReadString('\n'); line != "ready\n" {
		t.Fatalf("the program says %q (%v), want ready", line, err)
	}
	guest := begin(t, dir)
	if !guest.Attached() {
		t.Fatal("the cluster has two owners")
	}
	do(t, guest, Owner, "CREATE TABLE deer (tag int); INSERT INTO deer VALUES (147)")
	cmd.Process.Kill()
	cmd.Wait()

	c := begin(t, dir) // at once, while the old postgres is still going
	if c.Attached() {
		t.Fatal("attached to the dead program's cluster")
	}
	if got := ask(t, c, Owner, "SELECT tag::text FROM deer"); got != "147" {
		t.Errorf("after kill -9 the table holds %q, want 147", got)
	}
	end(t, c)
}

// Died tells the program that its database is gone, and the next start recovers it.
func TestPostgresKilled(t *testing.T) {
	t.Parallel()
	dir := room(t)
	c := begin(t, dir)
	do(t, c, Owner, "CREATE TABLE deer (tag int); INSERT INTO deer VALUES (147)")
	if err := c.process.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	select {
	case <-c.Died():
	case <-time.After(5 * time.Second):
		t.Fatal("postgres was killed and nobody was told")
	}
	c = begin(t, dir) // the same program starts it again, without Stop
	if got := ask(t, c, Owner, "SELECT tag::text FROM deer"); got != "147" {
		t.Errorf("after the crash the table holds %q, want 147", got)
	}
	end(t, c)
}

// A first start killed at any moment leaves nothing that stops the next one.
func TestKilledWhileMakingTheCluster(t *testing.T) {
	t.Parallel()
	dir := room(t)
	for _, after := range []time.Duration{0, 100 * time.Millisecond, 300 * time.Millisecond} {
		cmd, _ := program(t, dir)
		await(t, filepath.Join(dir, "data.init", "PG_VERSION"))
		time.Sleep(after)
		cmd.Process.Kill()
		cmd.Wait()
		if _, err := os.Stat(filepath.Join(dir, "data")); err == nil && after == 0 {
			t.Fatal("the cluster was whole before it was killed: this test killed nothing")
		}
		if err := os.RemoveAll(filepath.Join(dir, "data")); err != nil { // a fast machine may have finished
			t.Fatal(err)
		}
	}
	end(t, begin(t, dir))
}

// await waits for a file to appear.
func await(t *testing.T, path string) {
	t.Helper()
	for range 2000 {
		if _, err := os.Stat(path); err == nil {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatalf("%s never appeared", path)
}

// After a power cut the old process numbers may belong to somebody else.
func TestStaleFiles(t *testing.T) {
	t.Parallel()
	dir := room(t)
	end(t, begin(t, dir))
	stranger := exec.Command("sleep", "60")
	if err := stranger.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { stranger.Process.Kill(); stranger.Wait() }()
	pid := itoa(stranger.Process.Pid) + "\n"
	socket := filepath.Join(dir, "run", ".s.PGSQL."+port)
	for path, text := range map[string]string{
		filepath.Join(dir, "data", "postmaster.pid"): pid + filepath.Join(dir, "data") + "\n1\n5432\n" + filepath.Join(dir, "run") + "\n",
		socket:           "",
		socket + ".lock": pid,
	} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	end(t, begin(t, dir))
	if err := stranger.Process.Signal(syscall.Signal(0)); err != nil {
		t.Errorf("the stranger with the old process number was harmed: %v", err)
	}
}

// A postgres somebody else started on the data is not fought over: it is asked to stop.
func TestLeftoverPostgres(t *testing.T) {
	t.Parallel()
	dir := room(t)
	end(t, begin(t, dir))
	data := filepath.Join(dir, "data")
	who, err := runner(dir, data)
	if err != nil {
		t.Fatal(err)
	}
	bin, err := binaries(data)
	if err != nil {
		t.Fatal(err)
	}
	other, err := launch(bin, data, socketPath(dir), who, slog.New(slog.DiscardHandler), nil)
	if err != nil {
		t.Fatal(err)
	}
	await(t, filepath.Join(dir, "run", ".s.PGSQL."+port))
	c := begin(t, dir)
	select {
	case <-other.done:
	default:
		t.Error("two postgres run on one cluster")
	}
	end(t, c)
}

// Data of a version that is not installed is refused by name and left alone.
func TestWrongVersion(t *testing.T) {
	t.Parallel()
	dir := room(t)
	end(t, begin(t, dir))
	version := filepath.Join(dir, "data", "PG_VERSION")
	right, err := os.ReadFile(version)
	if err != nil {
		t.Fatal(err)
	}
	write(t, version, "9\n")
	before := fingerprint(t, filepath.Join(dir, "data"))
	_, err = Start(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), "made by PostgreSQL 9, which is not on this machine") {
		t.Errorf("start on data of version 9: %v, want a refusal that names it", err)
	}
	if after := fingerprint(t, filepath.Join(dir, "data")); after != before {
		t.Error("the refused data were changed")
	}
	write(t, version, string(right))
	end(t, begin(t, dir))
}

// What keeps postgres from starting is told in its own words.
func TestPostgresCannotStart(t *testing.T) {
	t.Parallel()
	_, err := Start(t.Context(), room(t), slog.New(slog.DiscardHandler), "shared_buffers=nonsense")
	if err == nil || !strings.Contains(err.Error(), `invalid value for parameter "shared_buffers"`) {
		t.Errorf("start with a wrong setting: %v, want postgres's own words", err)
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// fingerprint covers the name, size, time and content of every file below dir.
func fingerprint(t *testing.T, dir string) string {
	t.Helper()
	sum := sha256.New()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		text, err := os.ReadFile(path)
		fmt.Fprintln(sum, path, info.ModTime(), len(text))
		sum.Write(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

func itoa(n int) string { return strconv.Itoa(n) }
