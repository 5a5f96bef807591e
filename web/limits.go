package web

import (
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"
	"github.com/klauspost/compress/gzhttp"
)

// maxForm is the most that one form may send, maxPictures one with pictures.
const (
	maxForm     = 1 << 20
	maxPictures = 24 << 20
)

// limitForm refuses a body that no form of ours sends.
func (s *site) limitForm(next http.Handler) http.Handler {
	words, pictures := http.MaxBytesHandler(next, maxForm), http.MaxBytesHandler(next, maxPictures)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, err := r.Cookie(s.sessionCookie()) // who has none sends no picture
		if err == nil && strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
			pictures.ServeHTTP(w, r)
			return
		}
		words.ServeHTTP(w, r)
	})
}

// sessionCookie tells a device of the shop's from any other. Over HTTPS its name
// begins with __Host-, and browsers then take it from this very host alone.
func (s *site) sessionCookie() string {
	if s.Secure {
		return "__Host-coldrail"
	}
	return "coldrail"
}

// callers finds out where a request comes from. Behind a proxy every phone would
// come from the proxy's address, and all of them together would be held to what one
// may ask; what the proxy says of them is believed of the shop's own proxies alone.
func (s *site) callers() func(http.Handler) http.Handler {
	if len(s.Proxies) > 0 {
		prefixes := make([]string, len(s.Proxies))
		for i, p := range s.Proxies {
			prefixes[i] = p.String()
		}
		return middleware.ClientIPFromXFF(prefixes...)
	}
	var once sync.Once
	return func(next http.Handler) http.Handler {
		return middleware.ClientIPFromRemoteAddr(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if r.Header.Get("X-Forwarded-For") != "" {
				once.Do(func() {
					s.log.Warn("a proxy seems to stand in front, and everybody behind it counts as one caller: name it in COLDRAIL_PROXY", "from", middleware.GetClientIP(r.Context()))
				})
			}
			next.ServeHTTP(w, r)
		}))
	}
}

// perCaller lets one address ask so many times a minute. Whoever asked too often is
// told when to come again; nobody is told how many guesses are left.
func perCaller(times int) func(http.Handler) http.Handler {
	return httprate.LimitBy(times, time.Minute, func(r *http.Request) (string, error) {
		return httprate.CanonicalizeIP(middleware.GetClientIP(r.Context())), nil
	}, httprate.WithResponseHeaders(httprate.ResponseHeaders{RetryAfter: "Retry-After"}))
}

// compressed packs pages at the cheapest level: the rail shrinks tenfold in a
// tenth of a millisecond.
func compressed() func(http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.CompressionLevel(1), gzhttp.MinSize(1024))
	if err != nil {
		panic(err) // the two constants above are wrong
	}
	return func(next http.Handler) http.Handler { return wrap(next) }
}
