package today

import (
	"context"
	"time"

	"coldrail/web/ui"
)

// unended asks for the close of yesterday. A day that went by without one is left to
// the next close.
func unended(ctx context.Context, day time.Time) group {
	g := group{Title: ui.T(ctx, "Yesterday was not closed"), All: "/close"}
	if !day.IsZero() {
		g.Lines = append(g.Lines, ui.LineView{Title: ui.Day(ctx, ui.Calendar(ctx, day)), Note: ui.T(ctx, "The lead counts the drawer and signs for the day."),
			Href: "/close?day=" + day.Format(time.DateOnly), Act: ui.T(ctx, "Close it")})
	}
	return g
}
