package trust

import (
	"net"
	"net/http"
	"strings"

	"coldrail/web/label"
	"coldrail/web/ui"
)

// Pages serves the way for a tablet to trust the shop's machine. It needs no
// sign-in: it comes before it.
type Pages struct {
	Authority func() []byte // nil: the shop uses certificate files of its own, or none
	Port      string        // where the site listens with HTTPS; "" where it does not
}

// pageView is the page with the QR of itself and the safe address.
type pageView struct {
	Ours   bool
	Safe   string // https://..., "": no HTTPS yet
	Self   string
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
	if p.Port != "" {
		v.Safe = "https://" + net.JoinHostPort(strings.Trim(host, "[]"), p.Port) + "/"
	}
	var err error
	if v.Symbol, err = label.QR(v.Self, label.Bold); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, trustPage(v))
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
