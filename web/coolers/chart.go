package coolers

import (
	"context"
	"math"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/exposure"
	"coldrail/web/ui"
)

// spans are the lengths of time the drawing may show, by what stands in the
// address. A week is shown where nothing else is asked for.
var spans = []struct {
	Key  string
	Days int
}{{"day", 1}, {"week", 7}, {"month", 30}}

func spanOf(asked string) int {
	for _, s := range spans {
		if s.Key == asked {
			return s.Days
		}
	}
	return 7
}

// chart draws the room's air: its rounds as rings, gaps hatched and never joined,
// incidents as bands, the limits as lines with their words.
func (v view) chart(ctx context.Context) ui.Chart {
	from := v.Now.AddDate(0, 0, -v.Span)
	if first := v.History.Readings()[0].At; first.After(from) {
		from = first
	}
	c := ui.Chart{ID: "air", Title: ui.T(ctx, "The air of %s", v.Room.Label), From: from, To: v.Now, Gaps: ui.UnseenSpans(ctx, v.History.Unwatched(from, v.Now))}
	for _, l := range v.Rounds {
		if l.Walked != nil && l.Walked.WalkedTo.After(from) {
			c.Marks = append(c.Marks, ui.ChartMark{At: l.Walked.WalkedTo, Words: ui.T(ctx, "Round: %s", l.name(ctx))})
		}
	}
	for _, i := range v.Warm {
		if i.Until(v.Now).After(from) {
			c.Spans = append(c.Spans, ui.ChartSpan{From: i.BeganAt, To: i.Until(v.Now), Kind: "incident", Words: ui.T(ctx, "incident")})
		}
	}
	readings := v.History.Within(from, v.Now)
	limits := v.Room.Book.At(v.Now)
	p := ui.TemperaturePanel(ctx, 240, limits.Chilly, limits.Warm, ui.AirLine(ctx, readings))
	if v.Room.Kind == "freezer" {
		p = ui.TemperaturePanel(ctx, 240, domain.Fahrenheit(-10), domain.Fahrenheit(0), ui.AirLine(ctx, readings))
	}
	for _, l := range limitLines(ctx, v.Room, v.Now) {
		p.Max = max(p.Max, l.At+1)
		p.Levels = append(p.Levels, l)
	}
	c.Panels = []ui.Panel{p}
	lowest, highest := domain.Celsius(math.Inf(1)), domain.Celsius(math.Inf(-1))
	for _, r := range readings {
		lowest, highest = min(lowest, r.C), max(highest, r.C)
	}
	c.Said = ui.T(ctx, "From %s to %s: %d readings, %d rounds, %d incidents. The table beneath tells each day.", from, v.Now, len(readings), len(c.Marks), len(c.Spans))
	if len(readings) > 0 {
		c.Said += " " + ui.T(ctx, "The air was between %s and %s.", lowest, highest)
	}
	c.Spans = append(c.Spans, excused(ctx, v.Room, v.History, from, v.Now)...)
	return c
}

// limitLines are the lines the air is compared with.
func limitLines(ctx context.Context, room db.Cooler, at time.Time) []ui.ChartLevel {
	if room.Kind == "freezer" {
		return []ui.ChartLevel{{At: ui.Degrees(ctx, domain.Fahrenheit(10)), Words: ui.T(ctx, "above this: act")}}
	}
	l := room.Book.At(at)
	return []ui.ChartLevel{
		{At: ui.Degrees(ctx, l.TooWarm), Words: ui.T(ctx, "above %s for more than %s: incident", l.TooWarm, ui.Span(ctx, l.TooLong))},
		{At: ui.Degrees(ctx, l.FarToo), Words: ui.T(ctx, "above %s at all: incident", l.FarToo)},
	}
}

// excused are the defrosts and loadings in which the air rose.
func excused(ctx context.Context, room db.Cooler, h *exposure.History, from, to time.Time) []ui.ChartSpan {
	const rise = 1 // °C that the eye sees
	var list []ui.ChartSpan
	for _, w := range room.Book.Windows(from, to) {
		words := ui.T(ctx, "loading")
		if w.Defrost {
			words = ui.T(ctx, "defrost")
		}
		for _, r := range h.Within(w.From, w.To) {
			if r.C >= h.At(w.From)+rise {
				list = append(list, ui.ChartSpan{From: w.From, To: w.To, Kind: "defrost", Words: words})
				break
			}
		}
	}
	return list
}

// earliest is how far back the page reads.
func (v view) earliest() time.Time { return v.Now.AddDate(0, 0, -max(daysShown, v.Span)) }

// spanWords names a length of time on its link.
func spanWords(ctx context.Context, days int) string {
	if days == 1 {
		return ui.T(ctx, "one day")
	}
	return ui.T(ctx, "%d days", days)
}
