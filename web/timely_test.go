package web

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"
)

// Every request has an end on the server's side (OWASP ASVS 5.0, V15.2), but for
// the stream of changes.
func TestEveryRequestEnds(t *testing.T) {
	for path, ends := range map[string]bool{"/rail": true, "/animals/26-0001-1": true, "/live": false} {
		req := httptest.NewRequest(http.MethodGet, path, nil)
		timely(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			at, has := r.Context().Deadline()
			if has != ends || has && time.Until(at) > longest {
				t.Errorf("%s: ends %v at %v", path, has, at)
			}
		})).ServeHTTP(httptest.NewRecorder(), req)
	}
}
