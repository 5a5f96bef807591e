package coolers

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// allNote is what a room says in the list of rooms.
func allNote(ctx context.Context, s state, now time.Time) string {
	switch {
	case s.Never:
		return ui.T(ctx, "No reading of this room yet. Read the thermometer.")
	case s.History == nil:
		return ui.T(ctx, "No reading in the last two days.")
	}
	note := ui.T(ctx, "Air %s, read %s.", bandWords(ctx, s.Band), ui.Ago(ctx, s.Last.At, now))
	if len(s.Open) > 0 {
		note = openWords(ctx, s.Open) + " " + note
	}
	if s.Watch.Format != "" {
		note += " " + ui.Say(ctx, s.Watch)
	}
	return note
}

// openWords says how much is to be put right in a room, and since when.
func openWords(ctx context.Context, open []db.ActionRow) string {
	return ui.T(ctx, "To be put right: %d, since %s.", len(open), ui.Day(ctx, slices.MinFunc(open, func(a, b db.ActionRow) int { return a.FoundAt.Compare(b.FoundAt) }).FoundAt))
}

// assumed says for how many the usual weight was taken.
func assumed(ctx context.Context, n int) string {
	if n == 0 {
		return ""
	}
	return ui.T(ctx, "%d not weighed yet", n)
}

// tooWarm reports a day on which the air passed its upper limit, for however
// short a time.
func tooWarm(d cooler.Day, room db.Cooler) bool {
	if room.Kind == "freezer" {
		v, _ := round.JudgeFreezerAir(d.High)
		return d.Readings > 0 && v == round.Act
	}
	return d.Readings > 0 && d.High > room.Book.At(d.To).TooWarm+domain.Celsius(0.005)
}

// unseen is how much of the day nobody saw.
func unseen(ctx context.Context, d cooler.Day) string {
	if d.Unseen < time.Minute {
		return ""
	}
	return ui.Span(ctx, d.Unseen)
}

// airOf is the air of a round by the shop's own thermometer.
func airOf(ctx context.Context, w *db.WalkedRound) string {
	switch {
	case w.AirOwnC != nil:
		return ui.Temp1(ctx, *w.AirOwnC)
	case w.AirPanelC != nil:
		return ui.Temp1(ctx, *w.AirPanelC)
	}
	return ""
}

// countedOf is the count of a round beside the list's.
func countedOf(ctx context.Context, w *db.WalkedRound) string {
	if w.Counted == w.Expected {
		return ui.T(ctx, "%d", w.Counted)
	}
	return ui.T(ctx, "%d of %d", w.Counted, w.Expected)
}

// measuring lists what measures in a room: what is read by hand in one line, each
// logger and sensor in one of its own.
func measuring(ctx context.Context, room string, sensors []db.Sensor) (said []string) {
	var hand []string
	for _, s := range sensors {
		what := ui.T(ctx, "air")
		if s.Measures == "meat" {
			what = ui.T(ctx, "meat")
		}
		switch s.Kind {
		case "logger":
			said = append(said, ui.T(ctx, "%s: a logger, %s", s.Name, what))
		case "posting":
			said = append(said, ui.T(ctx, "%s: a sensor that sends by itself, %s", s.Name, what))
		default:
			hand = append(hand, ui.Say(ctx, s.HandWords(room)))
		}
	}
	if len(hand) > 0 {
		said = append([]string{ui.T(ctx, "By hand: %s", strings.Join(hand, ", "))}, said...)
	}
	return said
}
