package ui

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/a-h/templ"
)

// Chart draws measured things on one time axis, one panel under the other. It is
// written on the server, so that it prints and works without script. What nobody
// saw is never joined: a Gap is hatched and no line crosses it. Every chart needs
// a table of the same beneath it for those who do not see it.
type Chart struct {
	ID       string // of the drawing, alone on its page
	Title    string
	Said     string // the drawing in one or two sentences, read aloud by a screen reader
	From, To time.Time
	Now      time.Time // drawn as an upright line; zero: none
	Panels   []Panel
	Gaps     []ChartSpan // when nobody watched; hatched in the first panel
	Spans    []ChartSpan // bands through every panel: the days to cut it in, an incident, a defrost
	Marks    []ChartMark // rings above the first panel: looks, rounds
	Moves    []ChartMark // dashed uprights: hung in another room
}

// Panel is one quantity. Min and Max are widened to whole steps.
type Panel struct {
	Name     string
	High     float64 // height in the drawing's units; the width is 760
	Min, Max float64
	Step     float64
	Label    func(float64) string // of a line of the grid
	Fine     []float64            // two ends of the light band; none: nil
	Levels   []ChartLevel
	Area     []ChartRange
	Lines    []ChartLine
	Dots     []ChartDot
}

// ChartSpan is a stretch of the time axis. Kind is window, incident or defrost;
// it is told apart by its pattern and its words, not by its colour.
type ChartSpan struct {
	From, To    time.Time
	Kind, Words string
}

// ChartMark is a moment with what happened in it.
type ChartMark struct {
	At    time.Time
	Words string
}

// ChartLevel is a level to compare with, with its name.
type ChartLevel struct {
	At    float64
	Words string
}

// ChartPoint is one value at one instant.
type ChartPoint struct {
	At time.Time
	V  float64
}

// ChartRange is a value known only as from Low to High.
type ChartRange struct {
	At        time.Time
	Low, High float64
}

// ChartLine joins its points in the order of time. Where two lie further apart
// than Within, the line is dashed; Within 0 always draws it whole. Thin is for
// what is worked out, not measured.
type ChartLine struct {
	Points []ChartPoint
	Within time.Duration
	Thin   bool
	Thick  bool   // in ink: of what is no temperature
	Name   string // stands at the line's end
	Under  bool   // the name stands below it: another line ends close above
}

// ChartDot is a single finding. Open ones are drawn as rings.
type ChartDot struct {
	At    time.Time
	V     float64
	Open  bool
	Words string
}

// The drawing's width in its own units, and its margins.
const (
	chartWide                                  = 760.0
	chartLeft, chartRight, chartTop, chartFoot = 58.0, 14.0, 20.0, 30.0
	chartName                                  = 32.0 // room for a panel's name above it
)

// Draw is the chart as a component.
func (c Chart) Draw() templ.Component {
	return templ.ComponentFunc(func(ctx context.Context, w io.Writer) error {
		d := drawing{ctx: ctx, Chart: c}
		d.draw()
		_, err := io.WriteString(w, d.b.String())
		return err
	})
}

// drawing is a chart on its way to SVG.
type drawing struct {
	Chart
	ctx       context.Context
	b         strings.Builder
	top, foot float64 // of the panel being drawn
	low, high float64 // the ends of its axis
}

func (d *drawing) put(format string, args ...any) { fmt.Fprintf(&d.b, format, args...) }

func (d *drawing) text(class string, x, y float64, words string) {
	d.put(`<text class="%s" x="%.1f" y="%.1f">%s</text>`, class, x, y, templ.EscapeString(words))
}

func (d *drawing) x(t time.Time) float64 {
	return chartLeft + (chartWide-chartLeft-chartRight)*t.Sub(d.From).Seconds()/d.To.Sub(d.From).Seconds()
}

func (d *drawing) y(v float64) float64 {
	return d.top + (d.foot-d.top)*(d.high-v)/(d.high-d.low)
}

