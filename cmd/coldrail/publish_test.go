package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"coldrail/db/dbtest"
)

// The owners' pages go out by the command line; asking wrongly is told.
func TestPublishCommand(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.HangDeer(t, 1, 1)
	url, dir := dbtest.Owner(t, s.DB).Config().ConnString(), filepath.Join(t.TempDir(), "pages")
	taken := filepath.Join(t.TempDir(), "taken")
	must(t, os.MkdirAll(taken, 0o700))
	must(t, os.WriteFile(filepath.Join(taken, "robots.txt"), []byte("ours"), 0o600))
	for _, tt := range []struct {
		name   string
		args   []string
		status int
		says   string
	}{
		{"no directory", []string{"publish"}, 2, "one directory"},
		{"two", []string{"publish", dir, taken}, 2, "one directory"},
		{"too often", []string{"publish", dir, "--every", "1s"}, 2, "at least 10s"},
		{"no time", []string{"publish", "--every", "often", dir}, 2, "publish:"},
		{"written", []string{"publish", dir}, 0, "1 pages of owners"},
		{"nothing new", []string{"publish", dir}, 0, "0 files written, 0 removed"},
		{"a stranger's robots", []string{"publish", taken}, 0, "left as they are: robots.txt"},
	} {
		if status, said := told(t, url, tt.args...); status != tt.status || !strings.Contains(said, tt.says) {
			t.Errorf("%s: status %d, want %d: %s", tt.name, status, tt.status, said)
		}
	}
}
