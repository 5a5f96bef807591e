package signin_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/web/webtest"
)

func TestNobodyGetsPastEnrolment(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.Nobody(t)
	if a := b.Get("/who"); a.Location != "/enrol" {
		t.Errorf("who without a device: %d to %q", a.Status, a.Location)
	}
	a := b.Post("/enrol", url.Values{"initials": {"AK"}, "password": {"not the password"}, "device": {"tablet"}})
	a.Wants(t, http.StatusUnprocessableEntity, "That does not fit.")
	b.Get("/enrol").Wants(t, http.StatusOK, "Owner&#39;s password")
}

func TestTakeTheDevice(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Get("/who").Wants(t, http.StatusOK, "Ann Kessler", "Bob Tarrant")
	if a := b.Post("/who", url.Values{"staff": {s.Ann.ID.String()}, "next": {"//evil.example/"}}); a.Location != "/" {
		t.Errorf("led to %q, want the site's own front page", a.Location)
	}
	// Browsers drop tabs and line ends and take \\ for / (WHATWG URL Standard, 4.4).
	for _, next := range []string{"/\t/evil.example", "/\n/evil.example", "/\\evil.example", "https://evil.example", "javascript:alert(1)", " //evil.example", "/ /evil.example"} {
		if a := b.Post("/who", url.Values{"staff": {s.Ann.ID.String()}, "next": {next}}); a.Location != "/" {
			t.Errorf("%q led to %q, want the site's own front page", next, a.Location)
		}
	}
	a := b.Post("/who", url.Values{"staff": {s.Device.String()}})
	a.Wants(t, http.StatusNotFound, "does not work here today")
}

// A form sent from another site is turned away before it reaches a page.
func TestOtherSitesCannotPost(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	req, err := http.NewRequest(http.MethodPost, s.URL+"/who", nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Sec-Fetch-Site", "cross-site")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusForbidden {
		t.Errorf("status %d, want 403", res.StatusCode)
	}
}

// Whoever reads Spanish sets it by a tap, for themselves alone; a phone of one of
// the shop's customers is answered in its own language.
func TestTheirLanguage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	bob.Get("/who").Wants(t, http.StatusOK, "Bob Tarrant reads the screens in", `aria-pressed="true">English`, `aria-pressed="false">Español`, "Lead")
	twin := url.Values{"name": {"Bob Tarrant"}, "initials": {"BX"}, "new_pin": {"9876"}, "roles": {"cutter"}, "pin": {"4711"}}
	if a := ann.Post("/office/staff", twin); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	ann.Get("/who").Wants(t, http.StatusOK, "<small>BT · ", "<small>BX · Cutter</small>", "<small>Lead, Owner</small>")
	if a := bob.Post("/who/language", url.Values{"language": {"es-US"}, "next": {"/rail"}}); a.Location != "/rail" {
		t.Errorf("back at %q, want /rail", a.Location)
	}
	bob.Get("/who").Wants(t, http.StatusOK, `lang="es-US"`, "¿Quién tiene este aparato?")
	s.As(t, s.Bob).Get("/rail").Wants(t, http.StatusOK, `lang="es-US"`)
	ann.Get("/rail").Wants(t, http.StatusOK, `lang="en"`)
	bob.Post("/who/language", url.Values{"language": {"tlh"}}).Wants(t, http.StatusUnprocessableEntity, "Elija uno de los idiomas.")
}
