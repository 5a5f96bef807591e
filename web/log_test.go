package web_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web"
	"coldrail/web/hunter"

	"github.com/google/uuid"
)

// An owner's private link opens the owner's page to whoever holds it, so the log
// must hold it at no level, neither of a page that answers nor of one that fails.
func TestPrivateLinkNeverReachesTheLog(t *testing.T) {
	t.Parallel()
	d := dbtest.Open(t)
	var log bytes.Buffer
	site, err := web.New(t.Context(), web.Config{DB: d, Now: noon, PublicURL: "http://coldrail.example",
		Log: slog.New(slog.NewJSONHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	if err != nil {
		t.Fatal(err)
	}
	token := strings.TrimPrefix(hunter.Link("", make([]byte, 32), uuid.Must(uuid.NewV7()), 1), "/s/")
	ask := func(path string) int {
		answer := httptest.NewRecorder()
		site.ServeHTTP(answer, httptest.NewRequest(http.MethodGet, path, nil))
		return answer.Code
	}
	if code := ask("/s/" + token); code != http.StatusNotFound {
		t.Errorf("a link nobody was given answers %d", code)
	}
	if code := ask("/s/" + token + "/more"); code != http.StatusNotFound {
		t.Errorf("an address behind a link answers %d", code)
	}
	d.Close() // now every page fails and is logged with its address
	if code := ask("/s/" + token); code != http.StatusInternalServerError {
		t.Fatalf("with the database gone a link answers %d: this test saw no failing page", code)
	}
	if !strings.Contains(log.String(), "page failed") {
		t.Fatalf("the failing page was not logged:\n%s", log.String())
	}
	if strings.Contains(log.String(), token) {
		t.Errorf("the log holds the link:\n%s", log.String())
	}
}
