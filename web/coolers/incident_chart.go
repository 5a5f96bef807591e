package coolers

import (
	"context"

	"coldrail/domain/exposure"
	"coldrail/web/ui"
)

// chart draws the room's air before and during the incident, which is a band in
// it; the meat that was measured stands as rings above.
func (v incidentView) chart(ctx context.Context) ui.Chart {
	from, to := v.Readings[0].At, v.Readings[len(v.Readings)-1].At
	c := ui.Chart{ID: "incident-air", Title: ui.T(ctx, "The air of %s", v.Label), From: from, To: to}
	c.Spans = append(c.Spans, ui.ChartSpan{From: v.BeganAt, To: v.Until(to), Kind: "incident", Words: ui.T(ctx, "incident")})
	warmest := v.Readings[0]
	for _, r := range v.Readings {
		if r.C > warmest.C {
			warmest = r
		}
	}
	for _, m := range v.Meat {
		c.Marks = append(c.Marks, ui.ChartMark{At: m.At, Words: ui.T(ctx, "Meat measured: %s", ui.Temp1(ctx, m.C))})
	}
	if h, err := exposure.NewHistory(v.Readings); err == nil {
		c.Gaps = ui.UnseenSpans(ctx, h.Unwatched(from, to))
		c.Spans = append(c.Spans, excused(ctx, v.Cooler, h, from, to)...)
	}
	l := v.Cooler.Book.At(v.BeganAt)
	p := ui.TemperaturePanel(ctx, 220, l.Chilly, l.Warm, ui.AirLine(ctx, v.Readings))
	for _, level := range limitLines(ctx, v.Cooler, v.BeganAt) {
		p.Max = max(p.Max, level.At+1)
		p.Levels = append(p.Levels, level)
	}
	c.Panels = []ui.Panel{p}
	c.Said = ui.T(ctx, "From %s to %s: %d readings, the warmest %s at %s. The table beneath tells each.", from, to, len(v.Readings), warmest.C, warmest.At)
	return c
}
