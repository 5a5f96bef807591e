package signin

import (
	"context"
	"time"

	"coldrail/db"
)

// Look writes down that whoever holds the device looks at private things of a
// record; it stands before the page that shows them, so that nothing is shown that
// was not written down.
func Look(ctx context.Context, d *db.DB, now time.Time, l db.Looked) error {
	return d.SeePrivate(ctx, Holder(ctx), now, l)
}
