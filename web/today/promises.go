package today

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/web/messages"
	"coldrail/web/ui"
)

// toCall lists the owners somebody has to call.
func toCall(ctx context.Context, list []db.Message, now time.Time) group {
	g := group{Title: ui.T(ctx, "Owners to call"), All: "/messages"}
	for _, m := range list {
		g.Lines = append(g.Lines, ui.LineView{Mark: ui.TagLink(m.Number), Title: messages.Title(ctx, m), Note: messages.Said(ctx, m, now), Phone: m.Phone,
			Href: "/messages#message-" + m.ID.String(), Act: ui.T(ctx, "Call the owner")})
	}
	return g
}

// untold lists the owners who wait for news that the lead tells: until then their page
// only asks them to call, and nothing else here would send anybody to the phone.
func untold(ctx context.Context, list []db.Untold) group {
	g := group{Title: ui.T(ctx, "The lead speaks to the owner")}
	for _, u := range list {
		note := ui.T(ctx, "The owner's page only asks them to call, until the lead has spoken to them.")
		if u.LostAt != nil {
			note = ui.T(ctx, "Meat was condemned %s.", *u.LostAt) + " " + note
		}
		g.call(u.Number, ui.LineView{Mark: ui.TagLink(u.Number), Title: name(ctx, u.Species), Note: note, Href: at(u.Number, ""), Act: ui.T(ctx, "Call the owner")})
	}
	return g
}

// late lists the promises the cut plan cannot keep; the plan offers the new day.
func late(ctx context.Context, list []db.Planned) group {
	g := group{Title: ui.T(ctx, "Promises that cannot be kept"), All: "/cutting/plan"}
	for _, p := range list {
		g.call(p.Number, ui.LineView{Mark: ui.TagLink(p.Number), Title: name(ctx, p.Species), Href: "/cutting/plan#promises", Act: ui.T(ctx, "Move the promise"),
			Note:   ui.T(ctx, "Promised %s, can be home %s. Tell the owner.", ui.Day(ctx, ui.Calendar(ctx, p.Promised())), ui.Day(ctx, ui.Calendar(ctx, p.Home))),
			Urgent: true})
	}
	return g
}

// mustGo lists what a rule lets nobody hold much longer.
func mustGo(ctx context.Context, list []db.MustGo, now time.Time) group {
	g := group{Title: ui.T(ctx, "May not be held much longer"), All: "/pickup/unclaimed"}
	for _, m := range list {
		g.call(m.Number, ui.LineView{Mark: ui.TagLink(m.Number), Title: name(ctx, m.Species), Href: "/pickup/" + string(m.Number), Act: ui.T(ctx, "Call the owner"), Urgent: m.Over(now),
			Note: ui.T(ctx, "Until %s. %s", ui.Date(ctx, m.Until), m.By.Quoted())})
	}
	return g
}

// moved lists the owners to be told of a day that moved, until a call, a text or
// a letter is written down.
func moved(ctx context.Context, list []db.Moved) group {
	g := group{Title: ui.T(ctx, "Owners to tell that the day moved"), All: "/cutting/plan"}
	for _, m := range list {
		was := m.Was
		if day, err := time.Parse(time.DateOnly, was); err == nil {
			was = ui.Day(ctx, ui.Calendar(ctx, day))
		}
		g.call(m.Number, ui.LineView{Mark: ui.TagLink(m.Number), Title: name(ctx, m.Species), Href: at(m.Number, ""), Act: ui.T(ctx, "Call the owner"),
			Note: ui.T(ctx, "Promised %s, now %s (%s).", was, ui.Day(ctx, ui.Calendar(ctx, m.PromisedOn)), m.By)})
	}
	return g
}
