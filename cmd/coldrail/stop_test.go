package main

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// A form that is on its way when the program is told to stop is still answered, by a
// database that still stands; nobody new is let in meanwhile, and the end is a good one.
func TestOpenRequestIsFinished(t *testing.T) {
	t.Parallel()
	p := startProgram(t, build(t), filepath.Join(t.TempDir(), "data"))
	p.ready(t)
	host := strings.TrimPrefix(p.address, "http://")
	conn, err := net.Dial("tcp", host)
	must(t, err)
	defer conn.Close()
	must(t, conn.SetDeadline(time.Now().Add(30*time.Second)))
	form := "initials=ZZ&password=nobody+has+this+one&device=tablet"
	fmt.Fprintf(conn, "POST /enrol HTTP/1.1\r\nHost: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: %d\r\nExpect: 100-continue\r\n\r\n", host, len(form))
	in := bufio.NewReader(conn)
	if line, err := in.ReadString('\n'); err != nil || !strings.Contains(line, "100 Continue") {
		t.Fatalf("the page does not read its form: %q, %v", line, err)
	}
	if _, err := in.ReadString('\n'); err != nil {
		t.Fatal(err)
	}
	must(t, p.cmd.Process.Signal(syscall.SIGTERM))
	for closed := false; !closed; time.Sleep(10 * time.Millisecond) {
		another, err := net.Dial("tcp", host)
		if closed = err != nil; !closed {
			another.Close()
		}
	}
	fmt.Fprint(conn, form)
	answer, err := http.ReadResponse(in, nil)
	if err != nil || answer.StatusCode != http.StatusUnprocessableEntity {
		t.Fatalf("the open form is answered %+v, %v; want 422 from a database that still stands", answer, err)
	}
	answer.Body.Close()
	select {
	case <-p.ended:
	case <-time.After(20 * time.Second):
		t.Fatal("the program does not end")
	}
	if status := p.cmd.ProcessState.ExitCode(); status != 0 {
		t.Errorf("it ended with status %d: %s", status, p.log)
	}
}
