package ui

import (
	"bytes"
	"fmt"
	"net/http"
	"strconv"
	"sync"

	"github.com/a-h/templ"
)

// pages holds buffers that have carried a page before, so that the next one
// need not grow from nothing.
var pages = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// largest is the biggest buffer worth keeping.
const largest = 1 << 20

// Render writes a page or a part of one. It is made in memory first, so that a
// template that fails half way is a problem page and never half a page; the
// error then goes back to the caller and nothing has been sent.
func Render(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	page := pages.Get().(*bytes.Buffer)
	page.Reset()
	defer func() {
		if page.Cap() <= largest {
			pages.Put(page)
		}
	}()
	if err := c.Render(r.Context(), page); err != nil {
		return fmt.Errorf("render %s: %w", r.URL.Path, err)
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Length", strconv.Itoa(page.Len()))
	h.Add("Vary", "HX-Request") // a problem is a part for htmx and a page otherwise
	if status >= 400 {
		h.Set("HX-Push-Url", "false") // the address stays that of the page the form stood on
	}
	w.WriteHeader(status)
	_, _ = w.Write(page.Bytes()) // fails only if the visitor has gone: nobody is left to tell
	return nil
}
