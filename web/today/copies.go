package today

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain/backup"
	"coldrail/domain/register"
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

// registerWalk tells that the program found a line of the register changed, or has
// not walked it for nights. A register that is whole is left in peace.
func registerWalk(ctx context.Context, c db.RegisterCheck, now time.Time) group {
	g := group{Title: ui.T(ctx, "The register"), All: "/office?check=register"}
	l := ui.LineView{Href: g.All, Act: ui.T(ctx, "Look at the register"), Urgent: true}
	switch {
	case c.Wrong != "":
		l.Title = ui.T(ctx, "Tell the owner: the register is not as it was written")
		l.Note = ui.T(ctx, "%s Found %s.", c.Wrong, ui.Moment(ctx, c.EndedAt))
	case register.CheckOld(c.BeganAt, now):
		l.Title, l.Urgent = ui.T(ctx, "Tell the owner: the register was not checked by night"), false
		l.Note = ui.T(ctx, "Last checked %s. Does the shop's machine run by night?", ui.Moment(ctx, c.EndedAt))
	default:
		return g
	}
	g.Lines = append(g.Lines, l)
	return g
}
