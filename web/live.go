package web

import (
	"net/http"
	"time"

	"github.com/klauspost/compress/gzhttp"
)

// How often a board is told at most, and how often a line goes out where nothing
// changes, so that neither end takes the other for dead.
const (
	toldAtMost = time.Second
	stillHere  = 25 * time.Second
)

// live serves GET /live: a stream of server-sent events (HTML standard, section
// 9.2), one after each change of the records, on whichever server it was made. A
// board then asks for itself again, and is answered 304 where it is as it was.
func (s *site) live(w http.ResponseWriter, r *http.Request) {
	ear, deaf := s.Changes.Hear()
	defer deaf()
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set(gzhttp.HeaderNoCompression, "yes")
	out := http.NewResponseController(w)
	send := func(text string) bool {
		_ = out.SetWriteDeadline(time.Now().Add(2 * stillHere)) // a server without deadlines has none to move
		_, err := w.Write([]byte(text))
		return err == nil && out.Flush() == nil
	}
	for ok := send(": here\n\n"); ok; {
		select {
		case <-r.Context().Done():
			return
		case _, open := <-ear:
			if !open {
				return // the program ends
			}
			ok = send("event: changed\ndata:\n\n")
			select {
			case <-r.Context().Done():
			case <-time.After(toldAtMost):
			}
		case <-time.After(stillHere):
			ok = send(": still here\n\n")
		}
	}
}
