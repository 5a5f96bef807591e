package today

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/cooler"
	"coldrail/domain/hold"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// groups lists what needs a person: the rooms and the meat first, then people, then
// paper; what has to be told within a day stands with the meat. An animal stands in the
// first of the groups about its condition that fits, and its owner is called once.
func groups(ctx context.Context, t db.Today, now time.Time) []group {
	hung := whole(t.Hung)
	c := conditions(ctx, hung, now)
	c.Stop.Lines = append(atTable(ctx, t.Stopped), c.Stop.Lines...)
	outside, inside := arrivals(ctx, t.InHouse, t.Hung, now)
	atOnce, inTime := notices(ctx, t.Notices, now), group{}
	if !slices.ContainsFunc(atOnce.Lines, func(l ui.LineView) bool { return l.Urgent }) {
		atOnce, inTime = inTime, atOnce
	}
	list := []group{incidents(ctx, t.Warm), rooms(ctx, t.Rooms), rounds(ctx, t.Rounds, now), c.Stop, outside, atOnce, toPutRight(ctx, t.Actions, t.Rooms),
		c.Past, c.Soon, inside, bay(ctx, t.Bay, now), toFreeze(ctx, t.Freeze, now), c.Look, c.First, twoOnHook(ctx, t.Hung), thermometers(ctx, t.Devices, now)}
	gone, tooLate, written, bad := mustGo(ctx, t.MustGo, now), late(ctx, t.Late), letters(ctx, t.Letters, now), untold(ctx, t.Untold)
	list = append(list, bad, inTime, copies(ctx, t.Copies, now), registerWalk(ctx, t.Walked, now), unended(ctx, t.Unended), weightCalls(ctx, t.Weights),
		reviews(ctx, t.Reviews), signatures(ctx, t.Sign, hung), gone, tooLate, toCall(ctx, t.ToCall, now), moved(ctx, t.Moved), promised(ctx, t.InHouse, asked(tooLate), now), booked(ctx, t.Booked, now), written)
	return append(list, orders(ctx, t.InHouse, asked(c.Past, c.Soon, c.First, bad)), paper(ctx, t.Owing), waiting(ctx, t.InHouse, asked(gone, written, bad), now))
}

// incidents are the warm rooms nobody has closed.
func incidents(ctx context.Context, list []db.Incident) group {
	g := group{Title: ui.T(ctx, "Incidents"), All: "/coolers"}
	for _, i := range list {
		note := ui.T(ctx, "Too warm since %s. Measure five animals.", i.BeganAt)
		if i.EndedAt != nil { // a room may have several: the time tells them apart
			note = ui.T(ctx, "Too warm from %s to %s, %s.", i.BeganAt, *i.EndedAt, ui.Span(ctx, i.EndedAt.Sub(i.BeganAt)))
		}
		switch {
		case i.Waiting > 0:
			note += " " + ui.T(ctx, "%d animals wait for a decision.", i.Waiting)
		case i.EndedAt != nil:
			note += " " + ui.T(ctx, "The room is cold again. Say what was wrong and close it.")
		}
		g.Lines = append(g.Lines, ui.LineView{Title: i.Label, Note: note, Href: "/coolers/incidents/" + i.ID.String(), Act: ui.T(ctx, "Open"), Urgent: true})
	}
	return g
}

