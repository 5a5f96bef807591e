package cluster

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"golang.org/x/sys/unix"
)

// initialise makes the cluster if there is none. It grows in data.init and gets
// its name when it is whole, so a first start cut short leaves no half cluster.
func initialise(ctx context.Context, bin, data string, who as, log *slog.Logger) error {
	if _, err := os.Stat(data); !errors.Is(err, os.ErrNotExist) {
		return err
	}
	growing := data + ".init"
	if err := evict(ctx, growing); err != nil {
		return err
	}
	log.InfoContext(ctx, "making the database, once", "dir", data)
	out, err := initdb(ctx, bin, growing, who, "C.UTF-8")
	if err != nil && strings.Contains(out, "invalid locale") {
		out, err = initdb(ctx, bin, growing, who, "C") // C.UTF-8 is missing on musl
	}
	if err != nil {
		return fmt.Errorf("make the database with %s/initdb: %w: %s", bin, err, strings.TrimSpace(out))
	}
	if err := flush(growing); err != nil {
		return err
	}
	if err := os.Rename(growing, data); err != nil {
		return err
	}
	return flush(filepath.Dir(data))
}

// initdb runs on an empty folder of its own. It syncs nothing file by file;
// flush does that once.
func initdb(ctx context.Context, bin, dir string, who as, locale string) (string, error) {
	if err := os.RemoveAll(dir); err != nil {
		return "", err
	}
	if err := who.folder(dir); err != nil {
		return "", err
	}
	var out bytes.Buffer
	cmd := command(bin, who, syscall.SIGKILL, "initdb", "-D", dir, "-U", Owner, "-E", "UTF8", "--locale="+locale,
		"--data-checksums", "--no-sync", "--no-instructions", "--auth-local=peer", "--auth-host=reject")
	cmd.Stdout, cmd.Stderr = &out, &out
	// A child is tied to the thread that made it, so this must not run on a
	// thread that Go may retire: see process.
	done := make(chan error, 1)
	if err := onOneThread(cmd.Start, func() { done <- cmd.Wait() }); err != nil {
		return "", err
	}
	select {
	case err := <-done:
		return out.String(), err
	case <-ctx.Done():
		cmd.Process.Kill()
		<-done
		return "", ctx.Err()
	}
}

// flush puts everything on dir's file system to disk.
func flush(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return unix.Syncfs(int(d.Fd()))
}

// letIn writes who may connect: root, whoever runs the program and the owner of
// the cluster, each as either role, over the socket. It is written at every
// start, since the program may run under another name than last time.
func letIn(data string, who as) error {
	names := []string{"root", who.name}
	if me, err := named(fmt.Sprint(os.Geteuid())); err == nil {
		names = append(names, me.name)
	}
	var ident strings.Builder
	for _, n := range names {
		if strings.ContainsAny(n, "\"\n") || strings.HasPrefix(n, "/") {
			return fmt.Errorf("the user name %q cannot be written into PostgreSQL's list of users: set DATABASE_URL", n)
		}
		for _, role := range []string{Owner, App} {
			fmt.Fprintf(&ident, "coldrail \"%s\" %s\n", n, role)
		}
	}
	hba := "local all " + Owner + "," + App + " peer map=coldrail\n"
	for name, text := range map[string]string{"pg_hba.conf": hba, "pg_ident.conf": ident.String()} {
		if err := replace(filepath.Join(data, name), text, who); err != nil {
			return err
		}
	}
	return nil
}

// replace swaps a file whole, so a crash never leaves half of it.
func replace(path, text string, who as) error {
	next := path + ".next"
	if err := os.WriteFile(next, []byte(text), 0o600); err != nil {
		return err
	}
	if os.Geteuid() == 0 {
		if err := os.Chown(next, who.uid, who.gid); err != nil {
			return err
		}
	}
	return os.Rename(next, path)
}
