package trust

import (
	"net"
	"net/http"
	"slices"
	"strings"

	"coldrail/domain"
	"coldrail/web/label"
	"coldrail/web/ui"
)

// Pages serves the way for a tablet to trust the shop's machine. It needs no
// sign-in: it comes before it.
type Pages struct {
	Authority func() []byte // nil: the shop uses certificate files of its own, or none
	Port      string        // where the site listens with HTTPS; "" where it does not
	Addr      string        // where the site is set to listen without HTTPS
	TLSAddr   string        // and with it; "": nowhere
}

// scanned is how wide a module of the code is: on the screen of one device, to be
// scanned by another at arm's length.
const scanned domain.Millimetre = 1.5

// pageView is the page with the QR of itself and the safe address.
type pageView struct {
	Ours   bool
	Safe   string // https://..., "": no HTTPS yet
	Self   string // this page as another device reaches it; "": none does
	Symbol label.Symbol
}

// Show serves GET /trust.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	host := r.Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	v := pageView{Ours: p.Authority != nil, Self: scheme + r.Host + "/trust"}
	if here(host) {
		v.Self = p.reached(Addresses())
	}
	if p.Port != "" {
		v.Safe = "https://" + net.JoinHostPort(strings.Trim(host, "[]"), p.Port) + "/"
	}
	if v.Self != "" {
		var err error
		if v.Symbol, err = label.QR(v.Self, scanned); err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, trustPage(v))
}

// here reports whether a name means the machine that asks: no other gets anywhere by it.
func here(host string) bool {
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// reached is this page as another device in the shop reaches it: without HTTPS where
// the site listens so, since a device that is new trusts nothing yet. It is empty
// where the site listens to its own machine alone.
func (p *Pages) reached(addresses []string) string {
	addresses = slices.DeleteFunc(slices.Clone(addresses), here)
	for _, way := range []struct{ scheme, listens string }{{"http://", p.Addr}, {"https://", p.TLSAddr}} {
		host, port, err := net.SplitHostPort(way.listens)
		if err != nil || here(host) {
			continue
		}
		if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
			if len(addresses) == 0 {
				continue
			}
			host = addresses[0]
		}
		return way.scheme + net.JoinHostPort(host, port) + "/trust"
	}
	return ""
}

// File serves GET /trust/coldrail.crt: what a device is to trust.
func (p *Pages) File(w http.ResponseWriter, r *http.Request) {
	if p.Authority == nil {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", "application/x-x509-ca-cert")
	w.Header().Set("Content-Disposition", `attachment; filename="coldrail.crt"`)
	_, _ = w.Write(p.Authority()) // fails only if the visitor has gone
}
