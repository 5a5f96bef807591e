// Package static holds the files a browser fetches beside the pages: the two
// stylesheets, the little script we write, the icons, and the libraries we ship. They are
// embedded in the binary, and every address carries a hash of the content, so
// that a browser may keep a file for a year and still gets a new one at once.
package static

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"
)

//go:embed css icons js vendor
var files embed.FS

// root is the path under which Handler expects to be mounted.
const root = "/static/"

// types are written out because a machine's own table may lack or bend them,
// and browsers refuse a script that calls itself text.
var types = map[string]string{
	".css": "text/css; charset=utf-8",
	".js":  "text/javascript; charset=utf-8",
	".svg": "image/svg+xml",
	".png": "image/png",
}

// screens are the scripts of the shop's screens, in the order they build on each other.
// They go out as one file, js/screens.js: on a slow line each file would take its share
// from the stylesheet, and the first words wait for that.
var screens = []string{"vendor/htmx-2.0.11.min.js", "js/coldrail.js", "vendor/idb-8.0.4.min.js", "js/kept.js", "js/drafts.js", "js/offline.js"}

// file is one embedded file, ready to be sent, plain and packed.
type file struct {
	content, packed []byte
	kind            string
}

var urls, served = index()

// index gives every embedded file its hashed address. It runs once, at start.
func index() (map[string]string, map[string]file) {
	urls, served := map[string]string{}, map[string]file{}
	serve := func(name string, content []byte) {
		if path.Ext(name) == ".css" {
			content = []byte(packStyle(string(content)))
		}
		sum, ext := sha256.Sum256(content), path.Ext(name)
		hashed := strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:6]) + ext
		urls[name] = root + hashed
		served[root+hashed] = file{content, Pack(content), types[ext]}
	}
	var together [][]byte
	for _, name := range screens {
		together = append(together, mustRead(name))
	}
	serve("js/screens.js", bytes.Join(together, []byte("\n;\n")))
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err == nil && types[path.Ext(name)] != "" && !slices.Contains(screens, name) {
			serve(name, mustRead(name)) // licences and notes are embedded but not served
		}
		return err
	})
	if err != nil {
		panic(fmt.Sprintf("static: embedded files cannot be read: %v", err))
	}
	return urls, served
}

// mustRead reads a file that was embedded when the program was built.
func mustRead(name string) []byte {
	content, err := files.ReadFile(name)
	if err != nil {
		panic(fmt.Sprintf("static: %s is not embedded: %v", name, err))
	}
	return content
}

// URL returns the address of an embedded file, for instance
// "css/coldrail.css" -> "/static/css/coldrail.0123456789ab.css". A name that is
// not embedded is a mistake in a template and panics.
func URL(name string) string {
	url, ok := urls[name]
	if !ok {
		panic(fmt.Sprintf("static: no file %q is embedded", name))
	}
	return url
}

// Read returns the content of an embedded file, for the few that need an
// address without a hash, such as the service worker.
func Read(name string) ([]byte, error) { return files.ReadFile(name) }

// Handler serves the files below /static/. Only hashed addresses exist, so
// everything may be kept for a year. secure keeps the cookie about it to HTTPS.
func Handler(secure bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f, ok := served[r.URL.Path]
		if !ok {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", f.kind)
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		w.Header().Set("X-Content-Type-Options", "nosniff")
		if r.URL.Path == URL(screenStyle) {
			http.SetCookie(w, &http.Cookie{Name: styleCookie, Value: r.URL.Path, Path: "/", MaxAge: 31536000, HttpOnly: true, Secure: secure, SameSite: http.SameSiteLaxMode})
		}
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(Choose(w, r, f.content, f.packed)))
	})
}
