package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// How many faults are made: one of each kind here, at least 200 by `make faults`.
var faults = flag.Int("faults", 7, "how many faults TestFaults makes")

// The program under load, again and again: killed, its database killed, both,
// the disk full, connections cut on either side, the clock moved. After each
// fault every acknowledged write stands once, the register's chain is whole and no
// animal is half there.
func TestFaults(t *testing.T) {
	s := openTrouble(t)
	crowd := s.work(t, 4)
	count, slow := map[string]int{}, map[string][]time.Duration{}
	for n := range *faults {
		f := troubles[n%len(troubles)]
		time.Sleep(time.Duration(100+rand.IntN(400)) * time.Millisecond)
		began := time.Now()
		f.strike(t, s)
		s.program.ready(t)
		slow[f.name] = append(slow[f.name], time.Since(began))
		s.check(t, fmt.Sprintf("fault %d, %s", n+1, f.name), crowd)
		if count[f.name]++; t.Failed() {
			t.Fatalf("stopped at fault %d: %s\n%s", n+1, f.name, s.program.log)
		}
	}
	crowd.stop()
	s.check(t, "the end", crowd)
	for name, n := range count {
		slices.Sort(slow[name])
		t.Logf("%-30s %4d times, from the fault until all works again %s (median), %s (longest)", name, n,
			slow[name][n/2].Round(time.Millisecond), slow[name][n-1].Round(time.Millisecond))
	}
	acts, again, cut := crowd.counts()
	t.Logf("%d faults; %d writes acknowledged, each there once; %d requests lost their answer and were sent again, %d of them cut by the phone; disk filled by %s",
		*faults, acts, again, cut, s.disk.how)
	if acts < 10**faults || again < *faults/2 {
		t.Errorf("the load was too small to prove anything: %d writes, %d sent again", acts, again)
	}
}

// fault is one kind of trouble.
type fault struct {
	name   string
	strike func(t *testing.T, s *trouble)
}

var troubles = []fault{
	{"program killed", func(t *testing.T, s *trouble) { s.program.kill(t); s.start(t) }},
	{"database killed", func(t *testing.T, s *trouble) { killDatabase(t, s.data) }},
	{"program and database killed", func(t *testing.T, s *trouble) {
		must(t, syscall.Kill(databasePid(t, s.data), syscall.SIGKILL))
		s.program.kill(t)
		s.start(t)
	}},
	{"disk full", func(t *testing.T, s *trouble) { s.disk.full(t, time.Duration(200+rand.IntN(600))*time.Millisecond) }},
	{"database connections cut", func(t *testing.T, s *trouble) {
		s.ask(t, func(c *pgx.Conn) error {
			_, err := c.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'coldrail'`)
			return err
		})
	}},
	{"phones' connections cut", func(_ *testing.T, s *trouble) { s.cut.Store(int64(8 + rand.IntN(8))) }},
	{"clock moved", func(t *testing.T, s *trouble) { s.moveClock(t) }},
}

// moveClock sets the program's clock wrong by up to two hours either way.
func (s *trouble) moveClock(t *testing.T) {
	t.Helper()
	off := time.Duration(rand.IntN(240)-120) * time.Minute
	must(t, os.WriteFile(s.clock+".new", []byte(off.String()), 0o644))
	must(t, os.Rename(s.clock+".new", s.clock)) // never half written
}

// start begins the program anew at its old address.
func (s *trouble) start(t *testing.T) {
	t.Helper()
	s.program = startProgram(t, s.binary, s.data, "COLDRAIL_ADDR="+s.address, "COLDRAIL_CLOCK_FILE="+s.clock)
}
