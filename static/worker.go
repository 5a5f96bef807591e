package static

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
)

// Worker serves the service worker: its script behind the list of every hashed
// address, so that a new release is a new worker.
func Worker() http.Handler {
	list, err := json.Marshal(slices.Sorted(maps.Values(urls)))
	if err != nil {
		panic(err) // strings only
	}
	script := mustRead("js/sw.js")
	sum := sha256.Sum256(append(list, script...))
	text := fmt.Appendf(nil, "const VERSION = %q, LIST = %s;\n%s", hex.EncodeToString(sum[:6]), list, script)
	return plain("text/javascript; charset=utf-8", text)
}

// Manifest serves what a tablet needs to install the round as an app of the
// shop's.
func Manifest(shop func(*http.Request) string) http.Handler {
	type icon struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose"`
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		text, err := json.Marshal(map[string]any{
			"name": shop(r), "short_name": "Coldrail", "id": "/round", "start_url": "/round", "scope": "/", "display": "standalone",
			"background_color": "#f6f2ea", "theme_color": "#f6f2ea",
			"icons": []icon{
				{URL("icons/hook.svg"), "any", "image/svg+xml", "any maskable"},
				{URL("icons/hook-192.png"), "192x192", "image/png", "any maskable"},
				{URL("icons/hook-512.png"), "512x512", "image/png", "any maskable"},
			},
		})
		if err != nil {
			panic(err) // strings only
		}
		plain("application/manifest+json", text).ServeHTTP(w, r)
	})
}

// plain serves a text that changes with the release and has a fixed address.
func plain(kind string, text []byte) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Cache-Control", "no-cache")
		_, _ = w.Write(text) // fails only if the visitor has gone
	})
}
