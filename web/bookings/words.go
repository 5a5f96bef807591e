package bookings

import (
	"context"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// dayTitle is the day and what it is for.
func dayTitle(ctx context.Context, d dayView) string {
	day := ui.Day(ctx, ui.Calendar(ctx, d.Day))
	if d.Kind == animal.KillDay {
		return ui.T(ctx, "%s, kill day", day)
	}
	return ui.T(ctx, "%s, season", day)
}

// dayNote is how full the day is.
func dayNote(ctx context.Context, d dayView) string {
	said := ui.T(ctx, "%d of %d head booked", d.Booked, d.Heads)
	if d.Free() <= 0 {
		said = ui.T(ctx, "Full: %d of %d head booked", d.Booked, d.Heads)
	}
	if d.Note != "" {
		said += " · " + d.Note
	}
	return said
}

func bookingTitle(ctx context.Context, b db.Booking) string {
	return ui.T(ctx, "%s: %d × %s", b.Name, b.Heads, b.Species.Words())
}

// bookingNote is when it comes and how it stands.
func bookingNote(ctx context.Context, b db.Booking) string {
	said := []string{ui.Day(ctx, ui.Calendar(ctx, b.Day))}
	if b.BringAt != "" {
		said = append(said, ui.T(ctx, "brought at %s", ui.WallClock(ctx, b.BringAt)))
	}
	switch {
	case b.State == "came":
		said = append(said, ui.T(ctx, "came"))
	case b.Came > 0:
		said = append(said, ui.T(ctx, "%d of %d came", b.Came, b.Heads))
	}
	switch b.State {
	case "no-show":
		said = append(said, ui.T(ctx, "nobody came: %s", b.Why))
	case "called-off":
		said = append(said, ui.T(ctx, "called off: %s", b.Why))
	}
	if b.Note != "" {
		said = append(said, b.Note)
	}
	return strings.Join(said, " · ")
}

func dayOptions(ctx context.Context, days []dayView) []ui.Option {
	options := make([]ui.Option, len(days))
	for i, d := range days {
		options[i] = ui.Option{Value: d.ID.String(), Label: ui.T(ctx, "%s, %d free", dayTitle(ctx, d), max(0, d.Free())), Off: d.Free() <= 0}
	}
	return options
}

// kindsOf lists livestock first: most bookings are for it.
func kindsOf(ctx context.Context) []ui.Option {
	var stock, game []ui.Option
	for _, s := range domain.AllSpecies {
		o := ui.Option{Value: string(s), Label: ui.Say(ctx, s.Words())}
		if s.Game() {
			game = append(game, o)
		} else {
			stock = append(stock, o)
		}
	}
	return append(stock, game...)
}

func speciesOr(typed string) string {
	if typed == "" {
		return string(domain.Beef)
	}
	return typed
}

func kindOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: string(animal.KillDay), Label: ui.T(ctx, "Kill day for livestock")}, {Value: string(animal.SeasonSlot), Label: ui.T(ctx, "Places in the season")}}
}

func dropOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "no-show", Label: ui.T(ctx, "Nobody came")}, {Value: "called-off", Label: ui.T(ctx, "Called off")}}
}

// headsOr and dayNoteOr are what was typed in the one form or the other.
func headsOr(f bookForm, which string) string {
	if f.Which == which {
		return f.Heads
	}
	if which == "book" {
		return "1"
	}
	return ""
}

func dayNoteOr(f bookForm) string {
	if f.Which == "day" {
		return f.DayNote
	}
	return ""
}
