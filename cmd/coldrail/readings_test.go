package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"coldrail/db/dbtest"
)

// A logger's file goes in from the command line, and a room's record is longer.
func TestReadings(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	url := dbtest.Owner(t, s.DB).Config().ConnString()
	env := func(name string) string {
		if name == "DATABASE_URL" {
			return url
		}
		return ""
	}
	torn := filepath.Join(t.TempDir(), "torn.csv")
	if err := os.WriteFile(torn, []byte("time,temp F\n2026-11-07 19:10,38.5\n2026-1"), 0o600); err != nil {
		t.Fatal(err)
	}
	const gap = "../../testdata/logger/fahrenheit_gap.csv"
	for _, tt := range []struct {
		name   string
		args   []string
		status int
		says   string
	}{
		{"no sensor", []string{gap}, 2, "--sensor"},
		{"no file", []string{"--sensor", "pencil"}, 2, "one file"},
		{"kelvin", []string{"--sensor", "pencil", "--unit", "K", gap}, 2, "F or C"},
		{"a file that is not there", []string{"--sensor", "pencil", "nowhere.csv"}, 2, "cannot be opened"},
		{"a sensor nobody has", []string{"--sensor", "pencil", gap}, 1, "no sensor called pencil"},
		{"a room nobody has", []string{"--sensor", "pencil", "--create", "attic", gap}, 1, "no room called attic"},
		{"a torn file", []string{"--sensor", "pencil", "--create", "main", torn}, 2, "Line 3"},
		{"the wrong unit", []string{"--sensor", "pencil", "--create", "main", "--unit", "c", gap}, 2, "Line 4 says °F"},
		{"the first time", []string{"--sensor", "pencil", "--create", "main", gap}, 0, "Read 103 rows for the room \"main\", kept 103, left out 0."},
		{"the second time", []string{"--sensor", "pencil", gap}, 1, "is in already"},
		{"junk", []string{"--sensor", "other", "--create", "main", "../../testdata/logger/power_up.csv"}, 0, "5 no temperature a room can have"},
	} {
		var out, report bytes.Buffer
		status := run(t.Context(), append([]string{"readings"}, tt.args...), env, strings.NewReader(""), &out, &report)
		if said := out.String() + report.String(); status != tt.status || !strings.Contains(said, tt.says) {
			t.Errorf("%s: status %d, want %d: %s", tt.name, status, tt.status, said)
		}
		if tt.name == "the first time" && !strings.Contains(out.String(), "Nobody watched from Wed Nov 18 2026 01:00 to Wed Nov 18 2026 08:00: 7.0 hours.") {
			t.Errorf("the gap is not told: %s", out.String())
		}
	}
}
