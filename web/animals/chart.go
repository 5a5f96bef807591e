package animals

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/exposure"
	"coldrail/web/ui"

	"github.com/a-h/templ"
)

// The drawing's size in its own units, and its margins.
const (
	chartWide, chartHigh  = 760.0, 260.0
	left, right, top, low = 56.0, 12.0, 18.0, 30.0
)

// The band of air that is fine (readiness.md section 7; common practice, no source).
var fineFrom, fineTo = domain.Fahrenheit(32), domain.Fahrenheit(38)

// chart draws the air an animal lived through on a true time axis: solid where
// readings stand close, dashed where nobody saw what was between, hatched with
// no line where the record has a gap, and a mark for each look.
type chart struct {
	ctx       context.Context
	v         livedView
	cold, hot float64 // the ends of the axis in the shop's unit
	step      float64
	b         strings.Builder
}

func livedChart(v livedView) templ.Component {
	return templ.ComponentFunc(func(ctx context.Context, w io.Writer) error {
		c := chart{ctx: ctx, v: v}
		c.scale()
		c.draw()
		_, err := io.WriteString(w, c.b.String())
		return err
	})
}

// degrees is a temperature in the shop's unit.
func (c *chart) degrees(t domain.Celsius) float64 {
	if ui.ShopOf(c.ctx).Metric {
		return float64(t)
	}
	return t.F()
}

// scale chooses the ends of the temperature axis: all readings and the fine band,
// with a little air, in whole steps.
func (c *chart) scale() {
	c.cold, c.hot = c.degrees(fineFrom), c.degrees(fineTo)
	for _, s := range c.v.Stretches {
		for _, r := range s.Readings {
			c.cold, c.hot = min(c.cold, c.degrees(r.C)), max(c.hot, c.degrees(r.C))
		}
	}
	c.step = 5
	if ui.ShopOf(c.ctx).Metric {
		c.step = 2
	}
	for (c.hot-c.cold)/c.step > 8 {
		c.step *= 2
	}
	c.cold, c.hot = c.step*math.Floor((c.cold-0.5)/c.step), c.step*math.Ceil((c.hot+0.5)/c.step)
}

func (c *chart) x(t time.Time) float64 {
	return left + (chartWide-left-right)*t.Sub(c.v.From).Seconds()/c.v.To.Sub(c.v.From).Seconds()
}

func (c *chart) y(degrees float64) float64 {
	return top + (chartHigh-top-low)*(c.hot-degrees)/(c.hot-c.cold)
}

func (c *chart) put(format string, args ...any) { fmt.Fprintf(&c.b, format, args...) }

// text puts words into the drawing, escaped.
func (c *chart) text(class string, x, y float64, words string) {
	c.put(`<text class="%s" x="%.1f" y="%.1f">%s</text>`, class, x, y, templ.EscapeString(words))
}

func (c *chart) draw() {
	c.put(`<svg class="chart" viewBox="0 0 %g %g" role="img" aria-labelledby="lived-title lived-desc">`, chartWide, chartHigh)
	c.put(`<title id="lived-title">%s</title><desc id="lived-desc">%s</desc>`,
		templ.EscapeString(ui.T(c.ctx, "The air it hung in")), templ.EscapeString(c.said()))
	c.put(`<defs><pattern id="unseen" width="7" height="7" patternUnits="userSpaceOnUse"><path class="chart-hatch" d="M0 7L7 0"/></pattern></defs>`)
	c.band()
	for _, s := range c.v.Stretches {
		for _, g := range s.Silences {
			c.gap(g)
		}
	}
	c.grid()
	for i, s := range c.v.Stretches {
		c.line(s)
		if i > 0 {
			c.moved(s)
		}
	}
	for _, l := range c.v.Looks {
		c.look(l)
	}
	c.put(`</svg>`)
}

// said tells the drawing in one sentence, for those who do not see it.
func (c *chart) said() string {
	lowest, highest, n, unseen := domain.Celsius(math.Inf(1)), domain.Celsius(math.Inf(-1)), 0, time.Duration(0)
	for _, s := range c.v.Stretches {
		for _, r := range s.Readings {
			lowest, highest, n = min(lowest, r.C), max(highest, r.C), n+1
		}
		for _, g := range s.Silences {
			unseen += g.To.Sub(g.From)
		}
	}
	return ui.T(c.ctx, "From %s to %s the air was between %s and %s by %d readings; for %.1f hours nobody watched. %d looks are marked. The table beneath tells each day.",
		ui.Day(c.ctx, c.v.From), ui.Day(c.ctx, c.v.To), lowest, highest, n, unseen.Hours(), len(c.v.Looks))
}

func (c *chart) band() {
	from, to := c.y(c.degrees(fineTo)), c.y(c.degrees(fineFrom))
	c.put(`<rect class="chart-fine" x="%g" y="%.1f" width="%g" height="%.1f"/>`, left, from, chartWide-left-right, to-from)
}

func (c *chart) gap(g exposure.Silence) {
	from, to := c.x(g.From), c.x(g.To)
	c.put(`<rect fill="url(#unseen)" x="%.1f" y="%g" width="%.1f" height="%g"><title>%s</title></rect>`, from, top, max(1, to-from), chartHigh-top-low,
		templ.EscapeString(ui.T(c.ctx, "Nobody watched from %s to %s", g.From, g.To)))
	if to-from > 90 {
		c.text("chart-mid", (from+to)/2, top+16, ui.T(c.ctx, "nobody watched"))
	}
}

