package signin

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
)

// Look writes down that whoever holds the device looks at private things of a
// record; it stands before the page that shows them, so that nothing is shown that
// was not written down.
func Look(ctx context.Context, d *db.DB, now time.Time, l db.Looked) error {
	return d.SeePrivate(ctx, Holder(ctx), now, l)
}

// PageShown writes down in each open visit that a page visitors come for was opened.
// A page that a tablet fetches by itself, to keep it, was shown to nobody.
func PageShown(r *http.Request, d *db.DB, now time.Time, what string) error {
	if r.Header.Get("Coldrail-Keep") != "" {
		return nil
	}
	return d.PageShown(r.Context(), Holder(r.Context()), now, what)
}
