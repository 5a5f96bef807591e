package main

import (
	"crypto/tls"
	"crypto/x509"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Whoever sits at the machine itself gets the site over plain HTTP; another
// device sees only how to trust it.
func TestPlainHTTPStaysHere(t *testing.T) {
	t.Parallel()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	s := safety{listener: listener}
	s.trust.Port = "8443"
	site := s.plainly(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, "the site") }))
	for _, tt := range []struct{ from, path, to string }{
		{"127.0.0.1:5000", "/rail", ""}, {"[::1]:5000", "/rail", ""}, {"192.168.1.7:5000", "/trust", ""},
		{"192.168.1.7:5000", "/rail?x=1", "https://shop.lan:8443/rail?x=1"},
	} {
		r := httptest.NewRequest(http.MethodGet, "http://shop.lan:8080"+tt.path, nil)
		r.RemoteAddr = tt.from
		w := httptest.NewRecorder()
		site.ServeHTTP(w, r)
		if got := w.Header().Get("Location"); got != tt.to {
			t.Errorf("%s asks for %s: sent to %q, want %q", tt.from, tt.path, got, tt.to)
		}
	}
}

// The built program: a device that fetched the file from /trust over plain HTTP
// believes the HTTPS side.
func TestTabletTrustsTheProgram(t *testing.T) {
	t.Parallel()
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	addr := free.Addr().String()
	free.Close()
	p := startProgram(t, build(t), filepath.Join(t.TempDir(), "data"), "COLDRAIL_TLS_ADDR="+addr)
	p.ready(t)
	res, err := http.Get(p.address + "/trust/coldrail.crt")
	if err != nil {
		t.Fatal(err)
	}
	der, err := io.ReadAll(res.Body)
	res.Body.Close()
	if err != nil {
		t.Fatal(err)
	}
	authority, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(authority)
	device := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	res, err = device.Get("https://" + addr + "/trust")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	page, err := io.ReadAll(res.Body)
	if err != nil || !strings.Contains(string(page), "iPad") || !strings.Contains(string(page), "https://"+addr) {
		t.Errorf("/trust: %v, %.400s", err, page)
	}
}

// A certificate of the shop's own that cannot be read is told before anything is
// served.
func TestBadCertificateIsTold(t *testing.T) {
	t.Parallel()
	cmd := exec.Command(build(t), "serve")
	cmd.Env = append(cleanEnvironment(), "COLDRAIL_DATA="+filepath.Join(t.TempDir(), "data"), "COLDRAIL_ADDR=127.0.0.1:0",
		"COLDRAIL_TLS_ADDR=127.0.0.1:0", "COLDRAIL_CERT=/none.crt", "COLDRAIL_KEY=/none.key")
	out, err := cmd.CombinedOutput()
	if err == nil || !strings.Contains(string(out), "own certificate cannot be used") {
		t.Errorf("%v: %s", err, out)
	}
}
