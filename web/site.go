// Package web is what each person sees: one folder per screen, each with its
// handlers, its views and their tests side by side. This package wires them to
// their addresses (routes.go) and holds what surrounds every page.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"runtime/debug"
	"sync"
	"time"

	"coldrail/db"
	"coldrail/static"
	"coldrail/web/messages"
	"coldrail/web/trust"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
)

// Config is what the site needs to run.
type Config struct {
	DB           *db.DB
	Now          func() time.Time
	Log          *slog.Logger
	PublicURL    string // how a hunter's phone reaches the site, without a final slash
	Secure       bool   // reached over HTTPS: cookies are kept to it
	Trust        trust.Pages
	Measure      func(route, method string, status int, took time.Duration) // told of each request; nil: nobody is
	MailPassword bool                                                       // the mail server's password was given
	Changes      *db.Changes                                                // tells boards of what was done
	Proxies      []netip.Prefix                                             // in front of us, whose X-Forwarded-For is believed
}

// site is the running site.
type site struct {
	Config
	log    *slog.Logger
	secret []byte // behind the hunters' links
	shop   shopMemory
}

// New builds the handler of the whole site.
func New(ctx context.Context, cfg Config) (http.Handler, error) {
	secret, err := cfg.DB.Secret(ctx, "hunter links")
	if err != nil {
		return nil, err
	}
	s := &site{Config: cfg, log: cfg.Log, secret: secret}
	s.shop.load = cfg.DB.Shop
	return s.routes(), nil
}

// shopMemory keeps the shop's row for a few seconds, since every page needs it
// and it changes once a season.
type shopMemory struct {
	load func(context.Context) (db.Shop, error)
	mu   sync.Mutex
	shop ui.Shop
	till time.Time
}

func (m *shopMemory) get(ctx context.Context, now time.Time) (ui.Shop, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if now.Before(m.till) {
		return m.shop, nil
	}
	s, err := m.load(ctx)
	if err != nil {
		return m.shop, err
	}
	m.shop = messages.Shop(s)
	m.till = now.Add(5 * time.Second)
	return m.shop, nil
}

// changes is an act that changes the shop's row: the very next page knows it, since a
// weight or a temperature is read in the unit that page shows.
func (m *shopMemory) changes(act http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		act(w, r)
		m.mu.Lock()
		defer m.mu.Unlock()
		m.till = time.Time{}
	}
}

// withShop puts into the request what every page draws on: the shop, the address, and
// whether the browser has the stylesheet. Or it answers with the trouble.
func (s *site) withShop(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		shop, err := s.shop.get(r.Context(), s.Now())
		if err != nil {
			s.problem(w, r, err)
			return
		}
		ctx := ui.At(ui.WithShop(r.Context(), shop), r.URL.Path)
		if partOfPage := r.Header.Get("HX-Request") != ""; !partOfPage && !static.HasScreenStyle(r) {
			ctx = ui.WithStyleInside(ctx)
		}
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

// inTheirLanguage answers the shop's customers in the language their phone asks for.
func inTheirLanguage(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		next.ServeHTTP(w, r.WithContext(ui.ForStranger(r.Context(), r.Header.Get("Accept-Language"))))
	})
}

// guarded sets what every answer carries: nothing but our own files, and the two styles
// that stand inside pages, may run or load, and no other site may frame a page.
func (s *site) guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		if s.Secure {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self' "+static.OwnersStyleHash+" "+static.ScreenStyleHash+"; img-src 'self'; "+
			"connect-src 'self'; manifest-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// longest is how long the shop's machine works on one answer. A form that took
// longer is sent again by whoever sent it; its act is done once.
const longest = 50 * time.Second

// timely ends what takes too long; the stream of changes has no end of its own.
func timely(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/live" {
			next.ServeHTTP(w, r)
			return
		}
		ctx, cancel := context.WithTimeout(r.Context(), longest)
		defer cancel()
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

// logged writes one line a request, with the route's pattern and never its
// address: a hunter's link is a secret.
func (s *site) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began, ww := time.Now(), middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		next.ServeHTTP(ww, r)
		level := slog.LevelInfo
		if ww.Status() < 400 {
			level = slog.LevelDebug
		}
		route, took := chi.RouteContext(r.Context()).RoutePattern(), time.Since(began)
		if s.Measure != nil {
			s.Measure(route, r.Method, ww.Status(), took)
		}
		s.log.Log(r.Context(), level, "request", "method", r.Method, "route", route,
			"status", ww.Status(), "bytes", ww.BytesWritten(), "ms", took.Milliseconds(), "ref", middleware.GetReqID(r.Context()))
	})
}

// steady answers a panic with the same page as any fault of ours.
func (s *site) steady(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			p := recover()
			if p == nil {
				return
			}
			if p == http.ErrAbortHandler {
				panic(p)
			}
			s.problem(w, r, &panicked{p, debug.Stack()})
		}()
		next.ServeHTTP(w, r)
	})
}

// healthz says that the process lives.
func (s *site) healthz(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = w.Write([]byte("alive\n"))
}

// readyz says whether the records can be reached.
func (s *site) readyz(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), time.Second)
	defer cancel()
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	if err := s.DB.Ping(ctx); err != nil {
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = w.Write([]byte("the database does not answer\n"))
		return
	}
	_, _ = w.Write([]byte("ready\n"))
}
