package main

import (
	"os"
	"strings"
	"testing"
	"time"
)

// The example for systemd starts a command that exists, sets only what the
// program reads, and leaves it longer to stop than it takes.
func TestSystemdUnit(t *testing.T) {
	text, err := os.ReadFile("coldrail.service")
	must(t, err)
	known := map[string]bool{}
	for _, s := range settings {
		known[s.name] = true
	}
	seen := map[string]string{}
	for line := range strings.Lines(string(text)) {
		key, value, ok := strings.Cut(strings.TrimSpace(line), "=")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		seen[key] = value
		if name, _, _ := strings.Cut(value, "="); key == "Environment" && !known[name] {
			t.Errorf("it sets %s, which the program does not read", name)
		}
	}
	words := strings.Fields(seen["ExecStart"])
	if len(words) < 2 || commands()[words[1]].run == nil {
		t.Errorf("it starts %q", seen["ExecStart"])
	}
	if stop, err := time.ParseDuration(seen["TimeoutStopSec"] + "s"); err != nil || stop < 20*time.Second {
		t.Errorf("it waits %s for the end, %v", stop, err)
	}
	// A database that the program started must not be killed beside it.
	if seen["KillMode"] != "mixed" || seen["User"] == "" || seen["User"] == "root" {
		t.Errorf("KillMode %s, User %s", seen["KillMode"], seen["User"])
	}
}