func rooms(ctx context.Context, list []db.RoomNow) group {
	g := group{Title: ui.T(ctx, "Rooms to look at"), All: "/rail"}
	for _, r := range list {
		l := ui.LineView{Title: r.Label, Href: "/coolers/" + r.Room, Act: ui.T(ctx, "Look at the room")}
		switch {
		case r.Reading == nil:
			l.Note = ui.T(ctx, "No reading of this room yet. Read the thermometer.")
			l.Href, l.Act = "/round/"+r.Room, ui.T(ctx, "Walk the round")
		case r.Finding.Band == cooler.Fine:
			continue
		default:
			l.Badge = ui.Temperature(r.Reading.C, r.Finding.Band != cooler.Freezing)
			l.Note = ui.T(ctx, "%s Last read %s.", r.Finding.Say, r.Reading.At)
			if r.Stops != nil {
				l.Note += " " + ifItStops(ctx, *r.Stops)
			}
			l.Urgent = r.Finding.Band == cooler.Incident || r.Finding.Band == cooler.Freezing
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}

// ifItStops says how long a warm room has if its cooling does not come back.
func ifItStops(ctx context.Context, w cooler.Warmup) string {
	limit := domain.Fahrenheit(41)
	p := w.Passes(limit)
	switch {
	case w.Animals == 0:
		return ui.T(ctx, "Nothing hangs in it.")
	case p.Surface == nil:
		return ui.T(ctx, "If cooling stops now, the meat stays below %s for 3 days.", limit)
	case *p.Surface == 0:
		return ui.T(ctx, "By the model the meat's surface is past %s already.", limit)
	}
	return ui.T(ctx, "If cooling stops now, the meat's surface passes %s in %s.", limit, ui.Span(ctx, *p.Surface))
}

func rounds(ctx context.Context, list []db.RoundDue, now time.Time) group {
	g := group{Title: ui.T(ctx, "Rounds"), All: "/round"}
	for _, r := range list {
		l := ui.LineView{Title: ui.T(ctx, "%s, morning round", r.Label), Href: "/round/" + r.Room, Act: ui.T(ctx, "Walk the round"), Urgent: r.State == round.Missed}
		if r.Kind == round.Evening {
			l.Title = ui.T(ctx, "%s, evening round", r.Label)
		}
		switch {
		case r.State == round.Missed:
			l.Note = ui.T(ctx, "Missed. It was due %s and nobody has walked it since. Walk it now.", r.DueAt)
			if n := round.MissedInARow(r.Lately); n >= 2 {
				l.Note += " " + ui.T(ctx, "That makes %d in a row: phone the owner of the shop.", n)
			}
		case now.After(r.DueAt):
			l.Note = ui.T(ctx, "Was due at %s; its time runs out at %s.", ui.Clock(ctx, r.DueAt), ui.Clock(ctx, r.ClosesAt))
		default:
			l.Note = ui.T(ctx, "Due at %s, may be walked now.", ui.Clock(ctx, r.DueAt))
		}
		g.Lines = append(g.Lines, l)
	}
	// A missed round comes before one that is only due.
	slices.SortStableFunc(g.Lines, func(a, b ui.LineView) int { return before(a.Urgent, b.Urgent) })
	return g
}

func before(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// condition is what hangs and needs a person, by why.
type condition struct{ Stop, Past, Soon, Look, First group }

// conditions sorts what hangs into what stops, must be looked at, is past its
// day or nearly so, and is to be cut first.
func conditions(ctx context.Context, hung []db.Hung, now time.Time) condition {
	c := condition{
		Stop:  group{Title: ui.T(ctx, "Stopped, the lead decides"), All: "/rail"},
		Look:  group{Title: ui.T(ctx, "Look at these"), All: "/round"},
		Past:  group{Title: ui.T(ctx, "Past their day"), All: "/cutting"},
		Soon:  group{Title: ui.T(ctx, "To be cut by today or tomorrow"), All: "/cutting"},
		First: group{Title: ui.T(ctx, "Cut first"), All: "/cutting"},
	}
	slices.SortStableFunc(hung, func(a, b db.Hung) int { return lastDay(a).Compare(lastDay(b)) })
	for _, h := range hung {
		l := animalLine(ctx, h)
		switch {
		case h.Condition() == string(ageing.Stop):
			l.Urgent, l.Href, l.Act = true, at(h.Number, "/look"), ui.T(ctx, "Look and decide")
			c.Stop.Lines = append(c.Stop.Lines, l)
		case h.Condition() == string(ageing.LookAtIt):
			l.Href, l.Act = at(h.Number, "/look"), ui.T(ctx, "Look at it")
			c.Look.Lines = append(c.Look.Lines, l)
		case h.Verdict.Condition == ageing.Past || h.Verdict.CutBy.Before(now):
			l.Urgent = true
			l.Note = ui.T(ctx, "%s. Its last day was %s.", h.Place(), ui.Day(ctx, h.Verdict.CutBy))
			c.Past.toKnife(ctx, l, h)
		case h.Verdict.Condition == ageing.FirstToCut:
			c.First.toKnife(ctx, l, h)
		case days(ctx, now, h.Verdict.CutBy) <= 1:
			l.Note = ui.T(ctx, "%s. Cut it no later than %s.", h.Place(), ui.Moment(ctx, h.Verdict.CutBy))
			c.Soon.toKnife(ctx, l, h)
		}
	}
	return c
}

// atTable are those a look stopped under the knife: nothing of them is finished or boxed.
func atTable(ctx context.Context, list []db.StoppedAtTable) (lines []ui.LineView) {
	for _, s := range list {
		note := ui.T(ctx, "In pieces, not boxed. %s", s.Found())
		if s.OnTable {
			note = ui.T(ctx, "On the table. %s", s.Found())
		}
		lines = append(lines, ui.LineView{Mark: ui.TagLink(s.Number), Title: name(ctx, s.Species), Badge: ui.Condition(string(ageing.Stop)), Note: note,
			Href: at(s.Number, "/look"), Act: ui.T(ctx, "Look and decide"), Urgent: true})
	}
	return lines
}

// lastDay sorts what nothing is known of first.
func lastDay(h db.Hung) time.Time {
	if h.Verdict == nil {
		return time.Time{}
	}
	return h.Verdict.CutBy
}

// animalLine is one hanging animal with the first reason of its condition.
func animalLine(ctx context.Context, h db.Hung) ui.LineView {
	l := ui.LineView{Mark: ui.TagLink(h.Number), Title: name(ctx, h.Species), Badge: ui.Condition(h.Condition()), Href: at(h.Number, ""), Act: ui.T(ctx, "Open")}
	why := h.Why
	if h.Verdict != nil && len(h.Verdict.Reasons) > 0 {
		why = h.Verdict.Reasons[0]
	}
	l.Note = ui.T(ctx, "%s. %s", h.Place(), why)
	if len(h.Holds) > 0 {
		l.Note += " " + ui.T(ctx, "Held: %s.", hold.Kind(h.Holds[0]).Words())
	}
	return l
}

// obstacle is what keeps an animal from the knife; the table asks for the same
// (domain/cutting/next.go).
type obstacle int

const (
	nothing obstacle = iota
	notCertain
	held
	noPaper
	noOrder
)

func against(h db.Hung) obstacle {
	switch {
	case h.Conflict:
		return notCertain
	case slices.ContainsFunc(h.Holds, func(kind string) bool { return hold.Kind(kind).Blocks(hold.Cut) }):
		return held
	case !h.Legal.Checked():
		return noPaper
	case h.OrderState == animal.NoOrder || h.OrderState == animal.Incomplete:
		return noOrder
	}
	return nothing
}

// cuttable are the conditions in which an animal is cut.
var cuttable = []string{string(ageing.Ready), string(ageing.FirstToCut), string(ageing.Past)}

// toKnife adds a line that leads to the knife, or to what keeps the animal from it.
func (g *group) toKnife(ctx context.Context, l ui.LineView, h db.Hung) {
	switch against(h) {
	case notCertain:
		l.Href, l.Act = "/rail", ui.T(ctx, "Go to the rail")
		l.Note += " " + ui.T(ctx, "Not certain which animal this is. Settle that first.")
	case held:
		l.Href, l.Act = at(h.Number, "/holds"), ui.T(ctx, "See what holds it")
	case noPaper:
		l.Href, l.Act = "/dropoff/owed/"+string(h.Number), ui.T(ctx, "Fill in")
		l.Note += " " + ui.T(ctx, "Tag or register not complete.")
	case noOrder:
		l.Href, l.Act = at(h.Number, "/order"), ui.T(ctx, "Get the order")
		l.Note += " " + ui.T(ctx, "The order is missing or not complete.")
		g.call(h.Number, l)
		return
	default:
		l.Href, l.Act = "/cutting?take="+string(h.Number), ui.T(ctx, "Take it to the table")
	}
	g.Lines = append(g.Lines, l)
}

func twoOnHook(ctx context.Context, hung []db.Hung) group {
	g := group{Title: ui.T(ctx, "Two on one hook"), All: "/rail"}
	for _, h := range hung {
		if h.Conflict {
			g.Lines = append(g.Lines, ui.LineView{Mark: ui.TagLink(h.Number), Title: h.Place(), Href: "/rail", Act: ui.T(ctx, "Go to the rail"), Urgent: true,
				Note: ui.T(ctx, "Another animal is written on this hook. Read both tags and move one.")})
		}
	}
	return g
}

func reviews(ctx context.Context, list []db.Review) group {
	g := group{Title: ui.T(ctx, "Holds to look at again"), All: "/rail"}
	for _, r := range list {
		g.Lines = append(g.Lines, ui.LineView{Mark: ui.TagLink(r.Number), Title: name(ctx, r.Species), Badge: ui.Held(ui.Say(ctx, r.Kind.Words())),
			Note: ui.T(ctx, "%s (%s). To be looked at again %s.", r.Why, r.OpenedBy, ui.Day(ctx, ui.Calendar(ctx, r.ReviewOn))),
			Href: at(r.Number, "/holds"), Act: ui.T(ctx, "Look at the hold")})
	}
	return g
}

// signatures lists what hangs past day 14 and whose week the lead has not signed. What
// is stopped is decided first; nobody signs for its week before.
func signatures(ctx context.Context, list []db.SignatureDue, hung []db.Hung) group {
	g := group{Title: ui.T(ctx, "Past day 14, for the lead to sign"), All: "/rail"}
	for _, s := range list {
		if slices.ContainsFunc(hung, func(h db.Hung) bool { return h.Number == s.Number && h.Condition() == string(ageing.Stop) }) {
			continue
		}
		note := ui.T(ctx, "Killed %s; not signed yet. Touch and smell it, then sign for the week.", ui.Day(ctx, s.KilledAt))
		if s.SignedAt != nil {
			note = ui.T(ctx, "Killed %s; last signed %s. Touch and smell it, then sign for the week.", ui.Day(ctx, s.KilledAt), ui.Day(ctx, *s.SignedAt))
		}
		g.Lines = append(g.Lines, ui.LineView{Mark: ui.TagLink(s.Number), Title: name(ctx, s.Species), Note: note, Href: at(s.Number, "/signoff"), Act: ui.T(ctx, "Sign")})
	}
	return g
}

// promised lists what was promised for today or before and is still here, but for
// those the plan has named already.
func promised(ctx context.Context, list []db.Present, named map[domain.ShopNumber]bool, now time.Time) group {
	g := group{Title: ui.T(ctx, "Promised by today"), All: "/pickup"}
	for _, a := range list {
		if a.PromisedOn == nil || days(ctx, now, ui.Calendar(ctx, *a.PromisedOn)) > 0 || a.Physical == animal.PartReleased || named[a.Number] {
			continue
		}
		l := ui.LineView{Mark: ui.TagLink(a.Number), Title: name(ctx, a.Species), Href: at(a.Number, ""), Act: ui.T(ctx, "Open"),
			Note: ui.T(ctx, "Promised for %s; now %s.", ui.Day(ctx, ui.Calendar(ctx, *a.PromisedOn)), a.Physical.Words())}
		if a.Physical == animal.Stored {
			l.Href, l.Act = "/pickup/"+string(a.Number), ui.T(ctx, "Hand it over")
		} else {
			l.Urgent = true
		}
		g.Lines = append(g.Lines, l)
	}
	return g
}

// orders lists what hangs or waits without an order that can be cut to, but for those
// that stand among what is to be cut.
func orders(ctx context.Context, list []db.Present, named map[domain.ShopNumber]bool) group {
	g := group{Title: ui.T(ctx, "Orders to ask for"), All: "/cutting"}
	for _, a := range list {
		if a.OrderState != animal.NoOrder && a.OrderState != animal.Incomplete || !a.Physical.OnRail() && a.Physical != animal.Received || named[a.Number] {
			continue
		}
		if len(g.Lines) == mostLines {
			g.Rest++
			continue
		}
		g.call(a.Number, ui.LineView{Mark: ui.TagLink(a.Number), Title: name(ctx, a.Species), Href: at(a.Number, "/order"), Act: ui.T(ctx, "Take the order"),
			Note: ui.T(ctx, "%s, since %s.", ui.Capital(ui.Say(ctx, a.OrderState.Words())), ui.Day(ctx, a.ReceivedAt))})
	}
	return g
}

// paper lists what the register still lacks.
func paper(ctx context.Context, list []db.Owing) group {
	g := group{Title: ui.T(ctx, "Owed to the register"), All: "/dropoff/owed", Rest: max(0, len(list)-mostLines)}
	for _, o := range list[:min(mostLines, len(list))] {
		var owed []string
		for _, f := range o.Fields() {
			owed = append(owed, ui.Say(ctx, f.Label))
		}
		g.Lines = append(g.Lines, ui.LineView{Mark: ui.TagLink(o.Number), Title: name(ctx, o.Species), Href: "/dropoff/owed/" + string(o.Number), Act: ui.T(ctx, "Write it down"),
			Note: ui.T(ctx, "Still owed: %s. Taken in %s.", strings.Join(owed, ", "), ui.Day(ctx, o.ReceivedAt))})
	}
	return g
}

// longWait is how long boxes stand before the page speaks of them.
const longWait = 7 * 24 * time.Hour

// waiting lists the boxes nobody has picked up for a week, the oldest first, but for
// those whose owner is to be called for something harder.
func waiting(ctx context.Context, list []db.Present, named map[domain.ShopNumber]bool, now time.Time) group {
	g := group{Title: ui.T(ctx, "In the freezer for a week or more"), All: "/pickup"}
	var long []db.Present
	for _, a := range list {
		if a.Boxes > 0 && a.BoxedAt != nil && now.Sub(*a.BoxedAt) >= longWait && !named[a.Number] {
			long = append(long, a)
		}
	}
	slices.SortStableFunc(long, func(a, b db.Present) int { return a.BoxedAt.Compare(*b.BoxedAt) })
	for _, a := range long {
		note := ui.T(ctx, "%d boxes", a.Boxes) + ", " + ui.T(ctx, "boxed %s.", ui.Ago(ctx, *a.BoxedAt, now))
		if a.Held {
			note += " " + ui.T(ctx, "Held: it may not go out yet.")
		}
		g.call(a.Number, ui.LineView{Mark: ui.TagLink(a.Number), Title: name(ctx, a.Species), Note: note, Href: at(a.Number, ""), Act: ui.T(ctx, "Call the owner")})
	}
	return g
}

func name(ctx context.Context, s domain.Species) string { return ui.Capital(ui.Say(ctx, s.Words())) }

func at(n domain.ShopNumber, screen string) string { return "/animals/" + string(n) + screen }

// days counts the shop's midnights between two instants.
func days(ctx context.Context, from, to time.Time) int {
	return domain.DaysUntil(from, to, ui.ShopOf(ctx).Zone)
}
