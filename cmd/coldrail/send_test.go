package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/message"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
)

// letter is a mail as the server took it.
type letter struct {
	From, To, Text string
	Sealed, Known  bool // over TLS; after a login
}

// postOffice is a mail server: RFC 5321 with STARTTLS (RFC 3207) and AUTH PLAIN
// (RFC 4954, RFC 4616), which it offers only over TLS.
type postOffice struct {
	password string // asked of whoever sends; empty: anybody may
	fail     int    // this many letters are put off
	port     int
	roots    *x509.CertPool

	mu      sync.Mutex
	letters []letter
}

// openPostOffice starts one on this machine.
func openPostOffice(t *testing.T, password string) *postOffice {
	t.Helper()
	p := &postOffice{password: password, roots: x509.NewCertPool()}
	server := smtp.NewServer(smtp.BackendFunc(func(c *smtp.Conn) (smtp.Session, error) { return &parcel{office: p, line: c}, nil }))
	server.Domain = "mail.example"
	server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{p.certificate(t)}, MinVersion: tls.VersionTLS12}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	p.port = listener.Addr().(*net.TCPAddr).Port
	go server.Serve(listener)
	t.Cleanup(func() { server.Close() })
	return p
}

func (p *postOffice) certificate(t *testing.T) tls.Certificate {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	must(t, err)
	plan := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign}
	der, err := x509.CreateCertificate(rand.Reader, plan, plan, key.Public(), key)
	must(t, err)
	made, err := x509.ParseCertificate(der)
	must(t, err)
	p.roots.AddCert(made)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}
}

func (p *postOffice) taken() []letter {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]letter(nil), p.letters...)
}

// parcel is one connection to the post office.
type parcel struct {
	office *postOffice
	line   *smtp.Conn
	now    letter
}

func (s *parcel) AuthMechanisms() []string { return []string{sasl.Plain} }

func (s *parcel) Auth(string) (sasl.Server, error) {
	return sasl.NewPlainServer(func(_, user, password string) error {
		if user != "shop" || password != s.office.password {
			return smtp.ErrAuthFailed
		}
		s.now.Known = true
		return nil
	}), nil
}

func (s *parcel) Mail(from string, _ *smtp.MailOptions) error {
	if s.office.password != "" && !s.now.Known {
		return smtp.ErrAuthRequired
	}
	s.now.From = from
	return nil
}

func (s *parcel) Rcpt(to string, _ *smtp.RcptOptions) error {
	if strings.HasPrefix(to, "nobody@") {
		return &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "no such mailbox here"}
	}
	s.now.To = to
	return nil
}

func (s *parcel) Data(r io.Reader) error {
	text, err := io.ReadAll(r)
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	if s.office.fail > 0 {
		s.office.fail--
		return &smtp.SMTPError{Code: 451, EnhancedCode: smtp.EnhancedCode{4, 3, 0}, Message: "later"}
	}
	_, s.now.Sealed = s.line.TLSConnectionState()
	s.now.Text = string(text)
	s.office.letters = append(s.office.letters, s.now)
	return err
}

func (s *parcel) Reset()        {}
func (s *parcel) Logout() error { return nil }

// Mail goes out over STARTTLS with a login, and where either fails nothing is sent:
// a password never crosses an open line, a certificate nobody vouches for is not
// believed. A mailbox that does not exist is told from a server that is busy.
func TestMailOverTLS(t *testing.T) {
	t.Parallel()
	office := openPostOffice(t, "ham & eggs")
	by := db.AlarmSettings{MailHost: "127.0.0.1", MailPort: office.port, MailUser: "shop", MailFrom: "shop@example.com"}
	m := outgoing{Key: "k1", To: "wade@example.com", Name: "Wade", Subject: "Your deer", Text: "It is ready."}
	right := sender{mailPassword: "ham & eggs", roots: office.roots}
	must(t, right.mail(t.Context(), by, m))
	got := office.taken()
	if len(got) != 1 || !got[0].Sealed || !got[0].Known || got[0].From != "shop@example.com" || got[0].To != m.To {
		t.Fatalf("%+v: want one letter over TLS from somebody known", got)
	}
	for _, want := range []string{"Message-ID: <k1@coldrail.invalid>", "Idempotency-Key: k1", "It is ready."} {
		if !strings.Contains(got[0].Text, want) {
			t.Errorf("no %q in %s", want, got[0].Text)
		}
	}
	for name, out := range map[string]sender{"wrong password": {mailPassword: "ham", roots: office.roots}, "certificate of nobody": {mailPassword: "ham & eggs"}} {
		if err := out.mail(t.Context(), by, m); err == nil || errors.As(err, new(*refused)) && name != "wrong password" {
			t.Errorf("%s: %v", name, err)
		}
	}
	var no *refused
	m.To = "nobody@example.com"
	if err := right.mail(t.Context(), by, m); !errors.As(err, &no) {
		t.Errorf("no such mailbox: %v, want refused for good", err)
	}
	office.fail, m.To = 1, "wade@example.com"
	if err := right.mail(t.Context(), by, m); err == nil || errors.As(err, &no) {
		t.Errorf("a busy server: %v, want a failure that may pass", err)
	}
	if n := len(office.taken()); n != 1 {
		t.Errorf("%d letters, want the first alone", n)
	}
}

