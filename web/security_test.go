package web_test

import (
	"io"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/static"
	"coldrail/web"
	"coldrail/web/webtest"
)

// What every answer carries (OWASP ASVS 5.0, V3.4): only our own files may run, no
// other site may frame a page, nothing is guessed about a type.
func TestEveryAnswerIsGuarded(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	for _, path := range []string{"/", "/rail", "/enrol", "/s/none", "/nowhere", "/healthz", "/static/none", "/office"} {
		h := bob.Get(path).Header
		csp := h.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'self'"} {
			if !strings.Contains(csp, part) {
				t.Errorf("%s: the policy lacks %s: %q", path, part, csp)
			}
		}
		if strings.Contains(csp, "unsafe") || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "same-origin" {
			t.Errorf("%s: %v", path, h)
		}
	}
}

// The first page of a device brings its style inside, which the policy lets stand; from
// when it has fetched the file, pages link to it. A part of a page brings none, nor does
// one that fetched the file of another release.
func TestFirstPageBringsItsStyle(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	style, link := "<style>"+static.ScreenStyle+"</style>", static.URL("css/coldrail.css")
	for name, tt := range map[string]struct {
		header http.Header
		inside bool
	}{
		"nothing kept":       {nil, true},
		"an older release's": {http.Header{"Cookie": {"style=/static/css/coldrail.000000000000.css"}}, true},
		"kept":               {http.Header{"Cookie": {"style=" + link}}, false},
		"a part of the page": {http.Header{"Hx-Request": {"true"}}, false},
	} {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+"/enrol", nil)
		if err != nil {
			t.Fatal(err)
		}
		maps.Copy(req.Header, tt.header)
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(res.Body)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(string(body), style); got != tt.inside || !strings.Contains(string(body), link) || !strings.Contains(res.Header.Get("Content-Security-Policy"), static.ScreenStyleHash) {
			t.Errorf("%s: style inside %v, want %v, policy %q", name, got, tt.inside, res.Header.Get("Content-Security-Policy"))
		}
	}
	first := s.Nobody(t)
	if set := first.Get(link).Header.Get("Set-Cookie"); !strings.HasPrefix(set, "style="+link+";") || !strings.Contains(set, "HttpOnly") {
		t.Errorf("the file sets %q", set)
	}
	if strings.Contains(first.Get("/enrol").Body, "<style>") {
		t.Error("a device that has the file is sent it again")
	}
}

// A device's cookie is out of a script's reach and stays within the site; over
// HTTPS it is kept to it, and so is the browser (V3.3, V7.2, V12.1).
func TestCookieIsKept(t *testing.T) {
	t.Parallel()
	shop := dbtest.OpenShop(t)
	for secure, name := range map[bool]string{false: "coldrail", true: "__Host-coldrail"} {
		site, err := web.New(t.Context(), web.Config{DB: shop.DB, Now: noon, Log: slog.New(slog.DiscardHandler), Secure: secure})
		if err != nil {
			t.Fatal(err)
		}
		form := url.Values{"initials": {"AK"}, "password": {"correct horse battery"}, "device": {"tablet"}}
		req := httptest.NewRequest(http.MethodPost, "/enrol", strings.NewReader(form.Encode()))
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		answer := httptest.NewRecorder()
		site.ServeHTTP(answer, req)
		cookies := answer.Result().Cookies()
		if len(cookies) != 1 || cookies[0].Name != name || cookies[0].Path != "/" || cookies[0].Domain != "" || !cookies[0].HttpOnly || cookies[0].Secure != secure || cookies[0].SameSite != http.SameSiteLaxMode {
			t.Errorf("secure %v: %+v", secure, cookies)
		}
		if hsts := answer.Header().Get("Strict-Transport-Security"); (hsts != "") != secure {
			t.Errorf("secure %v: %q", secure, hsts)
		}
	}
}

// A form of two megabytes is nobody's; and a stranger sends no picture either.
func TestTooMuchIsRefused(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, much := s.As(t, s.Bob), strings.Repeat("x", 2<<20)
	bob.Post("/animals/"+string(dbtest.Tag(1))+"/call", url.Values{"said": {much}}).Wants(t, http.StatusUnprocessableEntity)
	a := s.Nobody(t).PostWith("/enrol", url.Values{}, "picture", []byte(much))
	if a.Status != http.StatusUnprocessableEntity && a.Status != http.StatusRequestEntityTooLarge {
		t.Errorf("a stranger's picture is answered %d", a.Status)
	}
}

// Neither a PIN nor a password nor a hunter's phone stands in the log, at its most
// talkative (V16.2).
func TestLogHoldsNoSecret(t *testing.T) {
	t.Parallel()
	shop := dbtest.OpenShop(t)
	out, in := io.Pipe()
	text := make(chan string)
	go func() {
		all, _ := io.ReadAll(out)
		text <- string(all)
	}()
	site, err := web.New(t.Context(), web.Config{DB: shop.DB, Now: noon, Log: slog.New(slog.NewJSONHandler(in, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	if err != nil {
		t.Fatal(err)
	}
	for _, form := range []url.Values{
		{"initials": {"AK"}, "password": {"wrong horse battery"}, "device": {"tablet"}},
		{"initials": {"AK"}, "password": {"correct horse battery"}, "device": {"tablet"}},
	} {
		req := httptest.NewRequest(http.MethodPost, "/enrol?pin=4711&phone=5550142", strings.NewReader(form.Encode()))
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		site.ServeHTTP(httptest.NewRecorder(), req)
	}
	in.Close()
	log := <-text
	if !strings.Contains(log, "/enrol") {
		t.Fatalf("the log tells of no request: %s", log)
	}
	for _, secret := range []string{"horse", "4711", "5550142"} {
		if strings.Contains(log, secret) {
			t.Errorf("the log holds %q: %s", secret, log)
		}
	}
}
