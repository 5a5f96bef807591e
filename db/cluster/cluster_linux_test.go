package cluster

import (
	"context"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// The first start makes the cluster; the next finds what the first one stored.
// Neither looks at the environment's PG* variables.
func TestStartStopStart(t *testing.T) {
	for name, value := range map[string]string{
		"PGHOST": "/nowhere", "PGPORT": "1", "PGUSER": "mallory", "PGDATA": "/nowhere", "PGOPTIONS": "-c role=mallory", "PGSSLMODE": "verify-full",
	} {
		t.Setenv(name, value)
	}
	dir := room(t)
	c := begin(t, dir)
	do(t, c, Owner, "CREATE TABLE deer (tag int); INSERT INTO deer VALUES (147)")
	end(t, c)

	c = begin(t, dir)
	if got := ask(t, c, Owner, "SELECT tag::text FROM deer"); got != "147" {
		t.Errorf("after a restart the table holds %q, want 147", got)
	}
	if got := ask(t, c, Owner, "SELECT count(*)::text FROM pg_stat_activity WHERE client_addr IS NOT NULL"); got != "0" {
		t.Errorf("%s connections over TCP, want none", got)
	}
	if got := ask(t, c, Owner, "SHOW listen_addresses"); got != "" {
		t.Errorf("postgres listens on %q, want the socket alone", got)
	}
	end(t, c)
	if left := residents(filepath.Join(dir, "data")); len(left) > 0 {
		t.Errorf("postgres still runs after Stop: %v", left)
	}
}

// The program's role can do nothing that was not granted to it.
func TestProgramRoleHasNoRights(t *testing.T) {
	t.Parallel()
	c := begin(t, room(t))
	do(t, c, Owner, "CREATE TABLE deer (tag int)")
	for _, sql := range []string{
		"SELECT * FROM deer", "CREATE TABLE mine (id int)", "CREATE DATABASE mine", "CREATE ROLE mine",
		"SET ROLE " + Owner, "COPY (SELECT 1) TO PROGRAM 'true'",
	} {
		conn, err := pgx.Connect(t.Context(), c.URL(App, Database))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := conn.Exec(t.Context(), sql); err == nil || !strings.Contains(err.Error(), "42501") {
			t.Errorf("%s as the program: %v, want insufficient privilege (42501)", sql, err)
		}
		conn.Close(t.Context())
	}
	end(t, c)
}

// Whoever waits for the database must hear at once that it will not let him in.
func TestRefusalIsToldAtOnce(t *testing.T) {
	t.Parallel()
	c := begin(t, room(t))
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	_, err := answer(ctx, c.URL("stranger", Database), c.process)
	if err == nil || !strings.Contains(err.Error(), "does not let this program in") {
		t.Errorf("an unknown role: %v, want a refusal", err)
	}
	end(t, c)
}

// Two programs on one fresh directory: one makes and owns the cluster, the other
// attaches, and may leave without taking the database along.
func TestTwoAtOnce(t *testing.T) {
	t.Parallel()
	dir := room(t)
	both := make(chan *Cluster, 2)
	for range 2 {
		go func() {
			c, err := Start(t.Context(), dir, slog.New(slog.DiscardHandler), "fsync=off")
			if err != nil {
				t.Error(err)
			}
			both <- c
		}()
	}
	owner, guest := <-both, <-both
	if owner == nil || guest == nil {
		t.FailNow()
	}
	if owner.Attached() {
		owner, guest = guest, owner
	}
	if owner.Attached() || !guest.Attached() {
		t.Fatalf("attached: %v and %v, want one of two", owner.Attached(), guest.Attached())
	}
	end(t, guest)
	if got := ask(t, guest, App, "SELECT current_user::text"); got != App {
		t.Errorf("the guest works as %q, want %q", got, App)
	}
	end(t, owner)
}

// A path longer than a socket address, with all that is awkward in a name.
func TestLongPath(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "the shop's \"data\" & 50 % more", strings.Repeat("long-", 20))
	socket := socketPath(dir)
	if !strings.HasPrefix(socket, "/tmp/coldrail-") {
		t.Fatalf("the socket of a path of %d bytes is %s, want one below /tmp", len(dir), socket)
	}
	t.Cleanup(func() { os.RemoveAll(socket) })
	c := begin(t, dir)
	if got := ask(t, c, App, "SELECT current_database()::text"); got != Database {
		t.Errorf("connected to %q, want %q", got, Database)
	}
	end(t, c)

	// Somebody else's folder in that place is not trusted with our database.
	if err := os.Chmod(socket, 0o777); err != nil {
		t.Fatal(err)
	}
	_, err := Start(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), socket) {
		t.Errorf("start with a socket folder open to all: %v, want it refused by name", err)
	}
}

