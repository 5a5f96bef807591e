package trust

import (
	"crypto/ecdsa"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"
)

// Keeper hands out the server's certificate and makes it anew before it ends.
type Keeper struct {
	Dir   string   // where the certificates lie
	Shop  string   // in the authority's name
	Names []string // beside localhost and the machine's own addresses
	Now   func() time.Time

	mu        sync.Mutex
	authority Pair
	server    Pair
	checked   time.Time
}

// Open reads or makes the authority and the server's certificate.
func (k *Keeper) Open() error {
	if err := os.MkdirAll(k.Dir, 0o700); err != nil {
		return fmt.Errorf("the certificates cannot be kept: %w", err)
	}
	var err error
	if k.authority, err = k.load("authority"); errors.Is(err, fs.ErrNotExist) {
		if k.authority, err = NewAuthority(k.Shop, k.Names, k.Now()); err == nil {
			err = k.save("authority", k.authority)
		}
	}
	if err != nil {
		return err
	}
	if k.server, err = k.load("server"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	_, err = k.Certificate(nil)
	return err
}

// Certificate is for tls.Config: it looks once an hour whether the certificate is
// due, since addresses of a shop's machine change too.
func (k *Keeper) Certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	now := k.Now()
	if k.server.Cert == nil || now.Sub(k.checked) > time.Hour {
		names := slices.DeleteFunc(slices.Concat(k.Names, []string{"localhost"}, Addresses()), func(name string) bool { return !speaksFor(k.authority, name) })
		if k.server.Cert == nil || due(k.server, k.authority, names, now) {
			server, err := NewServer(k.authority, names, now)
			if err != nil {
				return nil, err
			}
			if err := k.save("server", server); err != nil {
				return nil, err
			}
			k.server = server
		}
		k.checked = now
	}
	return &tls.Certificate{Certificate: [][]byte{k.server.Cert.Raw, k.authority.Cert.Raw}, PrivateKey: k.server.Key, Leaf: k.server.Cert}, nil
}

// Outside are the names given that the authority may not speak for, since they
// were added after it was made. The server's certificate leaves them out: with one
// of them in it a tablet would refuse all the others too.
func (k *Keeper) Outside() []string {
	return slices.DeleteFunc(slices.Clone(k.Names), func(name string) bool { return speaksFor(k.authority, name) })
}

// PutAside moves the authority and the server's certificate out of the way, so
// that the next start makes new ones. The last that were put aside are lost.
func PutAside(dir string) error {
	for _, name := range []string{"server.crt", "server.key", "authority.crt", "authority.key"} {
		path := filepath.Join(dir, name)
		if err := os.Rename(path, path+".old"); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the certificates cannot be put aside: %w", err)
		}
	}
	return nil
}

// Authority is the certificate that devices are to trust, as a file of DER.
func (k *Keeper) Authority() []byte { return k.authority.Cert.Raw }

func (k *Keeper) load(name string) (Pair, error) {
	certText, err := os.ReadFile(filepath.Join(k.Dir, name+".crt"))
	if err != nil {
		return Pair{}, err
	}
	keyText, err := os.ReadFile(filepath.Join(k.Dir, name+".key"))
	if err != nil {
		return Pair{}, err
	}
	pair, err := tls.X509KeyPair(certText, keyText)
	if err != nil {
		return Pair{}, fmt.Errorf("the certificate %s in %s cannot be read (%w); put back the copy from a backup, or remove both of its files and trust the new one on each tablet", name, k.Dir, err)
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok {
		return Pair{}, fmt.Errorf("the key of %s in %s is not one this program made", name, k.Dir)
	}
	return Pair{pair.Leaf, key}, nil
}

// save writes the key first, readable by the program alone, then the certificate.
func (k *Keeper) save(name string, p Pair) error {
	der, err := x509.MarshalPKCS8PrivateKey(p.Key)
	if err != nil {
		return err
	}
	for _, f := range []struct {
		end, kind string
		der       []byte
		mode      fs.FileMode
	}{{".key", "PRIVATE KEY", der, 0o600}, {".crt", "CERTIFICATE", p.Cert.Raw, 0o644}} {
		path := filepath.Join(k.Dir, name+f.end)
		if err := os.WriteFile(path+".new", pem.EncodeToMemory(&pem.Block{Type: f.kind, Bytes: f.der}), f.mode); err != nil {
			return fmt.Errorf("the certificates cannot be kept: %w", err)
		}
		if err := os.Rename(path+".new", path); err != nil {
			return fmt.Errorf("the certificates cannot be kept: %w", err)
		}
	}
	return nil
}

// Own reads the shop's own certificate and key, which go before ours.
func Own(certFile, keyFile string, now time.Time) (*tls.Certificate, error) {
	pair, err := tls.LoadX509KeyPair(certFile, keyFile)
	switch {
	case err != nil:
		return nil, fmt.Errorf("the shop's own certificate cannot be used: %w; give COLDRAIL_CERT and COLDRAIL_KEY as PEM files that belong to each other", err)
	case now.After(pair.Leaf.NotAfter):
		return nil, fmt.Errorf("the shop's own certificate ended on %s; put a new one in its place", pair.Leaf.NotAfter.Format(time.DateOnly))
	}
	return &pair, nil
}

// Addresses are the machine's addresses inside the building.
func Addresses() []string {
	found := []string{"127.0.0.1"}
	all, err := net.InterfaceAddrs()
	if err != nil {
		return found
	}
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsPrivate() {
			found = append(found, n.IP.String())
		}
	}
	return found
}
