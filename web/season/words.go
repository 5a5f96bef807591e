package season

import (
	"context"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/learn"
	"coldrail/web/ui"
)

// title names a season by the years it lies in, such as 2026/27.
func title(year int) string {
	return strconv.Itoa(year) + "/" + strconv.Itoa(year + 1)[2:]
}

// kindWords is a kind and class in words, such as "whitetail, grown".
func kindWords(ctx context.Context, kind string) string {
	species, class, _ := strings.Cut(kind, " ")
	return ui.T(ctx, "%s, %s", domain.Species(species).Words(), domain.Class(class).Words())
}

func stageWords(ctx context.Context, s learn.Stage) string {
	switch s {
	case learn.ToHang:
		return ui.T(ctx, "Door to hook")
	case learn.ToTable:
		return ui.T(ctx, "Hook to table")
	case learn.ToBoxes:
		return ui.T(ctx, "Table to freezer")
	case learn.ToHome:
		return ui.T(ctx, "Freezer to home")
	}
	return ui.T(ctx, "All together")
}

// before says what a figure was the season before; nothing where there was none.
func (v view) before(ctx context.Context, said string) string {
	if v.Before.Came == 0 {
		return ""
	}
	return ui.T(ctx, "%s in %s", said, title(v.Before.Year))
}

// days is a number of an axis of days, whole where it is.
func days(f float64) string { return strconv.FormatFloat(f, 'g', 3, 64) }

// one is a number with one decimal.
func one(f float64) string { return strconv.FormatFloat(f, 'f', 1, 64) }

// heavy is the weight of a whole season, without decimals.
func heavy(ctx context.Context, k domain.Kilogram) string {
	n := k.Lb()
	if ui.ShopOf(ctx).Metric {
		n = float64(k)
	}
	return ui.T(ctx, "%d %s", int(math.Round(n)), ui.WeightUnit(ctx))
}

// daysIn says how long a stage took: in hours where that is no day.
func daysIn(ctx context.Context) func(float64) string {
	return func(days float64) string {
		switch hours := days * 24; {
		case hours < 1:
			return ui.T(ctx, "under an hour")
		case hours < 24:
			return ui.T(ctx, "%d hours", int(math.Round(hours)))
		}
		return ui.T(ctx, "%s days", one(days))
	}
}

// rangeWords is what 8 of 10 lie between.
func rangeWords(ctx context.Context, o learn.Own, words func(float64) string) string {
	if low, high := words(o.Low), words(o.High); low != high {
		return ui.T(ctx, "%s to %s", low, high)
	}
	return words(o.Low)
}

func percent(f float64) string { return strconv.FormatFloat(100*f, 'f', 0, 64) + " %" }

// house draws the animals through the season: what came in and went home by the day,
// and what hung and was in the house each evening.
func (v view) house(ctx context.Context) ui.Chart {
	first, last := v.Days[0].Day, v.Days[len(v.Days)-1].Day.AddDate(0, 0, 1)
	var in, hanging, all []ui.ChartPoint
	most, mostIn := 4.0, 4.0
	for _, d := range v.Days {
		evening := d.Day.Add(20 * time.Hour)
		if v.Until.Before(evening) {
			evening = v.Until // today's evening has not come yet
		}
		// A count is one of its whole day: it stands over it from midnight to midnight.
		in = append(in, ui.ChartPoint{At: d.Day, V: float64(d.In)}, ui.ChartPoint{At: d.Day.AddDate(0, 0, 1).Add(-time.Minute), V: float64(d.In)})
		hanging = append(hanging, ui.ChartPoint{At: evening, V: float64(d.Hanging)})
		all = append(all, ui.ChartPoint{At: evening, V: float64(d.House)})
		most, mostIn = max(most, float64(d.House)), max(mostIn, float64(d.In))
	}
	label := func(f float64) string { return strconv.Itoa(int(f)) }
	every, onRails := ui.T(ctx, "all"), ui.T(ctx, "not cut yet")
	if end := v.Days[len(v.Days)-1]; float64(end.House-end.Hanging) < most/8 { // one name would stand on the other
		every, onRails = every+", "+onRails, ""
	}
	return ui.Chart{ID: "season", Title: ui.T(ctx, "Season %s, day by day", title(v.This.Year)), Said: v.houseSaid(ctx), From: first, To: last, Panels: []ui.Panel{
		{Name: ui.T(ctx, "In the house, each evening"), High: 190, Max: most, Step: step(most), Label: label,
			Lines: []ui.ChartLine{{Points: all, Thick: true, Name: every}, {Points: hanging, Thin: true, Name: onRails, Under: true}}},
		{Name: ui.T(ctx, "Came in each day"), High: 110, Max: mostIn, Step: step(mostIn), Label: label, Lines: []ui.ChartLine{{Points: in, Thick: true}}},
	}}
}

