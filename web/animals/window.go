package animals

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/web/ui"
)

// window says between which days an animal is to be cut, in one or two
// sentences. The first day is when it has hung long enough, the second when the
// quickest growth says it may smell, the last when the plain growth or the
// ceiling says so.
func window(ctx context.Context, v *ageing.Verdict, now time.Time) string {
	last := ui.Day(ctx, v.CutBy)
	switch {
	case v.CutBy.Before(now):
		return ui.T(ctx, "Its last day was %s. Cut it.", last)
	case v.ReadyFrom == nil:
		return ui.T(ctx, "It will not be ready within 60 days as the room is now. Cut it no later than %s.", last)
	case v.TooLate():
		return ui.T(ctx, "It will not be ready in time: ready on %s at the earliest, and its last day is %s. Cut it.", ui.Day(ctx, *v.ReadyFrom), last)
	}
	from, until := *v.ReadyFrom, v.CutByLow
	if until.Before(from) {
		until = from
	}
	first, early := ui.Day(ctx, from), ui.Day(ctx, until)
	switch {
	case !from.After(now) && early == ui.Day(ctx, now) && early == last:
		return ui.T(ctx, "Ready to cut. Cut it today.")
	case !from.After(now) && early == last:
		return ui.T(ctx, "Ready to cut. Cut it by %s.", last)
	case !from.After(now):
		return ui.T(ctx, "Ready to cut. Cut it between today and %s, no later than %s.", early, last)
	case first == last:
		return ui.T(ctx, "Cut it on %s, no later.", last)
	case early == last || first == early:
		return ui.T(ctx, "Cut it between %s and %s.", first, last)
	}
	return ui.T(ctx, "Cut it between %s and %s, no later than %s.", first, early, last)
}

// asked are the temperatures a cooler is usually run at: 34, 36 and 38 °F.
// Common practice, no source.
var asked = []domain.Celsius{domain.Fahrenheit(34), domain.Fahrenheit(36), domain.Fahrenheit(38)}

// readySaid is the first day of a window, or why there is none.
func readySaid(ctx context.Context, w ageing.Window, now time.Time) string {
	switch {
	case w.ReadyFrom == nil:
		return ui.T(ctx, "not within 60 days")
	case w.TooLate():
		return ui.T(ctx, "%s: not in time", ui.Day(ctx, *w.ReadyFrom))
	case !w.ReadyFrom.After(now):
		return ui.T(ctx, "now")
	}
	return ui.Day(ctx, *w.ReadyFrom)
}

// bySaid is the last day of a window, with its range where it has one.
func bySaid(ctx context.Context, w ageing.Window) string {
	low, high := ui.Day(ctx, w.CutByLow), ui.Day(ctx, w.CutByHigh)
	if low == high {
		return ui.Day(ctx, w.CutBy)
	}
	return ui.T(ctx, "%s (%s to %s)", ui.Day(ctx, w.CutBy), low, high)
}

// same reports whether the temperatures asked for all end in the same days.
func same(ctx context.Context, list []ageing.Window, now time.Time) bool {
	return !slices.ContainsFunc(list, func(w ageing.Window) bool {
		return readySaid(ctx, w, now) != readySaid(ctx, list[0], now) || bySaid(ctx, w) != bySaid(ctx, list[0])
	})
}
