package hunter

import (
	"bytes"
	"context"
	"net/http"
	"strconv"
	"sync"

	"coldrail/db"
	"coldrail/domain/cutting"
	"coldrail/static"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/google/uuid"
)

// edition is everything that one finished page rests on. Every act on the animal
// changes its mark; what the cooler does to it shows a minute later at most.
type edition struct {
	animal  uuid.UUID
	portion cutting.Portion
	mark    db.Mark
	minute  int64
	shop    ui.Shop
	house   *house
}

// whose is a link's animal and portion: two owners of one animal have two pages.
type whose struct {
	animal  uuid.UUID
	portion cutting.Portion
}

func (e edition) whose() whose { return whose{e.animal, e.portion} }

// memory keeps finished pages for the phones that look again and again.
type memory struct {
	mu    sync.Mutex
	pages map[whose]finished
}

// finished is a page as it goes out, plain and packed.
type finished struct {
	edition
	plain, packed []byte
}

// mostPages bounds the memory: a page is some 30 kB, plain and packed.
const mostPages = 1500

// get returns the page of this edition, from memory or freshly made.
func (m *memory) get(ctx context.Context, e edition, fresh func() (templ.Component, error)) (finished, error) {
	m.mu.Lock()
	f, found := m.pages[e.whose()]
	m.mu.Unlock()
	if found && f.edition == e {
		return f, nil
	}
	page, err := fresh()
	if err != nil {
		return f, err
	}
	if f, err = finish(ctx, e, page); err != nil {
		return f, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.pages == nil || len(m.pages) >= mostPages {
		m.pages = map[whose]finished{}
	}
	m.pages[e.whose()] = f
	return f, nil
}

func finish(ctx context.Context, e edition, page templ.Component) (finished, error) {
	var plain bytes.Buffer
	if err := page.Render(ctx, &plain); err != nil {
		return finished{}, err
	}
	return finished{e, plain.Bytes(), static.Pack(plain.Bytes())}, nil
}

// send writes the page, packed where the phone takes it so.
func (f finished) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store") // a borrowed phone keeps nothing of it
	body := static.Choose(w, r, f.plain, f.packed)
	h.Set("Content-Length", strconv.Itoa(len(body)))
	_, _ = w.Write(body) // fails only if the visitor has gone: nobody is left to tell
}
