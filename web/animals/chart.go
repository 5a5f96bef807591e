package animals

import (
	"context"
	"fmt"
	"math"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cooler"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// The band of air that is fine (common practice, no source).
var fineFrom, fineTo = cooler.Usual.Chilly, cooler.Usual.Warm

// courseSteps is how many moments of the past are worked out for the drawing:
// one every few hours of a long hang, as fine as the eye sees.
const courseSteps = 80

// instants are the moments the course is worked out for, the last one until.
func instants(from, until time.Time) []time.Time {
	step := max(until.Sub(from)/courseSteps, 30*time.Minute).Truncate(time.Minute)
	var list []time.Time
	for at := from; at.Before(until); at = at.Add(step) {
		list = append(list, at)
	}
	return append(list, until)
}

// laidOpen is the whole sum of an animal on one axis of time: the air with its
// gaps and the meat at the bone, tenderness, growth on the surface as a range and
// mould, with the looks as rings and the days to cut it in as a band.
func (v recordView) laidOpen(ctx context.Context) ui.Chart {
	c := ui.Chart{ID: "lived", Title: ui.T(ctx, "What it lived through, and where it stands"), Said: v.said(ctx), From: v.Lived.From, To: v.Lived.To}
	v.span(ctx, &c)
	for _, s := range v.Lived.Stretches {
		c.Gaps = append(c.Gaps, ui.UnseenSpans(ctx, s.Silences)...)
		if s.From.After(v.Lived.From) {
			c.Moves = append(c.Moves, ui.ChartMark{At: s.From, Words: s.Room})
		}
	}
	for _, l := range v.Lived.Looks {
		c.Marks = append(c.Marks, ui.ChartMark{At: l.At, Words: ui.T(ctx, "Looked at %s by %s: smell %s, surface %s", l.At, l.By, l.Smell.Words(), l.Surface.Words())})
	}
	c.Panels = append(c.Panels, v.warmth(ctx))
	if n := len(v.Course); n > 0 {
		if v.Course[n-1].Tenders {
			c.Panels = append(c.Panels, v.tenderness(ctx))
		}
		c.Panels = append(c.Panels, v.growth(ctx), v.mould(ctx))
	}
	return c
}

// furthest is how far ahead the drawing may reach, so that the past stays legible.
const furthest = 21 * 24 * time.Hour

// span lets the axis reach to the last day to cut it, with the band before it.
func (v recordView) span(ctx context.Context, c *ui.Chart) {
	if !v.Hanging() || v.Verdict == nil {
		return
	}
	c.Now = v.Now
	from, until := v.Now, v.Verdict.CutBy
	if v.Verdict.ReadyFrom != nil && v.Verdict.ReadyFrom.After(from) {
		from = *v.Verdict.ReadyFrom
	}
	if last := v.Now.Add(furthest); until.After(last) {
		until = last
	}
	if until.After(v.Now) {
		c.To = until.Add(12 * time.Hour)
	}
	if v.Verdict.ReadyFrom != nil && until.After(from) {
		c.Spans = append(c.Spans, ui.ChartSpan{From: from, To: until, Kind: "window", Words: ui.T(ctx, "days to cut it")})
	}
}

// warmth is the panel of the air it hung in and the meat at the bone.
func (v recordView) warmth(ctx context.Context) ui.Panel {
	var lines []ui.ChartLine
	for _, s := range v.Lived.Stretches {
		lines = append(lines, ui.AirLine(ctx, s.Readings))
	}
	bone := ui.ChartLine{Thin: true, Name: ui.T(ctx, "at the bone")}
	for _, s := range v.Course {
		bone.Points = append(bone.Points, ui.ChartPoint{At: s.At, V: ui.Degrees(ctx, s.Deep)})
	}
	if len(bone.Points) > 0 {
		lines = append(lines, bone)
	}
	return ui.TemperaturePanel(ctx, 200, fineFrom, fineTo, lines...)
}

func (v recordView) tenderness(ctx context.Context) ui.Panel {
	p := ui.Panel{Name: ui.T(ctx, "Tender, of all that hanging can give"), High: 110, Min: 0, Max: 100, Step: 25, Label: func(n float64) string { return fmt.Sprintf("%.0f %%", n) }}
	line := ui.ChartLine{Thin: true}
	for _, s := range v.Course {
		line.Points = append(line.Points, ui.ChartPoint{At: s.At, V: 100 * s.Tender})
	}
	p.Lines = []ui.ChartLine{line}
	if v.Protocol.Target != nil && v.Verdict != nil && v.Verdict.Aged {
		p.Levels = []ui.ChartLevel{{At: 100 * *v.Protocol.Target, Words: ui.T(ctx, "asked: %.0f %%", 100**v.Protocol.Target)}}
	}
	return p
}

func (v recordView) growth(ctx context.Context) ui.Panel {
	p := ui.Panel{Name: ui.T(ctx, "Growth in tenfold steps, slowest to quickest"), High: 130, Min: 2, Max: 9, Step: 1, Label: func(n float64) string { return fmt.Sprintf("%.0f", n) },
		Levels: []ui.ChartLevel{{At: 7, Words: ui.T(ctx, "may smell")}, {At: 8, Words: ui.T(ctx, "slime is felt")}}}
	line := ui.ChartLine{Thin: true}
	for _, s := range v.Course {
		low, high := s.CountRange()
		p.Area = append(p.Area, ui.ChartRange{At: s.At, Low: low, High: high})
		line.Points = append(line.Points, ui.ChartPoint{At: s.At, V: s.LogCount})
	}
	p.Lines = []ui.ChartLine{line}
	return p
}

// mould is what the looks measured, in the shop's unit; filled at ribs or fat,
// rings at meat, neck and flank.
func (v recordView) mould(ctx context.Context) ui.Panel {
	unit, step := 25.4, 0.25
	label := func(n float64) string { return ui.Length(ctx, domain.Millimetre(25.4*n)) }
	if ui.ShopOf(ctx).Metric {
		unit, step = 1, 5
		label = func(n float64) string { return ui.Length(ctx, domain.Millimetre(n)) }
	}
	p := ui.Panel{Name: ui.T(ctx, "Mold, longest at each look"), High: 90, Min: 0, Max: 2 * step, Step: step, Label: label}
	for _, l := range v.Lived.Looks {
		for _, m := range l.Mould {
			at := float64(m.Length) / unit
			p.Max = max(p.Max, at)
			p.Dots = append(p.Dots, ui.ChartDot{At: l.At, V: at, Open: m.Site != round.SiteRibs && m.Site != round.SiteFat,
				Words: ui.T(ctx, "%s: %s %s at %s", l.At, ui.Length(ctx, m.Length), string(m.Colour), string(m.Site))})
		}
	}
	for p.Max/p.Step > 4 {
		p.Step *= 2
	}
	p.Levels = []ui.ChartLevel{{At: float64(ageing.SignLength) / unit, Words: ui.T(ctx, "the sign some shops wait for")}}
	return p
}

// said tells the drawing in a few sentences, for those who do not see it.
func (v recordView) said(ctx context.Context) string {
	lowest, highest, n, unseen := domain.Celsius(math.Inf(1)), domain.Celsius(math.Inf(-1)), 0, time.Duration(0)
	for _, s := range v.Lived.Stretches {
		for _, r := range s.Readings {
			lowest, highest, n = min(lowest, r.C), max(highest, r.C), n+1
		}
		for _, g := range s.Silences {
			unseen += g.To.Sub(g.From)
		}
	}
	return ui.T(ctx, "From %s to %s the air was between %s and %s by %d readings; for %.1f hours nobody watched. %d looks are marked. The table beneath tells each day.",
		ui.Day(ctx, v.Lived.From), ui.Day(ctx, v.Lived.To), lowest, highest, n, unseen.Hours(), len(v.Lived.Looks))
}
