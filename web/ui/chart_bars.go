package ui

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/a-h/templ"
)

// Bars draws spreads beneath each other on one axis: a bar from Low to High with a
// stroke at Middle. Like Chart it needs a table of the same beneath it.
type Bars struct {
	ID    string // of the drawing, alone on its page
	Title string
	Said  string // the drawing in words, read aloud by a screen reader
	Most  float64
	Step  float64
	Label func(float64) string // of a line of the grid
	Rows  []Bar
}

// Bar is one spread.
type Bar struct {
	Name              string
	Low, Middle, High float64
	Words             string // shown on pointing at it
}

const (
	barsLeft = 205.0 // room for the names
	barHigh  = 34.0
)

// Draw is the drawing as a component.
func (c Bars) Draw() templ.Component {
	return templ.ComponentFunc(func(_ context.Context, w io.Writer) error {
		var b strings.Builder
		c.draw(&b)
		_, err := io.WriteString(w, b.String())
		return err
	})
}

func (c Bars) x(v float64) float64 {
	return barsLeft + (chartWide-barsLeft-chartRight-16)*min(max(v/c.Most, 0), 1)
}

func (c Bars) draw(b *strings.Builder) {
	foot := 8 + barHigh*float64(len(c.Rows))
	fmt.Fprintf(b, `<svg class="chart bars" viewBox="0 0 %g %g" role="img" aria-labelledby="%s-title %[3]s-said">`, chartWide, foot+chartFoot, c.ID)
	fmt.Fprintf(b, `<title id="%s-title">%s</title><desc id="%[1]s-said">%[3]s</desc>`, c.ID, templ.EscapeString(c.Title), templ.EscapeString(c.Said))
	for v := 0.0; v <= c.Most+c.Step/1000; v += c.Step {
		fmt.Fprintf(b, `<path class="chart-grid" d="M%.1f 4V%.1f"/><text class="chart-mid" x="%.1f" y="%.1f">%s</text>`, c.x(v), foot, c.x(v), foot+18, templ.EscapeString(c.Label(v)))
	}
	for i, r := range c.Rows {
		y := 8 + barHigh*float64(i)
		fmt.Fprintf(b, `<text class="chart-end" x="%g" y="%.1f">%s</text>`, barsLeft-10, y+barHigh/2+4, templ.EscapeString(r.Name))
		fmt.Fprintf(b, `<g class="chart-bar"><title>%s</title><rect x="%.1f" y="%.1f" width="%.1f" height="%g"/><path d="M%.1f %.1fv%g"/></g>`,
			templ.EscapeString(r.Words), c.x(r.Low), y+7, max(2, c.x(r.High)-c.x(r.Low)), barHigh-14, c.x(r.Middle), y+3, barHigh-6)
	}
	fmt.Fprintf(b, `<path class="chart-axis" d="M%g 4V%.1f"/></svg>`, barsLeft, foot)
}
