package animals

import (
	"context"
	"fmt"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
	"coldrail/web/ui"
)

// sum is one figure of the verdict, and in one line what it means.
type sum struct{ Name, Value, Means string }

// sumsOf lays the verdict open: every figure with its unit.
func sumsOf(ctx context.Context, v *ageing.Verdict, p db.Protocol, game bool) []sum {
	list := hangingSums(ctx, v, p)
	list = append(list, growthSums(ctx, v, game)...)
	list = append(list, coldSums(ctx, v)...)
	list = append(list, mouldSums(ctx, v)...)
	return append(list, recordSums(ctx, v)...)
}

func hangingSums(ctx context.Context, v *ageing.Verdict, p db.Protocol) []sum {
	tender := sum{ui.T(ctx, "Tenderness"), ui.T(ctx, "none"), ui.T(ctx, "This meat is not hung to become tender.")}
	if v.Tenders {
		tender.Value = ui.T(ctx, "%d %%", ageing.Percent(v.Tender))
		tender.Means = ui.T(ctx, "Of all the tenderness hanging can give, by the temperature at the bone since 24 hours after the kill.")
		if p.Target != nil {
			tender.Means += " " + ui.T(ctx, "%.0f %% is asked.", 100**p.Target)
		}
	}
	list := []sum{
		{ui.T(ctx, "Days since the kill"), fmt.Sprintf("%.1f", v.DaysSinceKill), ui.T(ctx, "Days of 24 hours; %.0f is the most for this kind.", v.Ceiling)},
		tender,
		{ui.T(ctx, "Degree-days"), ui.T(ctx, "%.1f °C·d", v.DegreeDays), ui.T(ctx, "Warmth at the bone above freezing, added up over the hanging. Shown only; nothing is decided by it.")},
	}
	if v.ReadyFrom != nil {
		list = append(list, sum{ui.T(ctx, "Ready from"), ui.Moment(ctx, *v.ReadyFrom), ui.T(ctx, "The first moment it is cold and hung long enough, if the air stays as in the last 48 hours.")})
	}
	means := ui.T(ctx, "The last day by its kind, or when the surface may begin to smell, whichever comes first. The quickest growth says %s, the slowest %s.",
		ui.Day(ctx, v.CutByLow), ui.Day(ctx, v.CutByHigh))
	return append(list, sum{ui.T(ctx, "Cut by"), ui.Moment(ctx, v.CutBy), means})
}

func growthSums(ctx context.Context, v *ageing.Verdict, game bool) []sum {
	start := 2
	if game {
		start = 3
	}
	surface := ui.T(ctx, "nobody has looked: counted as wet")
	if v.Surface != "" {
		surface = ui.Say(ctx, domain.Say(string(v.Surface)))
	}
	return []sum{
		{ui.T(ctx, "Surface"), surface, ui.T(ctx, "As the last hand found it. A dry skin slows growth; only a hand says dry.")},
		{ui.T(ctx, "Growth on the surface"), ui.T(ctx, "%.1f log", v.Growth),
			ui.T(ctx, "Tenfold steps since the kill; by the slowest model %.1f, by the quickest %.1f.", v.GrowthLow, v.GrowthHigh)},
		{ui.T(ctx, "Count on the surface"), ui.T(ctx, "%.1f log per cm²", v.LogCount),
			ui.T(ctx, "Counted from log %d at the start. Meat begins to smell at log 7, slime is felt at log 8.", start)},
		{ui.T(ctx, "E. coli O157:H7"), ui.T(ctx, "%.2f log", v.EColi), pathogenMeans(ctx, v.EColi, 6)},
		{ui.T(ctx, "Salmonella"), ui.T(ctx, "%.2f log", v.Salmonella), pathogenMeans(ctx, v.Salmonella, 5.2)},
	}
}

// pathogenMeans prompts for the probe at one log or more; the figure itself says
// nothing of whether any are there.
func pathogenMeans(ctx context.Context, gained float64, from domain.Celsius) string {
	said := ui.T(ctx, "What it could have grown if any was there, with no slow start; none below %s.", from)
	if gained >= 1 {
		return said + " " + ui.T(ctx, "One log or more: probe and decide.")
	}
	return said + " " + ui.T(ctx, "From one log on: probe and decide.")
}

func coldSums(ctx context.Context, v *ageing.Verdict) []sum {
	chilled := sum{ui.T(ctx, "Time to get cold"), ui.T(ctx, "not yet"), ui.T(ctx, "From the door to %s at the bone. The FSIS generic plan has 24 hours.", exposure.ColdEnough)}
	if v.IsChilled {
		chilled.Value = hours(ctx, v.Chilled)
	}
	list := []sum{{ui.T(ctx, "At the bone"), ui.Temp1(ctx, v.Deep), ui.T(ctx, "Worked out from the air and the weight; a probe knows better.")}, chilled}
	means := []string{
		ui.T(ctx, "Cold holding, USDA."), ui.T(ctx, "Cold holding, FDA Food Code."), ui.T(ctx, "European rule for game."),
		ui.T(ctx, "Growth is quick from here on."), ui.T(ctx, "The upper edge of the FDA's first step of cooling."),
	}
	for i, edge := range exposure.Edges {
		list = append(list, sum{ui.T(ctx, "Surface above %s", edge), hours(ctx, v.Above[i]), ui.T(ctx, "All hours since the drop-off added up.") + " " + means[i]})
	}
	return list
}

func mouldSums(ctx context.Context, v *ageing.Verdict) []sum {
	means := ui.T(ctx, "The longest white or grey growth at ribs or fat in the last look that names either. 1/16 in is the sign some shops wait for.")
	switch {
	case v.Mould.Forecast != nil && v.Mould.Line:
		means += " " + ui.T(ctx, "By its own looks %.1f mm a day: the sign around %s.", v.Mould.Pace, ui.Day(ctx, *v.Mould.Forecast))
	case v.Mould.Forecast != nil:
		means += " " + ui.T(ctx, "By the usual pace the sign comes around %s.", ui.Day(ctx, *v.Mould.Forecast))
	}
	return []sum{{ui.T(ctx, "Mold"), ui.Length(ctx, v.Mould.Length), means}}
}

func recordSums(ctx context.Context, v *ageing.Verdict) []sum {
	return []sum{
		{ui.T(ctx, "Gaps in the record"), hours(ctx, v.Gaps), ui.T(ctx, "Nobody watched the room; the temperature is taken as a straight line across.")},
		{ui.T(ctx, "Age of the last reading"), hours(ctx, v.Stale), ui.T(ctx, "Since then the room is taken to be as it was.")},
		{ui.T(ctx, "Not known before the door"), hours(ctx, v.Unknown), ui.T(ctx, "Counted as kept at 50 °F (10 °C).")},
	}
}

// hours writes a span in hours, as the sums count.
func hours(ctx context.Context, d time.Duration) string { return ui.T(ctx, "%.1f h", d.Hours()) }

// cites splits a protocol's citations.
func cites(p db.Protocol) []string { return strings.Split(p.Cites, "; ") }