// step is a round step of some four to eight lines up to most.
func step(most float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(most)))
	for _, times := range []float64{0.2, 0.5, 1, 2} {
		if most/(unit*times) <= 8 {
			return max(1, unit*times)
		}
	}
	return unit * 5
}

// houseSaid is the drawing in words.
func (v view) houseSaid(ctx context.Context) string {
	full := slices.MaxFunc(v.Days, func(a, b learn.DayCount) int { return a.House - b.House })
	busy := slices.MaxFunc(v.Days, func(a, b learn.DayCount) int { return a.In - b.In })
	return ui.T(ctx, "The house was fullest on %s, animals in it: %d; most came in on %s: %d.", ui.Day(ctx, full.Day), full.House, ui.Day(ctx, busy.Day), busy.In)
}

// weeks sums the days up for the table, seven at a time, each row by its first day.
func (v view) weeks() []learn.DayCount {
	var list []learn.DayCount
	for n, d := range v.Days {
		if n%7 == 0 {
			list = append(list, learn.DayCount{Day: d.Day})
		}
		w := &list[len(list)-1]
		w.In, w.Out, w.Hanging, w.House = w.In+d.In, w.Out+d.Out, d.Hanging, d.House
	}
	return list
}

// bars turns spreads into a drawing; label says a number of its axis, words one of a spread.
func bars(ctx context.Context, id, title string, names []string, all []learn.Own, label, words func(float64) string) ui.Bars {
	b := ui.Bars{ID: id, Title: title, Label: label}
	var said []string
	for i, o := range all {
		b.Most = max(b.Most, o.High)
		line := ui.T(ctx, "%s: half of them below %s, 8 of 10 between %s and %s", names[i], words(o.Median), words(o.Low), words(o.High))
		said = append(said, line)
		b.Rows = append(b.Rows, ui.Bar{Name: names[i], Low: o.Low, Middle: o.Median, High: o.High, Words: line})
	}
	b.Said = strings.Join(said, ". ")
	b.Step = niceStep(b.Most)
	b.Most = math.Max(b.Step, math.Ceil(b.Most/b.Step)*b.Step)
	return b
}

// niceStep is step for numbers below one too.
func niceStep(most float64) float64 {
	if most <= 0 {
		return 1
	}
	unit := math.Pow(10, math.Floor(math.Log10(most)))
	for _, times := range []float64{0.2, 0.5, 1} {
		if most/(unit*times) <= 8 {
			return unit * times
		}
	}
	return unit * 2
}

// stageBars draws how long each stage took.
func (v view) stageBars(ctx context.Context) ui.Bars {
	var names []string
	var all []learn.Own
	for _, s := range learn.Stages {
		if o := v.Stages[s]; o.Count > 0 {
			names, all = append(names, stageWords(ctx, s)), append(all, o)
		}
	}
	return bars(ctx, "stages", ui.T(ctx, "Days each stage took"), names, all, days, daysIn(ctx))
}

// mostRows of a table by kind are shown.
const mostRows = 12

// kindBars draws what came into the packs by kind.
func (v view) kindBars(ctx context.Context) ui.Bars {
	var names []string
	var all []learn.Own
	for _, k := range v.kinds() {
		names, all = append(names, kindWords(ctx, k)), append(all, v.Kinds[k])
	}
	return bars(ctx, "kinds", ui.T(ctx, "Packed, as a part of the hanging weight, by kind"), names, all, percent, percent)
}

func (v view) kinds() []string {
	keys := learn.Keys(v.Kinds)
	return keys[:min(len(keys), mostRows)]
}

// cutterBars draws the same by cutter.
func (v view) cutterBars(ctx context.Context) ui.Bars {
	keys := learn.Keys(v.Cutters)
	all := make([]learn.Own, len(keys))
	for i, k := range keys {
		all[i] = v.Cutters[k]
	}
	return bars(ctx, "cutters", ui.T(ctx, "Packed, as a part of the hanging weight, by cutter"), keys, all, percent, percent)
}

// lateSaid puts the promised days into one sentence.
func lateSaid(ctx context.Context, l learn.Lateness) string {
	if l.Promised == 0 {
		return ui.T(ctx, "No animal with a promised day is packed or late yet.")
	}
	said := ui.T(ctx, "%d of %d were in the freezer on the promised day or before it.", l.OnTime, l.Promised)
	if l.Late > 0 {
		said += " " + ui.T(ctx, "%d came later, half of those by %s days or more.", l.Late, one(l.Days.Median))
	}
	if l.Overdue > 0 {
		said += " " + ui.T(ctx, "%d are past their day and not packed.", l.Overdue)
	}
	return said
}