// grid draws the axes: a line for each step of temperature, a tick for each day
// or for every few of them.
func (c *chart) grid() {
	for d := c.cold; d <= c.hot+c.step/2; d += c.step {
		c.put(`<path class="chart-grid" d="M%g %.1fH%g"/>`, left, c.y(d), chartWide-right)
		c.text("chart-end", left-6, c.y(d)+4, fmt.Sprintf("%.0f %s", d, ui.TempUnit(c.ctx)))
	}
	for _, at := range c.ticks() {
		x := c.x(at)
		c.put(`<path class="chart-tick" d="M%.1f %gv5"/>`, x, chartHigh-low)
		label := ui.Day(c.ctx, at)
		if at.In(ui.ShopOf(c.ctx).Zone).Hour() != 0 {
			label = ui.Clock(c.ctx, at)
		}
		if x < chartWide-right-24 && x > left+24 {
			c.text("chart-mid", x, chartHigh-low+19, label)
		}
	}
	c.put(`<path class="chart-axis" d="M%g %gH%g"/>`, left, chartHigh-low, chartWide-right)
}

// ticks are the midnights of the shop, every few of them where they would stand
// too close; within three days the clock's quarters too.
func (c *chart) ticks() []time.Time {
	span := c.v.To.Sub(c.v.From)
	y, m, d := c.v.From.In(ui.ShopOf(c.ctx).Zone).Date()
	hour := 24 * (1 + int(span.Hours()/24/9))
	switch {
	case span < 36*time.Hour:
		hour = 6
	case span < 72*time.Hour:
		hour = 12
	}
	var list []time.Time
	for h := 0; ; h += hour {
		at := time.Date(y, m, d, h, 0, 0, 0, ui.ShopOf(c.ctx).Zone)
		if !at.Before(c.v.To) {
			return list
		}
		if at.After(c.v.From) {
			list = append(list, at)
		}
	}
}

// moved marks where the animal changed rooms.
func (c *chart) moved(s db.Lived) {
	x := c.x(s.From)
	c.put(`<path class="chart-moved" d="M%.1f %gV%g"/>`, x, top, chartHigh-low)
	c.text("chart-start", x+4, chartHigh-low-6, s.Room)
}

// look marks one look, with what was found.
func (c *chart) look(l db.LookRow) {
	x := c.x(l.At)
	c.put(`<g class="chart-look"><title>%s</title><path d="M%.1f %gv%g"/><circle cx="%.1f" cy="%g" r="4"/></g>`,
		templ.EscapeString(ui.T(c.ctx, "Looked at %s by %s: smell %s, surface %s", l.At, l.By, l.Smell.Words(), l.Surface.Words())),
		x, top-6, 14.0, x, top-6)
}

// point is a reading on the drawing.
type point struct{ x, y float64 }

// line draws the readings of one stretch. Of all that fall into the same half
// unit of width only the first, lowest, highest and last are kept.
func (c *chart) line(s db.Lived) {
	var solid, dashed strings.Builder
	var run []exposure.Reading
	flush := func() {
		path(&solid, c.thin(run))
		run = run[:0]
	}
	for _, r := range s.Readings {
		if n := len(run); n > 0 && r.At.Sub(run[n-1].At) > seenWithin {
			before := run[n-1]
			flush()
			if !silent(s.Silences, before.At) {
				path(&dashed, []point{{c.x(before.At), c.y(c.degrees(before.C))}, {c.x(r.At), c.y(c.degrees(r.C))}})
			}
		}
		run = append(run, r)
	}
	flush()
	if dashed.Len() > 0 {
		c.put(`<path class="chart-unseen" d="%s"/>`, dashed.String())
	}
	c.put(`<path class="chart-line" d="%s"/>`, solid.String())
}

// silent reports whether a gap begins at this reading.
func silent(gaps []exposure.Silence, at time.Time) bool {
	for _, g := range gaps {
		if at.Sub(g.From).Abs() < time.Second {
			return true
		}
	}
	return false
}

// thin keeps what can be seen of a run of readings.
func (c *chart) thin(run []exposure.Reading) []point {
	var kept []point
	for i := 0; i < len(run); {
		column := math.Floor(2 * c.x(run[i].At))
		lowest, highest, j := i, i, i
		for ; j < len(run) && math.Floor(2*c.x(run[j].At)) == column; j++ {
			if run[j].C < run[lowest].C {
				lowest = j
			}
			if run[j].C > run[highest].C {
				highest = j
			}
		}
		for _, k := range distinct(i, min(lowest, highest), max(lowest, highest), j-1) {
			kept = append(kept, point{c.x(run[k].At), c.y(c.degrees(run[k].C))})
		}
		i = j
	}
	return kept
}

// distinct drops the repeats of a rising list.
func distinct(list ...int) []int {
	kept := list[:1]
	for _, k := range list[1:] {
		if k > kept[len(kept)-1] {
			kept = append(kept, k)
		}
	}
	return kept
}

// path appends points as one line; a single point becomes a dot.
func path(b *strings.Builder, points []point) {
	for i, p := range points {
		verb := "L"
		if i == 0 {
			verb = "M"
		}
		fmt.Fprintf(b, "%s%.1f %.1f", verb, p.x, p.y)
	}
	if len(points) == 1 {
		b.WriteString("h.1")
	}
}
