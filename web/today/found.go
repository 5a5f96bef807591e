package today

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// toPutRight lists what a round found out of its limit and nobody has closed, a line a
// walk of a room. Beside a temperature stands what the room's air was last, so that an old
// one is not taken for how it is now.
func toPutRight(ctx context.Context, list []db.ActionRow, rooms []db.RoomNow) group {
	g := group{Title: ui.T(ctx, "To be put right"), All: "/round/actions", Sum: len(list)}
	for _, walk := range db.ByWalk(list) {
		first := walk[0]
		l := ui.LineView{Title: first.Label + ": " + ui.Say(ctx, first.Action().Found()), Note: ui.Say(ctx, first.Action().Do()), Urgent: first.DoneAt == nil,
			Href: "/round/actions#action-" + first.ID.String(), Act: ui.T(ctx, "Put it right")}
		if len(walk) > 1 { // what to do about each stands on their card
			l.Title, l.Note, l.Href = ui.T(ctx, "%s: %d things", first.Label, len(walk)), foundWords(ctx, walk), "/round/actions#several-"+first.ID.String()
		}
		if first.DoneAt != nil {
			l.Note, l.Act = ui.T(ctx, "%s: %s. Somebody else looks at it and closes it.", first.DoneBy, first.Done), ui.T(ctx, "Look at it")
			g.Lines = append(g.Lines, l)
			continue
		}
		l.Note += " " + ui.T(ctx, "Found %s by %s.", ui.Moment(ctx, first.FoundAt), first.FoundBy)
		at := slices.IndexFunc(rooms, func(r db.RoomNow) bool { return r.Room == first.Room && r.Reading != nil })
		if at >= 0 && slices.ContainsFunc(walk, func(a db.ActionRow) bool { return a.Action().OfTemperature() }) {
			l.Note += " " + ui.T(ctx, "The room's air was last %s, %s.", rooms[at].Reading.C, ui.Moment(ctx, rooms[at].Reading.At))
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}

// foundWords names what one walk found, in one sentence.
func foundWords(ctx context.Context, walk []db.ActionRow) string {
	var said []string
	for _, a := range walk {
		said = append(said, ui.Say(ctx, a.Action().Found()))
	}
	return strings.Join(said, "; ") + "."
}

// thermometers lists those due for a check in ice, out of service, or with rounds
// to be looked at again.
func thermometers(ctx context.Context, list []db.Thermometer, now time.Time) group {
	g := group{Title: ui.T(ctx, "Thermometers"), All: "/round/thermometers"}
	for _, t := range list {
		l := ui.LineView{Title: t.Name, Href: "/round/thermometers", Act: ui.T(ctx, "Check it in ice")}
		last := t.Last()
		state := round.Stands(last, now)
		switch {
		case t.Open > 0:
			l.Note, l.Act, l.Urgent = ui.T(ctx, "A check throws doubt on %d rounds measured with it. Look at each again.", t.Open), ui.T(ctx, "Look again"), true
		case t.RetiredAt != nil || state == round.InService:
			continue
		case last == nil:
			l.Note = ui.T(ctx, "never checked in ice: check it before it measures anything")
		case state == round.OutOfService:
			l.Note, l.Urgent = ui.T(ctx, "Out of service since %s.", last.At), true
		default:
			l.Note = ui.T(ctx, "Last checked in ice water %s: that is more than a week.", last.At)
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}
