package today

import (
	"context"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// bay lists the carcasses and cards of the night without their other half: each is
// somebody's question, with its clock.
func bay(ctx context.Context, list []db.NightFind, now time.Time) group {
	g := group{Title: ui.T(ctx, "Found in the bay, whose is it"), All: "/dropoff/night"}
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

// booked lists what is to come today, and what should have come and did not.
func booked(ctx context.Context, list []db.Booking, now time.Time) group {
	g := group{Title: ui.T(ctx, "Booked for today"), All: "/bookings"}
	for _, b := range list {
		l := ui.LineView{Title: ui.T(ctx, "%s: %d × %s", b.Name, b.Heads, b.Species.Words()), Href: "/dropoff?booking=" + b.ID.String(), Act: ui.T(ctx, "It is here: take it in"), Note: b.Note}
		if b.BringAt != "" {
			l.Note = strings.TrimSpace(ui.T(ctx, "Brought at %s.", ui.WallClock(ctx, b.BringAt)) + " " + b.Note)
		}
		if days(ctx, now, ui.Calendar(ctx, b.Day)) < 0 {
			l.Note = ui.T(ctx, "Was booked for %s. Say whether nobody came.", ui.Day(ctx, ui.Calendar(ctx, b.Day)))
			l.Href, l.Act = "/bookings", ui.T(ctx, "Say what happened")
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}

// notices lists what has to be told because a rule says so, with its hour.
func notices(ctx context.Context, list []db.Notice, now time.Time) group {
	g := group{Title: ui.T(ctx, "Notices to send"), All: "/notices"}
	for _, n := range list {
		l := ui.LineView{Title: ui.T(ctx, "Tell %s", n.Tell), Href: "/notices", Act: ui.T(ctx, "Send it"), Urgent: n.DueAt.Sub(now) < 24*time.Hour,
			Note: ui.T(ctx, "Due %s. %s", ui.Moment(ctx, n.DueAt), n.Cites)}
		if n.Number != "" {
			l.Mark = ui.TagLink(n.Number)
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}

// letters lists the meat nobody fetches for which a letter or a decision is due.
func letters(ctx context.Context, list []db.Uncollected, now time.Time) group {
	g := group{Title: ui.T(ctx, "Nobody fetches these"), All: "/pickup/unclaimed"}
	for _, u := range list {
		g.call(u.Number, ui.LineView{Mark: ui.TagLink(u.Number), Title: name(ctx, u.Species), Href: "/pickup/" + string(u.Number) + "/letters", Act: ui.T(ctx, "Go on"),
			Note: ui.T(ctx, "First told %s, %d tries and %d letters so far.", ui.Ago(ctx, u.Told.First, now), u.Told.Tries, u.Told.Letters)})
	}
	return g
}
