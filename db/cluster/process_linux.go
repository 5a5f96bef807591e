package cluster

import (
	"bufio"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"time"
)

// process is postgres, our child.
type process struct {
	cmd  *exec.Cmd
	done chan struct{} // closed when it has ended and its last line is read

	mu   sync.Mutex
	tail []string // the last lines it wrote, for the error message
}

// command prepares one of PostgreSQL's programs: away from the caller's folder,
// which may be closed to its user, and from every PG* variable.
func command(bin string, who as, deathSignal syscall.Signal, name string, args ...string) *exec.Cmd {
	cmd := exec.Command(filepath.Join(bin, name), args...)
	cmd.Dir = "/"
	cmd.Env = []string{"PATH=" + bin + ":/usr/bin:/bin", "LC_ALL=C", "TZ=UTC"}
	cmd.SysProcAttr = who.attributes(deathSignal)
	return cmd
}

// onOneThread starts a child and waits for it on a thread that lives as long as
// the child does: the kernel sends the death signal when the forking *thread*
// ends, not the program.
func onOneThread(start func() error, wait func()) error {
	started := make(chan error)
	go func() {
		runtime.LockOSThread() // never unlocked: the thread ends with this function
		err := start()
		started <- err
		if err == nil {
			wait()
		}
	}()
	return <-started
}

// launch starts postgres on data. The kernel sends it SIGINT, a fast and clean
// shutdown, should we be killed.
func launch(bin, data, socket string, who as, log *slog.Logger, settings []string) (*process, error) {
	settings = append([]string{
		"listen_addresses=", "port=" + port, "timezone=UTC", "log_timezone=UTC", "cluster_name=coldrail",
		"logging_collector=off", "log_destination=stderr", "ssl=off",
		"jit=off", // our queries are short: compiling one takes longer than running it
	}, settings...)
	args := []string{"-D", data, "-k", socket}
	for _, s := range settings {
		args = append(args, "-c", s)
	}
	r, w, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	p := &process{cmd: command(bin, who, syscall.SIGINT, "postgres", args...), done: make(chan struct{})}
	p.cmd.Stdout, p.cmd.Stderr = w, w
	ended := make(chan struct{})
	err = onOneThread(p.cmd.Start, func() { p.cmd.Wait(); close(ended) })
	w.Close()
	if err != nil {
		r.Close()
		return nil, fmt.Errorf("start %s/postgres: %w", bin, err)
	}
	go func() {
		p.listen(r, log)
		<-ended
		close(p.done)
	}()
	return p, nil
}

// listen passes on what postgres writes: for those who debug, save a panic,
// since what goes wrong for one connection is answered to that connection.
func (p *process) listen(r io.ReadCloser, log *slog.Logger) {
	defer r.Close()
	for lines := bufio.NewScanner(r); lines.Scan(); {
		line := lines.Text()
		if strings.Contains(line, "PANIC:") {
			log.Error("postgres", "line", line)
		} else {
			log.Debug("postgres", "line", line)
		}
		p.mu.Lock()
		p.tail = append(p.tail, line)
		p.tail = p.tail[max(0, len(p.tail)-20):]
		p.mu.Unlock()
	}
}

func (p *process) lastWords() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return strings.Join(p.tail, "; ")
}

// stop asks for a fast shutdown, then for an immediate one, then ends it.
func (p *process) stop() error {
	for _, s := range []struct {
		signal syscall.Signal
		wait   time.Duration
	}{{syscall.SIGINT, 8 * time.Second}, {syscall.SIGQUIT, 3 * time.Second}, {syscall.SIGKILL, 3 * time.Second}} {
		p.cmd.Process.Signal(s.signal) // an error means it has ended already
		select {
		case <-p.done:
			return nil
		case <-time.After(s.wait):
		}
	}
	return fmt.Errorf("PostgreSQL (process %d) does not end", p.cmd.Process.Pid)
}
