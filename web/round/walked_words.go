package round

import (
	"context"
	"slices"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// standing says what the round counts as.
func standing(ctx context.Context, w db.WalkedRound) string {
	switch {
	case w.OnPaper && w.DueState == round.OnPaper:
		return ui.T(ctx, "The %s round was done on paper, typed in by %s %s.", string(w.DueKind), w.EnteredBy, ui.Moment(ctx, w.ArrivedAt))
	case w.OnPaper:
		return ui.T(ctx, "Walked on paper, typed in by %s %s.", w.EnteredBy, ui.Moment(ctx, w.ArrivedAt))
	case w.DueKind == "":
		return ui.T(ctx, "An extra look: no round was due.")
	case w.DueState == round.Late:
		return ui.T(ctx, "Walked late. The %s round stays missed; this walk is kept with its true time.", string(w.DueKind))
	case w.MissedAt != nil:
		return ui.T(ctx, "The %s round was walked in time and came in late.", string(w.DueKind))
	}
	return ui.T(ctx, "The %s round is done.", string(w.DueKind))
}

// itemLabel names a line of the checklist.
func itemLabel(ctx context.Context, key string) string {
	full := round.Full()
	if i := slices.IndexFunc(full, func(i round.Item) bool { return i.Key == key }); i >= 0 {
		return ui.Say(ctx, full[i].Label)
	}
	return key
}

// joined sets several reasons or sentences into one line, with between them what
// belongs there.
func joined(ctx context.Context, words []domain.Words, between string) string {
	said := make([]string, len(words))
	for i, w := range words {
		said[i] = ui.Say(ctx, w)
	}
	return strings.Join(said, between)
}

// nextStep is the tap beside a look.
func nextStep(ctx context.Context, stops bool) string {
	if stops && ui.HolderOf(ctx).Has("lead", "owner") {
		return ui.T(ctx, "Decide")
	}
	return ui.T(ctx, "See it")
}

// quiet reports a round that found nothing.
func (v walkedView) quiet() bool {
	return len(v.Findings) == 0 && len(v.Wrong) == 0 && len(v.Looks) == 0 && len(v.Unseen) == 0 && len(v.Uncounted) == 0
}

// lookEntries are looks as a time line.
func lookEntries(ctx context.Context, looks []db.LookRow) []ui.Entry {
	list := make([]ui.Entry, len(looks))
	for i, l := range looks {
		list[i] = ui.Entry{At: l.At, What: lookSays(ctx, l), Who: l.By, Note: joined(ctx, l.Look().Follows(l.Species, l.Form), " ")}
	}
	return list
}

// takenEntries say which touch an animal's surface was taken from.
func takenEntries(ctx context.Context, taken []db.TakenSurface) []ui.Entry {
	list := make([]ui.Entry, len(taken))
	for i, t := range taken {
		list[i] = ui.Entry{At: t.At, What: ui.T(ctx, "surface %s", ui.Say(ctx, t.Surface.Words())), Who: t.By,
			Note: ui.T(ctx, "touch of rail %s by %s, %s: %s was touched", t.Rail, t.By, ui.Clock(ctx, t.At), t.Number.Short())}
	}
	return list
}

// decisionEntries are decisions as a time line.
func decisionEntries(ctx context.Context, decisions []db.DecisionRow) []ui.Entry {
	list := make([]ui.Entry, len(decisions))
	for i, d := range decisions {
		list[i] = ui.Entry{At: d.At, What: ui.Say(ctx, d.Verdict.Words()), Who: d.By, Note: d.Reason}
	}
	return list
}

// hoursEntries are changes of the rounds' times as a time line.
func hoursEntries(ctx context.Context, list []db.HoursSet) []ui.Entry {
	entries := make([]ui.Entry, len(list))
	for i, h := range list {
		entries[i] = ui.Entry{At: h.At, What: ui.T(ctx, "%s and %s, %d minutes either way", ui.WallClock(ctx, h.Morning), ui.WallClock(ctx, h.Evening), h.SlackMin), Who: h.By,
			Note: ui.T(ctx, "before: %s and %s, %d minutes either way", ui.WallClock(ctx, h.WasMorning), ui.WallClock(ctx, h.WasEvening), h.WasSlackMin)}
	}
	return entries
}
