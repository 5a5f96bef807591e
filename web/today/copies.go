package today

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain/backup"
	"coldrail/web/ui"
)

// copies tells that the last good backup of the records is too old, or that the
// last try failed. A shop that makes none is left in peace.
func copies(ctx context.Context, b db.BackupsSoFar, now time.Time) group {
	g := group{Title: ui.T(ctx, "Backups"), All: "/office/backups"}
	stands := b.Stands(now)
	if stands == backup.Off || stands == backup.Fresh && b.Wrong == "" {
		return g
	}
	l := ui.LineView{Title: ui.T(ctx, "Tell the owner: the records are not backed up"), Href: "/office/backups", Act: ui.T(ctx, "Look at the backups"), Urgent: stands == backup.Old}
	switch {
	case b.Good.IsZero():
		l.Note = ui.T(ctx, "No good backup was made since they were turned on.")
	default:
		l.Note = ui.T(ctx, "The last good backup is from %s.", ui.Moment(ctx, b.Good))
	}
	if b.Wrong != "" {
		l.Note += " " + ui.T(ctx, "The last try failed: %s", b.Wrong)
	}
	g.Lines = append(g.Lines, l)
	return g
}
