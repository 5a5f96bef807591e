package archive

import (
	"context"
	"io"
)

// Tell hears how far long work has come: so many bytes or tables of all of them; all
// is 0 where nobody can know it before the end.
type Tell func(done, all int64)

type tellKey struct{}

// Telling returns a context whose long work tells how far it has come.
func Telling(ctx context.Context, tell Tell) context.Context {
	return context.WithValue(ctx, tellKey{}, tell)
}

func tell(ctx context.Context, done, all int64) {
	if t, ok := ctx.Value(tellKey{}).(Tell); ok && t != nil {
		t(done, all)
	}
}

// telling passes on what is written and tells how much it was.
type telling struct {
	io.Writer
	ctx       context.Context
	done, all int64
}

// Write implements io.Writer.
func (w *telling) Write(p []byte) (int, error) {
	n, err := w.Writer.Write(p)
	w.done += int64(n)
	tell(w.ctx, w.done, w.all)
	return n, err
}