func (d *drawing) draw() {
	height := chartTop + chartFoot
	for i, p := range d.Panels {
		height += p.High
		if i > 0 {
			height += chartName
		}
	}
	d.put(`<svg class="chart" viewBox="0 0 %g %g" role="img" aria-labelledby="%s-title %[3]s-said">`, chartWide, height, d.ID)
	d.put(`<title id="%s-title">%s</title><desc id="%[1]s-said">%[3]s</desc>`, d.ID, templ.EscapeString(d.Title), templ.EscapeString(d.Said))
	d.put(`<defs><pattern id="%s-unseen" width="7" height="7" patternUnits="userSpaceOnUse"><path class="chart-hatch" d="M0 7L7 0"/></pattern>`, d.ID)
	d.put(`<pattern id="%s-band" width="6" height="6" patternUnits="userSpaceOnUse"><path class="chart-hatch" d="M0 3H6"/></pattern></defs>`, d.ID)
	d.top = chartTop
	for i, p := range d.Panels {
		if i > 0 {
			d.top = d.foot + chartName
		}
		d.foot = d.top + p.High
		d.panel(p, i == 0)
	}
	d.axis()
	d.put(`</svg>`)
}

// panel draws one quantity, what lies behind it first.
func (d *drawing) panel(p Panel, first bool) {
	d.low, d.high = p.Step*math.Floor(p.Min/p.Step), p.Step*math.Ceil(p.Max/p.Step)
	if d.high <= d.low {
		d.high = d.low + p.Step
	}
	if p.Fine != nil {
		d.put(`<rect class="chart-fine" x="%g" y="%.1f" width="%g" height="%.1f"/>`, chartLeft, d.y(p.Fine[1]), chartWide-chartLeft-chartRight, d.y(p.Fine[0])-d.y(p.Fine[1]))
	}
	for _, s := range d.Spans {
		d.span(s)
	}
	if first {
		for _, g := range d.Gaps {
			d.gap(g)
		}
	}
	if !first || len(d.Marks)+len(d.Spans)+len(d.Moves) == 0 { // what is written over the first leaves no room for its name
		d.text("chart-name", chartLeft, d.top-5, p.Name)
		d.text("chart-name chart-far", chartWide-chartRight-60, d.top-5, p.Name) // where a narrow screen opens
	}
	d.grid(p)
	d.area(p.Area)
	for _, l := range p.Levels {
		d.put(`<path class="chart-level" d="M%g %.1fH%g"/>`, chartLeft, d.y(l.At), chartWide-chartRight)
	}
	for _, l := range p.Lines {
		d.line(l)
	}
	for _, dot := range p.Dots {
		d.dot(dot)
	}
	d.uprights(first)
	for _, l := range p.Levels { // over what else is drawn
		d.text("chart-start", chartLeft+6, d.y(l.At)-4, l.Words)
	}
	if first {
		for _, s := range d.Spans {
			d.spanName(s)
		}
	}
	d.put(`<path class="chart-axis" d="M%g %.1fH%g"/>`, chartLeft, d.foot, chartWide-chartRight)
}

