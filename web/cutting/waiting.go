package cutting

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/ui"
)

// reasons is why an animal stands where it stands, beyond what the badge and its days tell.
func reasons(ctx context.Context, why []domain.Words) (said []string) {
	for _, w := range why {
		if domaincutting.SaysMore(w) {
			said = append(said, ui.Say(ctx, w))
		}
	}
	return said
}

// stands says of an animal what the badge beside it does not: what is wrong with it,
// whether it was begun, whose it is, how tender, how long it keeps, and what else decides its place. Each is
// said once.
func stands(ctx context.Context, q db.Queued, now time.Time) string {
	said := faults(ctx, q)
	if q.Begun {
		said = append(said, ui.T(ctx, "Begun and hung back; packs of it so far: %d.", q.Packs))
	}
	if q.Owner != "" {
		said = append(said, q.Owner+".")
	}
	said = append(said, tenderSaid(ctx, q)...)
	said = append(said, daysSaid(ctx, q, now)...)
	return strings.Join(append(said, reasons(ctx, q.Why)...), " ")
}

// faults is what the knife has to know first: the mold, the sticky surface or the
// damage for which it is cut before others, or that stops it.
func faults(ctx context.Context, q db.Queued) (said []string) {
	if q.Verdict == nil || q.Condition != domaincutting.CutFirst && q.Condition != domaincutting.Stop {
		return nil
	}
	for _, w := range q.Verdict.Asked() {
		said = append(said, ui.Say(ctx, w))
	}
	return said
}

func tenderSaid(ctx context.Context, q db.Queued) []string {
	if v := q.Verdict; v != nil && v.Tenders && v.Aged && q.Condition != domaincutting.Chilling {
		return []string{ui.T(ctx, "Tender %d\u00a0%%.", ageing.Percent(v.Tender))}
	}
	return nil
}

// daysSaid is how long it keeps, and from when it is ready where it is not.
func daysSaid(ctx context.Context, q db.Queued, now time.Time) []string {
	v := q.Verdict
	switch {
	case v == nil || q.Condition == domaincutting.Stop || q.Condition == domaincutting.Look:
		return nil // somebody looks or decides first
	case v.CutBy.Before(now):
		return []string{ui.T(ctx, "Its last day was %s.", ui.Day(ctx, v.CutBy))}
	case v.TooLate():
		return []string{ui.T(ctx, "It will not be ready by its last day, %s.", ui.Day(ctx, v.CutBy))}
	case q.Unready && v.ReadyFrom != nil:
		return []string{readySaid(ctx, *v.ReadyFrom, now), ui.T(ctx, "Its last day is %s.", ui.Day(ctx, v.CutBy))}
	case v.DaysLeft(now, ui.ShopOf(ctx).Zone) < 1:
		return []string{ui.T(ctx, "Cut it today.")}
	}
	return []string{ui.T(ctx, "%d days left.", v.DaysLeft(now, ui.ShopOf(ctx).Zone))}
}

// readySaid is from when it is ready; of what is not so yet, today's date alone would
// read as if it were.
func readySaid(ctx context.Context, at, now time.Time) string {
	if ui.Day(ctx, at) == ui.Day(ctx, now) {
		return ui.T(ctx, "Ready later today.")
	}
	return ui.T(ctx, "Ready about %s.", ui.Day(ctx, at))
}

// what is the kind and where it hangs, as a line begins.
func what(ctx context.Context, q db.Queued) string {
	if q.Place == "" {
		return ui.Capital(ui.Say(ctx, q.Species.Words()))
	}
	return ui.T(ctx, "%s, %s", ui.Capital(ui.Say(ctx, q.Species.Words())), q.Place)
}

// animalWords is what hangs there and how long since the kill.
func animalWords(ctx context.Context, q db.Queued, now time.Time) string {
	return ui.T(ctx, "%s, killed %s.", ui.Capital(ui.Say(ctx, q.Species.Words())), ui.Ago(ctx, q.Killed, now))
}