// Below a folder closed to others, such as /root, the user whom root steps down
// to may not pass without help; for an ordinary user it is a folder like any
// other. The help must not cost postgres the signal when the program dies.
func TestClosedFolder(t *testing.T) {
	t.Parallel()
	closed := filepath.Join(room(t), "closed")
	if err := os.Mkdir(closed, 0o700); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(closed, "data")
	cmd, out := program(t, dir)
	if line, err := out.ReadString('\n'); line != "ready\n" {
		t.Fatalf("the program says %q (%v), want ready", line, err)
	}
	data := filepath.Join(dir, "data")
	if len(residents(data)) == 0 {
		t.Fatal("no postgres is seen in its folder")
	}
	cmd.Process.Kill()
	cmd.Wait()
	for begun := time.Now(); len(residents(data)) > 0; time.Sleep(10 * time.Millisecond) {
		if time.Since(begun) > 5*time.Second {
			t.Fatal("postgres outlives the program")
		}
	}
	end(t, begin(t, dir))
}

// The cluster stays with the user whose files it is, whoever starts it.
func TestOwnerOfTheFilesRunsPostgres(t *testing.T) {
	t.Parallel()
	dir := room(t)
	data := filepath.Join(dir, "data")
	end(t, begin(t, dir))
	want := uidOf(t, data)
	if os.Geteuid() == 0 { // only root can give files away
		want = 65534 // nobody
		for _, path := range []string{data, filepath.Join(dir, "run")} {
			if out, err := exec.Command("chown", "-R", "65534:65534", path).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, out)
			}
		}
	}
	c := begin(t, dir)
	if got := uidOf(t, filepath.Join("/proc", itoa(c.process.cmd.Process.Pid))); got != want {
		t.Errorf("postgres runs as user %d, want %d", got, want)
	}
	end(t, c)
}

func uidOf(t *testing.T, path string) int {
	t.Helper()
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	return int(info.Sys().(*syscall.Stat_t).Uid)
}

// room is a folder for a cluster that anybody may pass through to, as a data
// directory usually is; t.TempDir alone is closed to the user root steps down to.
func room(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.Chmod(filepath.Dir(dir), 0o711); err != nil {
		t.Fatal(err)
	}
	return dir
}

func begin(t *testing.T, dir string) *Cluster {
	t.Helper()
	c, err := Start(t.Context(), dir, slog.New(slog.DiscardHandler), "fsync=off")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Stop() }) // again, should the test end early
	return c
}

func end(t *testing.T, c *Cluster) {
	t.Helper()
	if err := c.Stop(); err != nil {
		t.Fatal(err)
	}
}

func do(t *testing.T, c *Cluster, role, sql string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), c.URL(role, Database))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	if _, err := conn.Exec(t.Context(), sql); err != nil {
		t.Fatal(err)
	}
}

func ask(t *testing.T, c *Cluster, role, sql string) (answer string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), c.URL(role, Database))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	if err := conn.QueryRow(t.Context(), sql).Scan(&answer); err != nil {
		t.Fatal(err)
	}
	return answer
}
