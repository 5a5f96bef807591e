package today

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// arrivals sorts what came in and is not weighed and hung for good: each that is not
// in the cooler yet, the one that waits longest first, and in one line the others. A
// carcass has a place in the cooler where it stands among what hangs.
func arrivals(ctx context.Context, here []db.Present, hung []db.Hung, now time.Time) (outside, inside group) {
	outside = group{Title: ui.T(ctx, "Not in the cooler yet"), All: "/skinning"}
	inside = group{Title: ui.T(ctx, "To skin and weigh"), All: "/skinning"}
	placed := make(map[uuid.UUID]bool, len(hung))
	for _, h := range hung {
		placed[h.ID] = true
	}
	hideOn := 0
	var longest time.Time
	for _, a := range here {
		switch {
		case a.Physical != animal.Received && a.Physical != animal.Chilling:
		case placed[a.ID]:
			if inside.Sum++; a.Form == domain.WholeHideOn {
				hideOn++
			}
			if longest.IsZero() {
				longest = a.ReceivedAt // they come by the time of their drop-off
			}
		case len(outside.Lines) == mostLines:
			outside.Rest++
		default:
			outside.Lines = append(outside.Lines, outsideLine(ctx, a, now))
		}
	}
	if inside.Sum > 0 {
		inside.Lines = []ui.LineView{{Title: ui.T(ctx, "%d with the hide on, %d to weigh", hideOn, inside.Sum-hideOn), Href: "/skinning", Act: ui.T(ctx, "Skin and weigh"),
			Note: ui.T(ctx, "They are in the cooler. The first of them came %s.", ui.Ago(ctx, longest, now))}}
	}
	return outside, inside
}

// outsideLine is one that stands warm or not, but not in the cooler.
func outsideLine(ctx context.Context, a db.Present, now time.Time) ui.LineView {
	l := ui.LineView{Mark: ui.TagLink(a.Number), Title: ui.T(ctx, "%s, came %s", name(ctx, a.Species), ui.Ago(ctx, a.ReceivedAt, now)), Urgent: true, Badge: ui.ToHang(a.Number),
		Href: "/skinning/" + string(a.Number), Act: ui.T(ctx, "Weigh and hang"), Note: ui.T(ctx, "Nobody measured it at the door.")}
	if a.DeepC != nil {
		l.Note = ui.T(ctx, "%s deep at the door, %s.", *a.DeepC, ui.Moment(ctx, a.ReceivedAt))
	}
	return l
}
