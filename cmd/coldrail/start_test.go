package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"coldrail/db/cluster"

	"github.com/jackc/pgx/v5"
)

// The built program on an empty data directory: it starts, is told to stop,
// starts, is killed, starts, loses its database, recovers and is interrupted.
// Each start finds the records of the one before.
func TestProgramStartsAfterAnyEnd(t *testing.T) {
	t.Parallel()
	binary, data := build(t), filepath.Join(t.TempDir(), "data")

	p := startProgram(t, binary, data)
	p.ready(t)
	first := identity(t, data)
	p.stop(t, syscall.SIGTERM)

	p = startProgram(t, binary, data)
	p.ready(t)
	p.kill(t)

	p = startProgram(t, binary, data) // at once, while its database is still going down
	p.ready(t)
	killDatabase(t, data)
	p.ready(t)
	if again := identity(t, data); again != first {
		t.Errorf("the records are those of cluster %s, want those of the first start, %s", again, first)
	}
	p.stop(t, os.Interrupt)
}

// A port in use is told at once, and no database is started for nothing.
func TestPortTaken(t *testing.T) {
	t.Parallel()
	data := filepath.Join(t.TempDir(), "data")
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()

	cmd := exec.Command(build(t), "serve")
	cmd.Env = append(cleanEnvironment(), "COLDRAIL_DATA="+data, "COLDRAIL_ADDR="+taken.Addr().String())
	out, err := cmd.CombinedOutput()
	if err == nil || !strings.Contains(string(out), taken.Addr().String()) {
		t.Errorf("serve on a taken port: %v, %q; want a failure that names the address", err, out)
	}
	if _, err := os.Stat(data); err == nil {
		t.Error("a database was made although the site could not be served")
	}
}

// program is the built binary, serving.
type program struct {
	cmd     *exec.Cmd
	address string
	log     *strings.Builder // standard error, complete once ended is closed
	ended   chan struct{}
}

func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "coldrail")
	// Never `go run`: a signal to it ends go and leaves the program behind.
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	return binary
}

// cleanEnvironment is ours without what would set up another program than the default one.
func cleanEnvironment() (env []string) {
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, "COLDRAIL_") && !strings.HasPrefix(v, "DATABASE_URL=") {
			env = append(env, v)
		}
	}
	return env
}

// startProgram returns when the program has said where it serves.
func startProgram(t *testing.T, binary, data string, env ...string) *program {
	t.Helper()
	p := &program{cmd: exec.Command(binary, "serve"), log: &strings.Builder{}, ended: make(chan struct{})}
	p.cmd.Env = append(append(cleanEnvironment(), "COLDRAIL_DATA="+data, "COLDRAIL_ADDR=127.0.0.1:0"), env...)
	p.cmd.Stderr = p.log
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	begun := time.Now()
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.cmd.Process.Kill(); <-p.ended; databaseEnds(data) })
	lines := bufio.NewReader(out)
	for p.address == "" {
		line, err := lines.ReadString('\n')
		if err != nil {
			p.cmd.Wait()
			close(p.ended)
			t.Fatalf("the program ended before it served: %s", p.log)
		}
		if _, after, ok := strings.Cut(line, "http://"); ok {
			p.address = "http://" + strings.TrimSpace(after)
		}
	}
	t.Logf("served after %s", time.Since(begun).Round(10*time.Millisecond))
	go func() {
		io.Copy(io.Discard, lines)
		p.cmd.Wait()
		close(p.ended)
	}()
	return p
}

// databaseEnds waits until PostgreSQL, which ends by itself once the program is gone,
// has written its last and taken its lock away: its folder is cleared next.
func databaseEnds(data string) {
	for range 400 {
		if _, err := os.Stat(filepath.Join(data, "postgres", "data", "postmaster.pid")); err != nil {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// ready waits until the program says that it and its database work.
func (p *program) ready(t *testing.T) {
	t.Helper()
	var last string
	for range 300 {
		health, err := get(p.address + "/healthz")
		if err != nil || health != http.StatusOK {
			t.Fatalf("/healthz answers %d, %v; want 200 while the program runs", health, err)
		}
		status, err := get(p.address + "/readyz")
		if status == http.StatusOK {
			return
		}
		last = fmt.Sprint(status, err)
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("/readyz never answered 200, last %s", last)
}

func get(url string) (int, error) {
	answer, err := http.Get(url)
	if err != nil {
		return 0, err
	}
	return answer.StatusCode, answer.Body.Close()
}

// stop asks the program to end, which it must do with status 0.
func (p *program) stop(t *testing.T, how os.Signal) {
	t.Helper()
	if err := p.cmd.Process.Signal(how); err != nil {
		t.Fatal(err)
	}
	select {
	case <-p.ended:
	case <-time.After(20 * time.Second):
		t.Fatalf("the program does not end on %s", how)
	}
	if status := p.cmd.ProcessState.ExitCode(); status != 0 {
		t.Errorf("on %s it ended with status %d, want 0: %s", how, status, p.log)
	}
}

func (p *program) kill(t *testing.T) {
	t.Helper()
	if err := p.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-p.ended
}

// killDatabase ends postgres under the running program and waits until it is buried.
func killDatabase(t *testing.T, data string) {
	t.Helper()
	pid := databasePid(t, data)
	if err := syscall.Kill(pid, syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	for range 100 {
		if syscall.Kill(pid, 0) != nil {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("postgres was killed and not buried")
}

// databasePid is the process of the embedded database.
func databasePid(t *testing.T, data string) int {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(data, "postgres", "data", "postmaster.pid"))
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(first)
	if err != nil {
		t.Fatal(err)
	}
	return pid
}

// identity is the number PostgreSQL gave the running program's cluster when it was made.
func identity(t *testing.T, data string) (id string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	guest, err := cluster.Start(ctx, filepath.Join(data, "postgres"), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if !guest.Attached() {
		t.Fatal("the program does not hold its database")
	}
	conn, err := pgx.Connect(ctx, guest.URL(cluster.Owner, cluster.Database))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	if err := conn.QueryRow(ctx, "SELECT system_identifier::text FROM pg_control_system()").Scan(&id); err != nil {
		t.Fatal(err)
	}
	return id
}

// ownersURL is how the owner of the tables reaches the embedded database.
func ownersURL(data string) string {
	socket := filepath.Join(data, "postgres", "run")
	return "postgres://" + cluster.Owner + "@/" + cluster.Database + "?" + url.Values{"host": {socket}, "sslmode": {"disable"}}.Encode()
}

// dbOf connects to the running program's database as the owner of its tables.
func dbOf(t *testing.T, data string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), ownersURL(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close(context.WithoutCancel(t.Context())) })
	return conn
}