// An alarm goes out by a mail server that asks for TLS and a login, as any shop's
// does.
func TestAlarmOverTLS(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	office := openPostOffice(t, "secret")
	must(t, s.SetAlarms(t.Context(), s.Act(s.Ann, time.Now()), db.AlarmSettings{FirstName: "Ann", FirstMail: "ann@example.com",
		MailHost: "127.0.0.1", MailPort: office.port, MailUser: "shop", MailFrom: "shop@example.com", SilentMin: 60}))
	must(t, s.TestAlarm(t.Context(), s.Act(s.Ann, time.Now())))
	watching(t, s.DB, sender{mailPassword: "secret", roots: office.roots})
	for end := time.Now().Add(20 * time.Second); len(office.taken()) == 0 && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
	}
	if got := office.taken(); len(got) != 1 || !got[0].Sealed || !got[0].Known || !strings.Contains(got[0].Text, "This is a test.") {
		t.Errorf("%+v: want the test, over TLS, after a login", got)
	}
}

// The gateway is shown the secret; the heartbeat's listener is not.
func TestGatewaySecret(t *testing.T) {
	t.Parallel()
	seen := map[string]string{}
	world := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		seen[r.URL.Path] = r.Header.Get("Authorization")
		if r.URL.Path == "/bad" {
			w.WriteHeader(http.StatusUnprocessableEntity)
		}
	}))
	defer world.Close()
	out := sender{gatewaySecret: "s3"}
	must(t, out.post(t.Context(), db.AlarmSettings{GatewayURL: world.URL + "/text"}, outgoing{Key: "k", To: "555-0101"}))
	must(t, out.json(t.Context(), world.URL+"/heart", "k", map[string]string{"at": "now"}))
	if seen["/text"] != "Bearer s3" || seen["/heart"] != "" {
		t.Errorf("%+v: want the secret shown to the gateway alone", seen)
	}
	if err := out.post(t.Context(), db.AlarmSettings{GatewayURL: world.URL + "/bad"}, outgoing{Key: "k"}); !errors.As(err, new(*refused)) {
		t.Errorf("%v: want a number no gateway takes refused for good", err)
	}
}

// The gateway is spoken to as README.md writes: the body's names, the key in body and
// header, and which answers end it and which are tried again.
func TestGatewayAsWritten(t *testing.T) {
	t.Parallel()
	readme, err := os.ReadFile("../../README.md")
	must(t, err)
	_, from, _ := strings.Cut(string(readme), "\n    {\"key\"")
	written := map[string]string{}
	must(t, json.Unmarshal([]byte(`{"key"`+strings.SplitN(from, "\n", 2)[0]), &written))
	for _, want := range []string{"400, 410 and 422 mean that this number is never reached; anything else is tried again", "`Idempotency-Key`", "The key is the same at each try"} {
		if !strings.Contains(string(readme), want) {
			t.Errorf("README.md does not say %q", want)
		}
	}
	answer, posts := http.StatusOK, 0
	world := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body := map[string]string{}
		if err := json.NewDecoder(r.Body).Decode(&body); err != nil || r.Method != http.MethodPost || r.Header.Get("Content-Type") != "application/json" || r.Header.Get("Idempotency-Key") != body["key"] {
			t.Errorf("%s %v: %v, %v", r.Method, r.Header, body, err)
		}
		if got, want := slices.Sorted(maps.Keys(body)), slices.Sorted(maps.Keys(written)); !slices.Equal(got, want) {
			t.Errorf("the body has %v, README.md says %v", got, want)
		}
		posts++
		w.WriteHeader(answer)
	}))
	defer world.Close()
	for status, want := range map[int]string{200: "sent", 202: "sent", 204: "sent", 400: "never", 410: "never", 422: "never", 401: "again", 404: "again", 408: "again", 429: "again", 500: "again", 503: "again"} {
		answer = status
		err := sender{}.post(t.Context(), db.AlarmSettings{GatewayURL: world.URL}, outgoing{Key: "message-1", To: "555-0101", Name: "Wade", Kind: "ready", Text: "It is ready."})
		got := "sent"
		if errors.As(err, new(*refused)) {
			got = "never"
		} else if err != nil {
			got = "again"
		}
		if got != want {
			t.Errorf("%d: %s, want %s", status, got, want)
		}
	}

	s, _, out := toldShop(t)
	set, err := s.AlarmSettings(t.Context())
	must(t, err)
	set.GatewayURL = world.URL
	s.TellOwners(t, set)
	n := s.HangDeer(t, 1, 1)
	wade := s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.MovePromise(t, n, time.Now())
	answer, posts = http.StatusUnprocessableEntity, 0
	must(t, try(t, s, out, theMessage(t, s, n), 1))
	if m := theMessage(t, s, n); m.State != db.MessageToCall || posts != 1 {
		t.Errorf("%+v after %d posts: want somebody to call after one", m, posts)
	}
	must(t, s.SetReach(t.Context(), s.Act(s.Bob, time.Now()), n, wade, message.Reach{TellBy: "text", NoTexts: true}))
	s.MovePromise(t, n, time.Now())
	list, err := s.MessagesAbout(t.Context(), n)
	if err != nil || list[0].State != db.MessageToCall || list[0].Way != message.Call || posts != 1 {
		t.Errorf("%+v, %v, %d posts: want whoever wants no texts called", list[0], err, posts)
	}
}
