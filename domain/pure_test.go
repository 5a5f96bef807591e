package domain

import (
	"os/exec"
	"strings"
	"testing"
)

// The standard packages that cannot reach a clock's ticking, a file or a
// network on their own. Package time is here for its types; now is an argument.
var allowed = map[string]bool{
	"bytes": true, "cmp": true, "crypto/sha256": true, "crypto/subtle": true, "encoding/hex": true, "encoding/binary": true, "encoding/json": true, "errors": true,
	"fmt": true, "iter": true, "maps": true, "math": true, "math/bits": true, "math/cmplx": true, "slices": true, "sort": true,
	"container/heap": true, "regexp": true, "strconv": true, "strings": true, "sync": true, "time": true, "unicode": true, "unicode/utf16": true, "unicode/utf8": true,
}

// The domain must run on a plane: no database, no web, no clock, no files.
func TestDomainIsPure(t *testing.T) {
	out, err := exec.Command("go", "list", "-f",
		`{{range .Imports}}{{$.ImportPath}} {{.}}{{"\n"}}{{end}}`, "./...").Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := 0
	for line := range strings.Lines(string(out)) {
		pkg, imp, ok := strings.Cut(strings.TrimSpace(line), " ")
		if !ok {
			continue
		}
		lines++
		if !allowed[imp] && !strings.HasPrefix(imp, "coldrail/domain") {
			t.Errorf("%s imports %s; move that code to db, web or cmd", pkg, imp)
		}
	}
	if lines == 0 {
		t.Fatal("go list printed no imports: this test saw nothing")
	}
}

// Calling the clock needs only package time, so it is looked for by name.
func TestDomainAsksNoClock(t *testing.T) {
	out, err := exec.Command("grep", "-rnE", `\btime\.(Now|Since|Until|Sleep|After|Tick)\(`, "--include=*.go", "--exclude=*_test.go", ".").CombinedOutput()
	if err == nil {
		t.Errorf("the domain reads the clock; make now an argument:\n%s", out)
	}
	if len(out) > 0 && err != nil {
		t.Fatalf("grep: %v: %s", err, out)
	}
}
