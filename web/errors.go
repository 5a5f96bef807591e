package web

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5/middleware"
)

// status is the only place that turns a kind of error into an HTTP status.
var status = map[domain.Kind]int{
	domain.Internal: http.StatusInternalServerError,
	domain.Invalid:  http.StatusUnprocessableEntity,
	domain.NotFound: http.StatusNotFound,
	domain.Conflict: http.StatusConflict,
	domain.Refused:  http.StatusConflict,
}

// page turns a handler that returns an error into an http.HandlerFunc. A page
// may change with every tap, so no browser keeps a copy.
func (s *site) page(h func(http.ResponseWriter, *http.Request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-cache, private")
		err := legible(r)
		if err == nil {
			err = h(w, r)
		}
		if err == nil {
			return
		}
		if _, ok := errors.AsType[*http.MaxBytesError](err); ok {
			err = domain.Wrong("", "That was too much for one form. Nothing was changed.")
		}
		s.problem(w, r, err)
	}
}

// problem shows err to the person and logs it once if it is ours.
func (s *site) problem(w http.ResponseWriter, r *http.Request, err error) {
	e, ref := domain.As(err), middleware.GetReqID(r.Context())
	if e.Kind == domain.Internal {
		s.log.ErrorContext(r.Context(), "page failed", "method", r.Method, "path", loggedPath(r), "ref", ref, "err", err)
	}
	ui.ShowProblem(w, r, status[e.Kind], e, ref)
}

// loggedPath is the address without the key in an owner's private link: whoever
// reads the log must not be able to open it.
func loggedPath(r *http.Request) string {
	if strings.HasPrefix(r.URL.Path, "/s/") {
		return "/s/…"
	}
	return r.URL.Path
}

// nowhere answers an address that leads to no page.
func (s *site) nowhere(w http.ResponseWriter, r *http.Request) {
	s.problem(w, r, domain.Missing("There is no page at this address."))
}

// panicked is a bug that was caught at the edge.
type panicked struct {
	value any
	stack []byte
}

// Error is for the log only.
func (p *panicked) Error() string { return fmt.Sprintf("panic: %v\n%s", p.value, p.stack) }