func (d *drawing) span(s ChartSpan) {
	from, to := max(d.x(s.From), chartLeft), min(d.x(s.To), chartWide-chartRight)
	if to < from {
		return
	}
	class := map[string]string{"window": "chart-window", "incident": "chart-incident", "defrost": "chart-defrost"}[s.Kind]
	d.put(`<g class="%s"><title>%s</title><rect x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, class, templ.EscapeString(s.Words), from, d.top, max(1.5, to-from), d.foot-d.top)
	d.put(`<rect fill="url(#%s-band)" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/></g>`, d.ID, from, d.top, max(1.5, to-from), d.foot-d.top)
}

// spanName writes what a span is over everything else: the days ahead above their
// band, the rest at the foot.
func (d *drawing) spanName(s ChartSpan) {
	from, to := max(d.x(s.From), chartLeft), min(d.x(s.To), chartWide-chartRight)
	if to-from <= 6.5*float64(len(s.Words)) {
		return
	}
	y := d.foot - 8
	if s.Kind == "window" {
		y = d.top - 6
	}
	d.text("chart-mid", (from+to)/2, y, s.Words)
}

func (d *drawing) gap(g ChartSpan) {
	from, to := max(d.x(g.From), chartLeft), min(d.x(g.To), chartWide-chartRight)
	if to < from {
		return
	}
	d.put(`<rect fill="url(#%s-unseen)" x="%.1f" y="%.1f" width="%.1f" height="%.1f"><title>%s</title></rect>`,
		d.ID, from, d.top, max(1, to-from), d.foot-d.top, templ.EscapeString(g.Words))
	if to-from > 90 {
		d.text("chart-mid", (from+to)/2, d.top+16, T(d.ctx, "nobody watched"))
	}
}

func (d *drawing) grid(p Panel) {
	for n := 0; ; n++ {
		v := d.low + float64(n)*p.Step
		if v > d.high+p.Step/2 {
			return
		}
		d.put(`<path class="chart-grid" d="M%g %.1fH%g"/>`, chartLeft, d.y(v), chartWide-chartRight)
		d.text("chart-end", chartLeft-6, d.y(v)+4, p.Label(v))
	}
}

func (d *drawing) area(list []ChartRange) {
	if len(list) < 2 {
		return
	}
	d.put(`<path class="chart-area" d="`)
	for i, r := range list {
		d.put("%s%.1f %.1f", map[bool]string{true: "M", false: "L"}[i == 0], d.x(r.At), d.y(r.High))
	}
	for i := len(list) - 1; i >= 0; i-- {
		d.put("L%.1f %.1f", d.x(list[i].At), d.y(list[i].Low))
	}
	d.put(`Z"/>`)
}

func (d *drawing) dot(dot ChartDot) {
	class := "chart-dot"
	if dot.Open {
		class = "chart-look"
	}
	d.put(`<g class="%s"><title>%s</title><circle cx="%.1f" cy="%.1f" r="4"/></g>`, class, templ.EscapeString(dot.Words), d.x(dot.At), d.y(dot.V))
}

// uprights draws what is a moment: looks, a change of rooms, now.
func (d *drawing) uprights(first bool) {
	for _, m := range d.Moves {
		d.put(`<path class="chart-moved" d="M%.1f %.1fV%.1f"/>`, d.x(m.At), d.top, d.foot)
		if first {
			d.text("chart-start", d.x(m.At)+4, d.foot-6, m.Words)
		}
	}
	if !d.Now.IsZero() && d.Now.Before(d.To) {
		d.put(`<path class="chart-now" d="M%.1f %.1fV%.1f"/>`, d.x(d.Now), d.top, d.foot)
		if first {
			d.text("chart-start", d.x(d.Now)+3, d.top-6, T(d.ctx, "now"))
		}
	}
	if !first {
		return
	}
	for _, m := range d.Marks {
		d.put(`<g class="chart-look"><title>%s</title><path d="M%.1f %.1fv%g"/><circle cx="%.1f" cy="%.1f" r="4"/></g>`,
			templ.EscapeString(m.Words), d.x(m.At), d.top-6, 14.0, d.x(m.At), d.top-6)
	}
}

// axis draws the days beneath the last panel.
func (d *drawing) axis() {
	for _, at := range d.ticks() {
		x := d.x(at)
		d.put(`<path class="chart-tick" d="M%.1f %.1fv5"/>`, x, d.foot)
		label := Day(d.ctx, at)
		if at.In(ShopOf(d.ctx).Zone).Hour() != 0 {
			label = Clock(d.ctx, at)
		}
		if x < chartWide-chartRight-24 && x > chartLeft+24 {
			d.text("chart-mid", x, d.foot+19, label)
		}
	}
}

// ticks are the midnights of the shop, every few of them where they would stand
// too close; within three days the clock's quarters too.
func (d *drawing) ticks() []time.Time {
	span, zone := d.To.Sub(d.From), ShopOf(d.ctx).Zone
	year, month, day := d.From.In(zone).Date()
	hour := 24 * (1 + int(span.Hours()/24/9))
	switch {
	case span < 36*time.Hour:
		hour = 6
	case span < 72*time.Hour:
		hour = 12
	}
	var list []time.Time
	for h := 0; ; h += hour {
		at := time.Date(year, month, day, h, 0, 0, 0, zone)
		if !at.Before(d.To) {
			return list
		}
		if at.After(d.From) {
			list = append(list, at)
		}
	}
}