// emptyWords is said where there is nothing to cut next: what comes first, and when.
func emptyWords(ctx context.Context, v roomView) string {
	for _, q := range v.Unready {
		if q.Verdict != nil && q.Verdict.ReadyFrom != nil && !q.Verdict.TooLate() {
			return ui.T(ctx, "Nothing is ready. The first will be about %s.", ui.Day(ctx, *q.Verdict.ReadyFrom))
		}
	}
	switch {
	case len(v.Unready) > 0:
		return ui.T(ctx, "Nothing is ready.")
	case len(v.Barred) > 0:
		return ui.T(ctx, "Nothing may be cut now. Below is what stands against each.")
	}
	return ui.T(ctx, "Nothing can be cut yet. What is dropped off, weighed and hung comes here by itself.")
}

// roomNote counts what waits; what there is none of is not said.
func roomNote(ctx context.Context, v roomView) string {
	var said []string
	if n := v.ReadyOnes; n > 0 {
		said = append(said, ui.T(ctx, "%d ready", n))
	}
	if n := v.Others; n > 0 {
		said = append(said, ui.T(ctx, "%d not ready yet", n))
	}
	if n := len(v.Barred); n > 0 {
		said = append(said, ui.T(ctx, "%d not now", n))
	}
	return strings.Join(said, ", ")
}

// readyFirst puts what is ready soonest first; what has no such day, last.
func readyFirst(list []db.Queued) {
	day := func(q db.Queued) time.Time {
		if q.Verdict == nil || q.Verdict.ReadyFrom == nil {
			return time.Unix(1<<40, 0)
		}
		return *q.Verdict.ReadyFrom
	}
	slices.SortStableFunc(list, func(a, b db.Queued) int { return day(a).Compare(day(b)) })
}

func queueLine(ctx context.Context, q db.Queued, v roomView) ui.LineView {
	l := ui.LineView{Mark: ui.TagLink(q.Number), Title: what(ctx, q), Note: stands(ctx, q, v.Now), Badge: ui.Condition(string(q.Condition)),
		Href: "/animals/" + string(q.Number) + "/order", Act: ui.T(ctx, "Its order")}
	if !v.Lead && q.Number != v.First {
		return l
	}
	l.Href, l.Act = "/cutting?take="+string(q.Number), ui.T(ctx, "Take this instead")
	if q.Unready {
		l.Act = ui.T(ctx, "Cut it all the same")
	}
	return l
}

// barredLine says how it stands and why not now, and leads to what would open the
// gate: the look, the hold, what is owed, or the order.
func barredLine(ctx context.Context, q db.Queued, now time.Time) ui.LineView {
	record := "/animals/" + string(q.Number)
	l := ui.LineView{Mark: ui.TagLink(q.Number), Title: what(ctx, q), Note: stands(ctx, q, now), Badge: ui.Condition(string(q.Condition)),
		Href: record, Act: ui.T(ctx, "Its record")}
	switch {
	case q.Condition == domaincutting.Stop:
		l.Href, l.Act = record+"/look", ui.T(ctx, "Look and decide")
	case q.Condition == domaincutting.Look:
		l.Href, l.Act = record+"/look", ui.T(ctx, "Look at it")
	case len(q.Choice.Holds) > 0:
		l.Badge, l.Href, l.Act = ui.Held(ui.Say(ctx, q.Choice.Holds[0])), record+"/holds", ui.T(ctx, "Its holds")
	case !q.TagComplete && ui.HolderOf(ctx).Has("counter", "cooler", "lead", "owner"):
		l.Href, l.Act = "/dropoff/owed/"+string(q.Number), ui.T(ctx, "Fill in")
	case !q.OrderComplete || q.MatesWaiting:
		l.Href, l.Act = record+"/order", ui.T(ctx, "Its order")
	}
	return l
}
