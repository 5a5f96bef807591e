package web_test

import (
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"coldrail/web/webtest"

	"github.com/go-chi/chi/v5"
)

// address is a path as a page's source writes it, whole or up to what is put behind it.
var address = regexp.MustCompile(`(?:href=|action=|hx-get=|Redirect\(w, r, |PrintLink\(|ActButton\(|([A-Z]\w+): +)"(/[a-z][a-z/.-]*)"`)

// named are addresses that stand for a value of their route.
var named = map[string]string{"/office/rules/new": "/office/rules/{rule}"}

// Every address that a page's source writes out is one the program answers: a link that
// leads to "no such animal" is found here and not at the counter.
func TestEveryAddressIsAnswered(t *testing.T) {
	t.Parallel()
	patterns := map[string]bool{}
	var begins []string
	err := chi.Walk(webtest.Open(t).Routes(), func(_, pattern string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		patterns[pattern] = true
		begins = append(begins, pattern)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	err = filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(path, "_templ.go") || strings.HasSuffix(path, "_test.go") || filepath.Ext(path) != ".go" && filepath.Ext(path) != ".templ" {
			return err
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range address.FindAllStringSubmatch(string(source), -1) {
			found++
			if m[1] != "Path" && !patterns[named[m[2]]] && !answered(m[2], patterns, begins) {
				t.Errorf("%s leads to %s, which the program does not answer", path, m[2])
			}
		}
		return nil
	})
	if err != nil || found < 100 {
		t.Fatalf("%d addresses found, %v", found, err)
	}
}

// answered: a whole address is a route as it stands, one that goes on the beginning of one.
func answered(at string, patterns map[string]bool, begins []string) bool {
	if patterns[at] {
		return true
	}
	if !strings.HasSuffix(at, "/") {
		return false
	}
	for _, b := range begins {
		if strings.HasPrefix(b, at) {
			return true
		}
	}
	return false
}
