package coolers

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/incident"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// placeOptions are where an incident asks for the temperature of the meat.
func placeOptions(ctx context.Context) []ui.Option {
	list := make([]ui.Option, len(db.Places))
	for i, p := range db.Places {
		list[i] = ui.Option{Value: p, Label: placeWords(ctx, p)}
	}
	return list
}

func placeWords(ctx context.Context, place string) string {
	switch place {
	case "old":
		return ui.T(ctx, "an old one")
	case "new":
		return ui.T(ctx, "a new one")
	case "door":
		return ui.T(ctx, "by the door")
	case "middle":
		return ui.T(ctx, "in the middle")
	}
	return ui.T(ctx, "at the far end")
}

// unmeasured lists the places nobody has measured yet.
func (v incidentView) unmeasured(ctx context.Context) []string {
	done := map[string]bool{}
	for _, m := range v.Meat {
		done[m.Place] = true
	}
	var list []string
	for _, p := range db.Places {
		if !done[p] {
			list = append(list, placeWords(ctx, p))
		}
	}
	return list
}

// waiting lists the animals the lead has still to decide about, to tick.
func (v incidentView) waiting(ctx context.Context) []ui.Option {
	var list []ui.Option
	for _, a := range v.Animals {
		if a.Waits() {
			list = append(list, ui.Option{Value: string(a.Number), Label: string(a.Number), Note: ui.T(ctx, "%s, %s", a.Species.Words(), a.Place)})
		}
	}
	return list
}

// verdicts are the decisions there are.
func verdicts(ctx context.Context) []ui.Option {
	list := make([]ui.Option, len(round.Decisions))
	for i, d := range round.Decisions {
		list[i] = ui.Option{Value: string(d), Label: ui.Say(ctx, d.Words())}
	}
	return list
}

// when says from when until when the room was too warm, by limits that were its own then.
func when(ctx context.Context, i db.Incident) string {
	if i.EndedAt == nil {
		return ui.T(ctx, "Too warm since %s, and still.", i.BeganAt)
	}
	return ui.T(ctx, "Too warm from %s to %s, %s.", i.BeganAt, *i.EndedAt, ui.Span(ctx, i.EndedAt.Sub(i.BeganAt)))
}

// stands says how an incident stands, in one line.
func stands(ctx context.Context, i db.Incident) string {
	switch {
	case i.ClosedAt != nil:
		return ui.T(ctx, "Closed %s by %s: %s", *i.ClosedAt, i.ClosedBy, i.Found)
	case i.Waiting > 0:
		return ui.T(ctx, "%d animals wait for a decision.", i.Waiting)
	case i.EndedAt == nil:
		return ui.T(ctx, "Find the cause, measure five animals, keep the door shut.")
	}
	return ui.T(ctx, "The room is cold again. Say what was wrong and close it.")
}

// standingWords says how one animal comes through.
func standingWords(ctx context.Context, a db.Affected) string {
	switch {
	case a.DecidedAt != nil:
		return ui.T(ctx, "decided: %s, by %s", round.Decision(*a.Verdict).Words(), *a.DecidedBy)
	case a.StoppedAt != nil && a.Here:
		return ui.T(ctx, "stopped: the lead decides")
	case !a.Here:
		return ui.T(ctx, "no longer in the room")
	case a.Standing == incident.OwnClock:
		return ui.T(ctx, "still chilling")
	case a.Standing == incident.Stopped:
		return ui.T(ctx, "is being stopped")
	}
	return ui.T(ctx, "carries on")
}

// span writes the best and the worst of one figure as one, where they are alike.
func span(best, worst string) string {
	if best == worst {
		return worst
	}
	return best + " – " + worst
}

// surfaces, deeps, hours and growth are one animal's range at the end.
func surfaces(ctx context.Context, a db.Affected) string {
	return span(ui.Temp(ctx, a.Best.Surface), ui.Temp(ctx, a.Worst.Surface))
}

func deeps(ctx context.Context, a db.Affected) string {
	return span(ui.Temp(ctx, a.Best.Deep), ui.Temp(ctx, a.Worst.Deep))
}

func hoursAbove(ctx context.Context, a db.Affected) string {
	return span(hoursOf(ctx, a.Best.Above[0]), hoursOf(ctx, a.Worst.Above[0]))
}

func hoursOf(ctx context.Context, d time.Duration) string { return ui.T(ctx, "%.1f h", d.Hours()) }

func growth(ctx context.Context, a db.Affected) string {
	return span(ui.T(ctx, "%.1f", a.Best.Growth), ui.T(ctx, "%.1f", a.Worst.Growth))
}

// passed says what one published rule makes of the worst case.
func passed(ctx context.Context, r incident.Rule, a db.Affected) string {
	switch {
	case !a.Known:
		return ui.T(ctx, "not known")
	case r.Passed(a.Best.Above):
		return ui.T(ctx, "over it")
	case r.Passed(a.Worst.Above):
		return ui.T(ctx, "over it at worst")
	}
	return ui.T(ctx, "within it")
}

// mainRules are the rules shown beside the model.
func mainRules(main bool) []incident.Rule {
	var list []incident.Rule
	for _, r := range incident.Rules {
		if r.Main == main {
			list = append(list, r)
		}
	}
	return list
}

// measuredOn is the animal a reading was taken on, as far as it was told.
func measuredOn(n *domain.ShopNumber) string {
	if n == nil {
		return ""
	}
	return string(*n)
}

// rulesCaution says what the rules are not.
func rulesCaution(ctx context.Context) string {
	return ui.T(ctx, "The rules lie far apart: the two hours are written for kitchen portions, and no model knows this carcass. None of them decides. Open it, smell, probe; ask your inspector. Local codes and licensed practice have the last word.")
}
