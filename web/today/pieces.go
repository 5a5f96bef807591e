package today

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/web/ui"
)

// weightCalls lists the farmers who wait to hear what their animal weighs.
func weightCalls(ctx context.Context, list []db.WeightCall) group {
	g := group{Title: ui.T(ctx, "Tell the farmer the hanging weight"), All: "/rail"}
	for _, c := range list {
		g.Lines = append(g.Lines, ui.LineView{Mark: ui.TagLink(c.Number), Title: name(ctx, c.Species) + ", " + c.Name, Phone: c.Phone, Note: ui.Weight(ctx, c.Kg),
			Href: at(c.Number, "/kill"), Act: ui.T(ctx, "Call")})
	}
	return g
}

// toFreeze lists heads, capes and hides that must be in the freezer now or soon.
func toFreeze(ctx context.Context, list []db.Piece, now time.Time) group {
	g := group{Title: ui.T(ctx, "Into the freezer"), All: "/pieces"}
	for _, p := range list {
		l := ui.LineView{Mark: ui.TagLink(p.Number), Title: ui.Say(ctx, p.Kind.Words()), Href: at(p.Number, "/pieces/"+p.Mark), Act: ui.T(ctx, "Say where it lies"), Urgent: now.After(*p.FreezeBy),
			Note: ui.T(ctx, "Came off %s, to be frozen by %s. %s", ui.Moment(ctx, p.MadeAt), ui.Moment(ctx, *p.FreezeBy), p.Place)}
		g.Lines = append(g.Lines, l)
	}
	return g
}
