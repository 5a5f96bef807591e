package web_test

import (
	"bytes"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web"
)

// Behind the shop's proxy each phone is counted by itself, and one that asks too
// often waits; who comes past the proxy cannot say that they are somebody else.
func TestPhonesBehindAProxyAreCountedApart(t *testing.T) {
	t.Parallel()
	shop := dbtest.OpenShop(t)
	var log bytes.Buffer
	ask := func(proxies ...netip.Prefix) func(from, says string) int {
		site, err := web.New(t.Context(), web.Config{DB: shop.DB, Now: noon, Log: slog.New(slog.NewTextHandler(&log, nil)), Proxies: proxies})
		if err != nil {
			t.Fatal(err)
		}
		return func(from, says string) int {
			r, answer := httptest.NewRequest(http.MethodGet, "/s", nil), httptest.NewRecorder()
			r.RemoteAddr = from + ":4000"
			r.Header.Set("X-Forwarded-For", says)
			site.ServeHTTP(answer, r)
			return answer.Code
		}
	}
	behind, plain := ask(netip.MustParsePrefix("192.0.2.0/28")), ask()
	count := func(of func(from, says string) int, from, says string) (let int) {
		for i := range 100 {
			if of(from, strings.ReplaceAll(says, "#", fmt.Sprint(i))) == http.StatusOK {
				let++
			}
		}
		return let
	}
	for _, tt := range []struct {
		what       string
		of         func(from, says string) int
		from, says string
		let        int
	}{
		{"a hundred phones through the proxy", behind, "192.0.2.1", "203.0.113.#", 100},
		{"one phone through the proxy", behind, "192.0.2.1", "198.51.100.7", 60},
		{"one phone that puts others in front of itself", behind, "192.0.2.1", "203.0.113.#, 198.51.100.8", 60},
		{"somebody who goes past the proxy and names others", behind, "198.51.100.9", "203.0.113.#", 60},
		{"no proxy is known", plain, "192.0.2.1", "203.0.113.#", 60},
	} {
		if got := count(tt.of, tt.from, tt.says); got != tt.let {
			t.Errorf("%s: %d of 100 answered, want %d", tt.what, got, tt.let)
		}
	}
	if n := strings.Count(log.String(), "COLDRAIL_PROXY"); n != 1 {
		t.Errorf("told %d times that a proxy is not named: %s", n, log.String())
	}
}
