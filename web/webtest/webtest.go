// Package webtest serves the whole site on a real database to tests of pages:
// they ask as the people of the shop would and look at what comes back.
package webtest

import (
	"bytes"
	"errors"
	"io"
	"log/slog"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/static"
	"coldrail/web"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// Site is the whole site over a small working shop, with a clock that a test
// sets. It starts at dbtest.Noon.
type Site struct {
	*dbtest.Shop
	URL string
	now atomic.Pointer[time.Time]

	handler http.Handler
	server  *httptest.Server
}

// Open starts the site for this test alone.
func Open(t testing.TB) *Site {
	t.Helper()
	shop := dbtest.OpenShop(t)
	s := Serve(t, shop.DB, dbtest.Noon)
	s.Shop = shop
	return s
}

// Serve starts the site on a database of the caller's, at a moment.
func Serve(t testing.TB, d *db.DB, now time.Time) *Site {
	t.Helper()
	s := &Site{Shop: &dbtest.Shop{DB: d}}
	s.SetNow(now)
	handler, err := web.New(t.Context(), web.Config{DB: s.DB, Now: s.Now, Log: slog.New(slog.DiscardHandler), PublicURL: "http://coldrail.example",
		Changes: s.DB.Listen(t.Context())})
	if err != nil {
		t.Fatal(err)
	}
	s.handler, s.server = handler, httptest.NewServer(handler)
	t.Cleanup(func() { s.server.Close() })
	s.URL = s.server.URL
	return s
}

// Routes are the site's addresses.
func (s *Site) Routes() chi.Routes { return s.handler.(chi.Routes) }

// Away cuts the site off: nothing listens at its address any more, as for a
// tablet in a steel box.
func (s *Site) Away() {
	s.server.CloseClientConnections()
	s.server.Close()
}

// Back lets the site answer at its old address again.
func (s *Site) Back(t testing.TB) {
	t.Helper()
	s.server = httptest.NewUnstartedServer(s.handler)
	listener, err := net.Listen("tcp", strings.TrimPrefix(s.URL, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	s.server.Listener.Close()
	s.server.Listener = listener
	s.server.Start()
}

// Now is the site's clock.
func (s *Site) Now() time.Time { return *s.now.Load() }

// SetNow sets the site's clock.
func (s *Site) SetNow(now time.Time) { s.now.Store(&now) }

// Browser is one device in somebody's hands.
type Browser struct {
	t    testing.TB
	site *Site
	http *http.Client
}

// At is the same device, asking at another server: cookies know no port.
func (b *Browser) At(s *Site) *Browser { return &Browser{t: b.t, site: s, http: b.http} }

// Answer is what came back. Redirects are not followed.
type Answer struct {
	Status   int
	Location string
	Body     string
	Header   http.Header
}

// Nobody is a browser that has never been here.
func (s *Site) Nobody(t testing.TB) *Browser {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &Browser{t: t, site: s, http: &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// Enrolled is a device of that name that was let in and that nobody holds yet.
func (s *Site) Enrolled(t testing.TB, name string) *Browser {
	t.Helper()
	b := s.Nobody(t)
	a := b.Post("/enrol", url.Values{"initials": {s.Ann.Initials}, "password": {"correct horse battery"}, "device": {name}})
	if a.Status != http.StatusSeeOther {
		t.Fatalf("enrol: %d %s", a.Status, a.Body)
	}
	b.Get(static.URL("css/coldrail.css")) // as every browser does
	return b
}

// As is an enrolled device on which staff has tapped their name.
func (s *Site) As(t testing.TB, staff db.Staff) *Browser {
	t.Helper()
	b := s.Enrolled(t, staff.Name+"'s tablet")
	if a := b.Post("/who", url.Values{"staff": {staff.ID.String()}}); a.Status != http.StatusSeeOther {
		t.Fatalf("who: %d %s", a.Status, a.Body)
	}
	return b
}

// Get asks for a page.
func (b *Browser) Get(path string) Answer {
	b.t.Helper()
	return b.read(b.http.Get(b.site.URL + path))
}

// Post sends a form. A form without a field "act" gets a fresh one, as the page
// would have carried.
func (b *Browser) Post(path string, form url.Values) Answer {
	b.t.Helper()
	if !form.Has("act") {
		form.Set("act", signin.NewAct())
	}
	return b.read(b.http.PostForm(b.site.URL+path, form))
}

// PostWith sends a form with one file in it, as a page with a picture does.
func (b *Browser) PostWith(path string, form url.Values, field string, file []byte) Answer {
	b.t.Helper()
	if !form.Has("act") {
		form.Set("act", signin.NewAct())
	}
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name, values := range form {
		for _, v := range values {
			if err := w.WriteField(name, v); err != nil {
				b.t.Fatal(err)
			}
		}
	}
	part, err := w.CreateFormFile(field, "picture.jpg")
	if err == nil {
		_, err = part.Write(file)
	}
	if err := errors.Join(err, w.Close()); err != nil {
		b.t.Fatal(err)
	}
	return b.read(b.http.Post(b.site.URL+path, w.FormDataContentType(), &body))
}

// Ask sends a request with headers of its own and leaves the answer's body to
// the caller, for benchmarks and tests of caching.
func (b *Browser) Ask(method, path string, headers map[string]string) *http.Response {
	b.t.Helper()
	req, err := http.NewRequestWithContext(b.t.Context(), method, b.site.URL+path, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	for name, value := range headers {
		if value != "" {
			req.Header.Set(name, value)
		}
	}
	res, err := b.http.Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	return res
}

func (b *Browser) read(res *http.Response, err error) Answer {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	said := string(body)
	if strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") {
		said = strings.ReplaceAll(said, ui.Joint, " ") // tests read a page as a person does; a file's letters count
	}
	return Answer{Status: res.StatusCode, Location: res.Header.Get("Location"), Body: said, Header: res.Header}
}

// Wants fails the test unless the answer has the status and every phrase.
func (a Answer) Wants(t testing.TB, status int, phrases ...string) {
	t.Helper()
	if a.Status != status {
		t.Errorf("status %d, want %d: %.600s", a.Status, status, a.Body)
	}
	for _, p := range phrases {
		if !strings.Contains(a.Body, p) && !strings.Contains(a.words(), p) {
			t.Errorf("the page lacks %q: %.3000s", p, a.Body)
		}
	}
}

// kept is a number that a page keeps on one line; the span is no part of its words.
var kept = regexp.MustCompile(`<span class="nowrap">([^<]*)</span>`)

// words is the page without what keeps its numbers together.
func (a Answer) words() string { return kept.ReplaceAllString(a.Body, "$1") }

// Send posts a body of its own kind, such as a form with a file.
func (b *Browser) Send(path, kind, body string) Answer {
	b.t.Helper()
	return b.read(b.http.Post(b.site.URL+path, kind, strings.NewReader(body)))
}
