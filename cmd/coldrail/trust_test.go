package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The start names what tablets cannot use; the command alone makes way for a new
// authority, and says that each device must trust it.
func TestNewAuthorityIsAskedFor(t *testing.T) {
	t.Parallel()
	if got := (safety{}).leftOut(); got != "" {
		t.Errorf("nothing is left out: %q", got)
	}
	if got := (safety{outside: []string{"shop.example"}}).leftOut(); !strings.Contains(got, "cannot use shop.example") || !strings.Contains(got, "coldrail trust --new") {
		t.Errorf("left out: %q", got)
	}
	data := t.TempDir()
	old := filepath.Join(data, "certificates", "authority.crt")
	if err := os.MkdirAll(filepath.Dir(old), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(old, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	env := func(name string) string { return map[string]string{"COLDRAIL_DATA": data}[name] }
	var out, report strings.Builder
	if status := run(t.Context(), []string{"trust"}, env, nil, &out, &report); status != statusUsage {
		t.Errorf("without --new: status %d, %s", status, report.String())
	}
	if _, err := os.Stat(old); err != nil {
		t.Errorf("it went without being asked for: %v", err)
	}
	if status := run(t.Context(), []string{"trust", "--new"}, env, nil, &out, &report); status != statusOK || !strings.Contains(out.String(), "each must trust the new one") {
		t.Errorf("status %d, %s%s", status, out.String(), report.String())
	}
	if _, err := os.Stat(old); err == nil {
		t.Error("the old authority is still in use")
	}
}
