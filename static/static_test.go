package static

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"path"
	"regexp"
	"strings"
	"testing"
)

func get(t *testing.T, path string) *http.Response {
	t.Helper()
	rec := httptest.NewRecorder()
	Handler(true).ServeHTTP(rec, httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil))
	return rec.Result()
}

func TestEveryFileIsServedForAYear(t *testing.T) {
	for name, kind := range map[string]string{
		"css/coldrail.css":   "text/css; charset=utf-8",
		"css/print.css":      "text/css; charset=utf-8",
		"js/screens.js":      "text/javascript; charset=utf-8",
		"icons/hook-192.png": "image/png",
	} {
		url := URL(name)
		if !regexp.MustCompile(`^/static/[a-z]+/[a-z0-9.-]+\.[0-9a-f]{12}\.(css|js|png)$`).MatchString(url) {
			t.Errorf("URL(%q) = %q: no content hash in it", name, url)
		}
		res := get(t, url)
		if res.StatusCode != http.StatusOK || res.Header.Get("Content-Type") != kind {
			t.Errorf("%s: %d %q, want 200 %q", url, res.StatusCode, res.Header.Get("Content-Type"), kind)
		}
		if cache := res.Header.Get("Cache-Control"); !strings.Contains(cache, "immutable") {
			t.Errorf("%s: Cache-Control %q, want immutable: the address changes with the content", url, cache)
		}
		if set := res.Header.Get("Set-Cookie"); (set != "") != (name == screenStyle) || set != "" && !strings.Contains(set, "; Secure") {
			t.Errorf("%s sets the cookie %q", url, set)
		}
	}
}

func TestOnlyHashedAddressesExist(t *testing.T) {
	for _, path := range []string{"/static/css/coldrail.css", "/static/css/coldrail.000000000000.css",
		"/static/vendor/README.md", "/static/../static.go", "/static/"} {
		if got := get(t, path).StatusCode; got != http.StatusNotFound {
			t.Errorf("%s: %d, want 404", path, got)
		}
	}
}

func TestUnknownNamePanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a misspelt name in a template must not be served as a dead link")
		}
	}()
	URL("css/colddrail.css")
}

// vendor/README.md writes down what was fetched; the file must be exactly that.
func TestVendoredFilesMatchTheirNote(t *testing.T) {
	note, err := Read("vendor/README.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := regexp.MustCompile("`([a-z0-9.-]+\\.js)` \\|.*`([0-9a-f]{64})`").FindAllStringSubmatch(string(note), -1)
	noted := map[string]string{}
	for _, row := range rows {
		noted[row[1]] = row[2]
	}
	entries, err := files.ReadDir("vendor")
	if err != nil {
		t.Fatal(err)
	}
	scripts := 0
	for _, entry := range entries {
		if !strings.HasSuffix(entry.Name(), ".js") {
			continue
		}
		scripts++
		content, err := Read("vendor/" + entry.Name())
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(content)
		if got := hex.EncodeToString(sum[:]); got != noted[entry.Name()] {
			t.Errorf("vendor/%s has SHA-256 %s, its note says %q", entry.Name(), got, noted[entry.Name()])
		}
	}
	if scripts == 0 || scripts != len(noted) {
		t.Errorf("%d scripts, %d in the note", scripts, len(noted))
	}
}

// Nothing on a page moves by itself or slides, so that whoever asks for less motion
// (prefers-reduced-motion) has it without asking.
func TestNothingMoves(t *testing.T) {
	for _, name := range []string{"css/coldrail.css", "css/print.css", "js/coldrail.js", "js/kept.js", "js/offline.js"} {
		content, err := Read(name)
		if err != nil {
			t.Fatal(err)
		}
		if found := regexp.MustCompile(`(?i)transition:|animation:|@keyframes|scroll-behavior|behavior: *"smooth"|\.animate\(|<marquee|<blink`).Find(content); found != nil {
			t.Errorf("%s moves something: %s", name, found)
		}
	}
}

// A file goes out packed to whoever takes it so, and unpacks to the same.
func TestFilesGoPacked(t *testing.T) {
	for _, name := range []string{"css/coldrail.css", "js/screens.js"} {
		plain := served[URL(name)].content
		for takes, packed := range map[string]bool{"": false, "br": false, "gzip, br": true, "gzip;q=0": false} {
			rec, req := httptest.NewRecorder(), httptest.NewRequestWithContext(t.Context(), http.MethodGet, URL(name), nil)
			req.Header.Set("Accept-Encoding", takes)
			Handler(true).ServeHTTP(rec, req)
			body := rec.Body.Bytes()
			if got := rec.Header().Get("Content-Encoding") == "gzip"; got != packed || rec.Header().Get("Vary") != "Accept-Encoding" {
				t.Errorf("%s to %q: packed %v, want %v", name, takes, got, packed)
			} else if packed {
				zip, err := gzip.NewReader(bytes.NewReader(body))
				if err != nil {
					t.Fatal(err)
				}
				if body, err = io.ReadAll(zip); err != nil {
					t.Fatal(err)
				}
			}
			if !bytes.Equal(body, plain) {
				t.Errorf("%s to %q: other content", name, takes)
			}
		}
	}
}

// What packing makes larger goes as it is.
func TestLargerPackedIsNotSent(t *testing.T) {
	rec, req := httptest.NewRecorder(), httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/", nil)
	req.Header.Set("Accept-Encoding", "gzip")
	if got := Choose(rec, req, []byte("x"), Pack([]byte("x"))); string(got) != "x" || rec.Header().Get("Content-Encoding") != "" {
		t.Errorf("%d bytes, %q", len(got), rec.Header().Get("Content-Encoding"))
	}
}

// The one script holds every script that is ours or fetched, but the service worker's,
// each whole and once; none is served by itself as well.
func TestScreensLoadOneScript(t *testing.T) {
	one := string(served[URL("js/screens.js")].content)
	if packed := len(served[URL("js/screens.js")].packed); packed > 40_000 {
		t.Errorf("%d bytes of script, design.md allows 40 kB", packed)
	}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".js" || name == "js/sw.js" {
			return err
		}
		if strings.Count(one, string(mustRead(name))) != 1 || urls[name] != "" {
			t.Errorf("%s is not in the one script, or stands beside it", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
