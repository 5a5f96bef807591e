package web

import (
	"net/http"
	"strings"
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

// perCaller lets one address ask so many times a minute.
func perCaller(times int) func(http.Handler) http.Handler {
	return httprate.LimitBy(times, time.Minute, func(r *http.Request) (string, error) {
		return httprate.CanonicalizeIP(middleware.GetClientIP(r.Context())), nil
	})
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
