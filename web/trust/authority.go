// Package trust is why a tablet believes that it talks to the shop's machine:
// the shop's own certificate authority, the server's certificate, and the page
// that shows each kind of device how to trust it. A tablet needs HTTPS to keep
// pages and to use its camera.
package trust

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"fmt"
	"math/big"
	"net"
	"slices"
	"strings"
	"time"
)

// How long certificates last and when the server's is made anew. Apple's devices
// refuse a server's certificate that lasts longer than 825 days (Apple support
// article 103769); a short one that renews itself is no trouble to anybody.
const (
	authorityLasts = 10 * 365 * 24 * time.Hour
	serverLasts    = 90 * 24 * time.Hour
	renewBefore    = 30 * 24 * time.Hour
)

// Pair is a certificate and its key.
type Pair struct {
	Cert *x509.Certificate
	Key  *ecdsa.PrivateKey
}

// NewAuthority makes the authority of one shop. It may speak for addresses inside
// a building and for the names given, and for nothing else: a stolen key cannot
// pass for a bank.
func NewAuthority(shop string, names []string, now time.Time) (Pair, error) {
	t := &x509.Certificate{
		Subject:   pkix.Name{CommonName: shop + ": this shop's own machine", Organization: []string{shop}},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(authorityLasts),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true, KeyUsage: x509.KeyUsageCertSign,
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: append([]string{"localhost", "local", "lan", "home.arpa", "internal"}, names...),
	}
	for _, block := range []string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "100.64.0.0/10", "fc00::/7", "fe80::/10", "::1/128"} {
		_, inside, err := net.ParseCIDR(block)
		if err != nil {
			return Pair{}, err
		}
		t.PermittedIPRanges = append(t.PermittedIPRanges, inside)
	}
	return sign(t, nil)
}

// NewServer makes the server's certificate for these names and addresses.
func NewServer(authority Pair, names []string, now time.Time) (Pair, error) {
	t := &x509.Certificate{
		Subject:   pkix.Name{CommonName: names[0]},
		NotBefore: now.Add(-time.Hour), NotAfter: earlier(now.Add(serverLasts), authority.Cert.NotAfter),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	for _, name := range names {
		if ip := net.ParseIP(name); ip != nil {
			t.IPAddresses = append(t.IPAddresses, ip)
		} else {
			t.DNSNames = append(t.DNSNames, name)
		}
	}
	return sign(t, &authority)
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// sign makes a key and signs the certificate; without an authority it signs
// itself.
func sign(t *x509.Certificate, by *Pair) (Pair, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return Pair{}, err
	}
	if t.SerialNumber, err = rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127)); err != nil {
		return Pair{}, err
	}
	parent, signer := t, key
	if by != nil {
		parent, signer = by.Cert, by.Key
	}
	der, err := x509.CreateCertificate(rand.Reader, t, parent, key.Public(), signer)
	if err != nil {
		return Pair{}, fmt.Errorf("make a certificate: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	return Pair{cert, key}, err
}

// speaksFor reports whether a device would believe the authority about a name: one
// wrong name makes it refuse the whole certificate (RFC 5280, 4.2.1.10).
func speaksFor(authority Pair, name string) bool {
	if ip := net.ParseIP(name); ip != nil {
		return slices.ContainsFunc(authority.Cert.PermittedIPRanges, func(n *net.IPNet) bool { return n.Contains(ip) })
	}
	return slices.ContainsFunc(authority.Cert.PermittedDNSDomains, func(domain string) bool {
		return strings.EqualFold(name, domain) || strings.HasSuffix(strings.ToLower(name), "."+strings.ToLower(domain))
	})
}

// due reports whether the server's certificate has to be made anew: it ends soon,
// is not this authority's, or lacks a name.
func due(server, authority Pair, names []string, now time.Time) bool {
	if now.Add(renewBefore).After(server.Cert.NotAfter) || server.Cert.CheckSignatureFrom(authority.Cert) != nil {
		return true
	}
	return slices.ContainsFunc(names, func(name string) bool { return server.Cert.VerifyHostname(name) != nil })
}
