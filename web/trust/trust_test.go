package trust

import (
	"bytes"
	"crypto/x509"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var day = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func open(t *testing.T, now *time.Time) *Keeper {
	t.Helper()
	k := &Keeper{Dir: filepath.Join(t.TempDir(), "certificates"), Shop: "Hollow Creek", Names: []string{"coldrail.lan"}, Now: func() time.Time { return *now }}
	if err := k.Open(); err != nil {
		t.Fatal(err)
	}
	return k
}

func leaf(t *testing.T, k *Keeper) *x509.Certificate {
	t.Helper()
	c, err := k.Certificate(nil)
	if err != nil {
		t.Fatal(err)
	}
	return c.Leaf
}

// A device that trusts the authority believes the server under each of its names,
// and under no other.
func TestChainVerifies(t *testing.T) {
	now := day
	k := open(t, &now)
	authority, err := x509.ParseCertificate(k.Authority())
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(authority)
	for name, want := range map[string]bool{"coldrail.lan": true, "localhost": true, "127.0.0.1": true, "bank.example": false} {
		_, err := leaf(t, k).Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: now, KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}})
		if (err == nil) != want {
			t.Errorf("%s: %v, want believed: %v", name, err, want)
		}
	}
	stolen, err := NewServer(k.authority, []string{"bank.example"}, now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := stolen.Cert.Verify(x509.VerifyOptions{Roots: roots, DNSName: "bank.example", CurrentTime: now}); err == nil {
		t.Error("the authority can speak for a name outside the shop")
	}
	info, err := os.Stat(filepath.Join(k.Dir, "authority.key"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the authority's key: %v, %v; want 0600", info.Mode(), err)
	}
}

// The server's certificate is made anew a month before it ends; the authority
// stays, so that no tablet has to be told anything.
func TestRenews(t *testing.T) {
	now := day
	k := open(t, &now)
	first, authority := leaf(t, k), k.Authority()
	now = day.Add(serverLasts - renewBefore - time.Hour)
	if !leaf(t, k).Equal(first) {
		t.Error("made anew too early")
	}
	now = day.Add(serverLasts - renewBefore + 2*time.Hour)
	second := leaf(t, k)
	if second.Equal(first) || !second.NotAfter.After(first.NotAfter) || !bytes.Equal(authority, k.Authority()) {
		t.Errorf("not made anew, or by another authority: ends %s", second.NotAfter)
	}
	again := &Keeper{Dir: k.Dir, Shop: k.Shop, Names: k.Names, Now: k.Now}
	if err := again.Open(); err != nil || !leaf(t, again).Equal(second) {
		t.Errorf("the next start: %v, want the same certificate", err)
	}
}

// Files of the shop's own are used as they are; bad ones get a sentence.
func TestOwnFiles(t *testing.T) {
	now := day
	k := open(t, &now)
	cert, key := filepath.Join(k.Dir, "server.crt"), filepath.Join(k.Dir, "server.key")
	own, err := Own(cert, key, now)
	if err != nil || !own.Leaf.Equal(leaf(t, k)) {
		t.Errorf("own files: %v", err)
	}
	for name, tt := range map[string]struct {
		cert, key, says string
		now             time.Time
	}{
		"missing":     {filepath.Join(k.Dir, "none.crt"), key, "cannot be used", now},
		"not its key": {cert, filepath.Join(k.Dir, "authority.key"), "belong to each other", now},
		"ended":       {cert, key, "ended on 2027-02-23", day.AddDate(1, 0, 0)},
	} {
		if _, err := Own(tt.cert, tt.key, tt.now); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v, want %q", name, err, tt.says)
		}
	}
	if err := os.WriteFile(filepath.Join(k.Dir, "authority.crt"), []byte("rubbish"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := (&Keeper{Dir: k.Dir, Shop: "x", Now: k.Now}).Open(); err == nil || !strings.Contains(err.Error(), "put back the copy") {
		t.Errorf("a damaged authority: %v", err)
	}
}

// A name added after the authority was made is said and left out, and a tablet
// goes on believing the others; put aside, a new authority speaks for it.
func TestNameAddedLater(t *testing.T) {
	now := day
	k := open(t, &now)
	believes := func(k *Keeper, name string) bool {
		roots := x509.NewCertPool()
		roots.AddCert(k.authority.Cert)
		_, err := leaf(t, k).Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: now})
		return err == nil
	}
	later := &Keeper{Dir: k.Dir, Shop: k.Shop, Names: []string{"coldrail.lan", "shop.example", "203.0.113.5"}, Now: k.Now}
	if err := later.Open(); err != nil {
		t.Fatal(err)
	}
	if got := later.Outside(); !slices.Equal(got, []string{"shop.example", "203.0.113.5"}) {
		t.Errorf("outside: %q", got)
	}
	if !bytes.Equal(later.Authority(), k.Authority()) || believes(later, "shop.example") || !believes(later, "coldrail.lan") {
		t.Error("a later name changes what tablets believe")
	}
	if err := PutAside(k.Dir); err != nil {
		t.Fatal(err)
	}
	later = &Keeper{Dir: k.Dir, Shop: k.Shop, Names: []string{"coldrail.lan", "shop.example"}, Now: k.Now}
	if err := later.Open(); err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(later.Authority(), k.Authority()) || len(later.Outside()) != 0 || !believes(later, "shop.example") {
		t.Errorf("put aside: outside %q", later.Outside())
	}
}
