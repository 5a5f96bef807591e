package ui

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Degrees is a temperature as a number in the shop's unit.
func Degrees(ctx context.Context, t domain.Celsius) float64 {
	if ShopOf(ctx).Metric {
		return float64(t)
	}
	return t.F()
}

// seenWithin is how far apart two readings may lie to count as watched between.
const seenWithin = time.Hour

// AirLine is a room's readings as a line: dashed where they lie more than an hour
// apart, since nobody saw what was between.
func AirLine(ctx context.Context, readings []exposure.Reading) ChartLine {
	line := ChartLine{Within: seenWithin, Points: make([]ChartPoint, len(readings))}
	for i, r := range readings {
		line.Points[i] = ChartPoint{r.At, Degrees(ctx, r.C)}
	}
	return line
}

// UnseenSpans are the silences of a record as the gaps of a drawing.
func UnseenSpans(ctx context.Context, silences []exposure.Silence) []ChartSpan {
	list := make([]ChartSpan, len(silences))
	for i, s := range silences {
		list[i] = ChartSpan{From: s.From, To: s.To, Words: T(ctx, "Nobody watched from %s to %s", s.From, s.To)}
	}
	return list
}

// TemperaturePanel is a panel of lines in the shop's unit, its axis wide enough
// for all of them and for the band of what is fine.
func TemperaturePanel(ctx context.Context, high float64, fineFrom, fineTo domain.Celsius, lines ...ChartLine) Panel {
	p := Panel{Name: T(ctx, "Temperature"), High: high, Step: 5, Lines: lines, Fine: []float64{Degrees(ctx, fineFrom), Degrees(ctx, fineTo)},
		Label: func(d float64) string { return fmt.Sprintf("%.0f %s", d, TempUnit(ctx)) }}
	if ShopOf(ctx).Metric {
		p.Step = 2
	}
	p.Min, p.Max = p.Fine[0]-0.5, p.Fine[1]+0.5
	for _, l := range lines {
		for _, point := range l.Points {
			p.Min, p.Max = min(p.Min, point.V), max(p.Max, point.V)
		}
	}
	for (p.Max-p.Min)/p.Step > 8 {
		p.Step *= 2
	}
	return p
}
