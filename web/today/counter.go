package today

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// bay lists the carcasses and cards of the night without their other half: each is
// somebody's question, with its clock.
func bay(ctx context.Context, list []db.NightFind, now time.Time) group {
	g := group{Title: ui.T(ctx, "Found in the bay: whose is it?"), All: "/dropoff/night"}
	for _, f := range list {
		call := animal.CallBy(f.FoundAt, ui.ShopOf(ctx).Zone)
		l := ui.LineView{Title: ui.T(ctx, "Carcass without a card"), Href: "/dropoff/night", Act: ui.T(ctx, "Settle it"), Urgent: !now.Before(call),
			Note: ui.T(ctx, "%s, found %s. Call by %s.", f.FoundBy, ui.Moment(ctx, f.FoundAt), ui.Moment(ctx, call))}
		if f.IsCard() {
			l.Title = ui.T(ctx, "Card without a carcass: %s", f.Reads)
		}
		if f.TakenInAs != nil {
			l.Mark = ui.TagLink(*f.TakenInAs)
		}
		if !now.Before(animal.WardenBy(f.FoundAt)) {
			l.Note = ui.T(ctx, "%s, found %s. A day has passed: call the warden.", f.FoundBy, ui.Moment(ctx, f.FoundAt))
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}
