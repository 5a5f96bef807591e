package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// spot is a point on the drawing.
type spot struct{ x, y float64 }

// line draws one line: whole where its points stand close, dashed where nobody
// saw what was between, nothing at all across a gap.
func (d *drawing) line(l ChartLine) {
	var whole, dashed strings.Builder
	var run []ChartPoint
	flush := func() {
		path(&whole, d.thin(run))
		run = run[:0]
	}
	for _, p := range l.Points {
		if n := len(run); n > 0 && l.Within > 0 && p.At.Sub(run[n-1].At) > l.Within {
			before := run[n-1]
			flush()
			if !d.gapBegins(before.At) {
				path(&dashed, []spot{{d.x(before.At), d.y(before.V)}, {d.x(p.At), d.y(p.V)}})
			}
		}
		run = append(run, p)
	}
	flush()
	if dashed.Len() > 0 {
		d.put(`<path class="chart-unseen" d="%s"/>`, dashed.String())
	}
	class := "chart-line"
	switch {
	case l.Thick:
		class = "chart-thick"
	case l.Thin:
		class = "chart-thin"
	}
	d.put(`<path class="%s" d="%s"/>`, class, whole.String())
	if n := len(l.Points); n > 0 && l.Name != "" {
		last := l.Points[n-1]
		x, class := d.x(last.At)+5, "chart-start"
		if x > chartWide-chartRight-60 {
			x, class = d.x(last.At)-2, "chart-end"
		}
		y := d.y(last.V) - 9
		if l.Under {
			y += 46
		}
		d.text(class, x, y, l.Name)
	}
}

func (d *drawing) gapBegins(at time.Time) bool {
	return slices.ContainsFunc(d.Gaps, func(g ChartSpan) bool { return at.Sub(g.From).Abs() < time.Second })
}

// thin keeps what can be seen of a run: of all points that fall into the same
// half unit of width the first, the lowest, the highest and the last.
func (d *drawing) thin(run []ChartPoint) []spot {
	var kept []spot
	for i := 0; i < len(run); {
		column := math.Floor(2 * d.x(run[i].At))
		lowest, highest, j := i, i, i
		for ; j < len(run) && math.Floor(2*d.x(run[j].At)) == column; j++ {
			if run[j].V < run[lowest].V {
				lowest = j
			}
			if run[j].V > run[highest].V {
				highest = j
			}
		}
		seen := []int{i, min(lowest, highest), max(lowest, highest), j - 1}
		for _, k := range slices.Compact(seen) {
			kept = append(kept, spot{d.x(run[k].At), d.y(run[k].V)})
		}
		i = j
	}
	return kept
}

// path appends spots as one line; a single one becomes a dot.
func path(b *strings.Builder, spots []spot) {
	for i, s := range spots {
		verb := "L"
		if i == 0 {
			verb = "M"
		}
		fmt.Fprintf(b, "%s%.1f %.1f", verb, s.x, s.y)
	}
	if len(spots) == 1 {
		b.WriteString("h.1")
	}
}
