package hunter

import (
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/web/ui"
)

// yours names the animal to its owner.
func yours(ctx context.Context, s domain.Species) string {
	switch s {
	case domain.Whitetail, domain.MuleDeer, domain.OtherDeer:
		return ui.T(ctx, "your deer")
	case domain.Elk:
		return ui.T(ctx, "your elk")
	case domain.Moose:
		return ui.T(ctx, "your moose")
	case domain.Beef, domain.Bison, domain.Veal:
		return ui.T(ctx, "your beef")
	case domain.Hog, domain.WildHog:
		return ui.T(ctx, "your hog")
	}
	return ui.T(ctx, "your %s", s.Words())
}

// where says in one sentence where the animal is.
func where(ctx context.Context, v view) string {
	switch v.Physical {
	case animal.Expected:
		return ui.T(ctx, "We expect it and have not seen it yet.")
	case animal.Arrived, animal.Received:
		return ui.T(ctx, "It is with us and goes into the cooler next.")
	case animal.Chilling:
		return ui.T(ctx, "It is in our cooler, chilling.")
	case animal.Hanging:
		return ui.T(ctx, "It hangs in our cooler, day %d since the kill.", domain.DayOfAge(v.KilledAt, v.Now))
	case animal.OnTable:
		return ui.T(ctx, "It is on our table, being cut.")
	case animal.InPieces:
		return ui.T(ctx, "It is cut. We are wrapping and boxing it.")
	case animal.Stored:
		return ui.T(ctx, "It is wrapped and in our freezer, ready to collect.")
	case animal.PartReleased:
		return ui.T(ctx, "Part of it was picked up. The rest is in our freezer.")
	case animal.Returned:
		return ui.T(ctx, "It went home uncut.")
	}
	return ui.T(ctx, "It was picked up.")
}

// window is when it is likely to be cut, as a range; the first line is the
// answer, the others say why.
func window(ctx context.Context, v view) []string {
	var said []string
	waiting := slices.Contains(v.Holds, hold.TestPending) || v.Disease == animal.Drawn || v.Disease == animal.Pending
	if waiting {
		said = append(said, ui.T(ctx, "It waits for the laboratory. Nothing is cut before the result is in, and we cannot say a day until then."))
	}
	if v.PromisedOn != nil && !v.Physical.Cut() {
		said = append(said, ui.T(ctx, "We told you: ready to collect about %s.", ui.Day(ctx, ui.Calendar(ctx, *v.PromisedOn))))
	}
	if !waiting && v.Physical.OnRail() {
		said = append(said, likely(ctx, v.Verdict, v.Now))
		said = append(said, ui.T(ctx, "Meat keeps its own calendar: how warm it came in, how big it is, how the cooler runs and who is before it all move the day. It can be sooner or later."))
	}
	if v.Physical.OnRail() || v.Physical == animal.OnTable || v.Physical == animal.InPieces {
		said = append(said, ui.T(ctx, "After cutting it freezes hard for a day or two. We tell you when it is ready."))
	}
	return said
}

// likely says between which days it is likely to be cut.
func likely(ctx context.Context, verdict *ageing.Verdict, now time.Time) string {
	if verdict == nil {
		return ui.T(ctx, "We cannot say a day for the cutting yet.")
	}
	last := verdict.CutBy
	if verdict.ReadyFrom == nil || verdict.TooLate() || !verdict.ReadyFrom.After(now) {
		if !last.After(now) || ui.Day(ctx, last) == ui.Day(ctx, now) {
			return ui.T(ctx, "It is due to be cut now.")
		}
		return ui.T(ctx, "We mean to cut it between now and %s.", ui.Day(ctx, last))
	}
	if ui.Day(ctx, *verdict.ReadyFrom) == ui.Day(ctx, last) {
		return ui.T(ctx, "We mean to cut it about %s.", ui.Day(ctx, last))
	}
	return ui.T(ctx, "We mean to cut it between %s and %s.", ui.Day(ctx, *verdict.ReadyFrom), ui.Day(ctx, last))
}

// meat says how much, as a range until it is weighed, then as a fact.
func meat(ctx context.Context, v view) (value, note string) {
	if v.Physical.Cut() && v.Packs > 0 {
		return ui.Weight(ctx, v.PackedKg), ui.T(ctx, "in %s, weighed", ui.T(ctx, "%d packs", v.Packs))
	}
	if v.Expected.Typical <= 0 {
		return "", ""
	}
	note = ui.T(ctx, "boneless, a first guess from its weight as it came")
	if v.HangingKg != nil {
		note = ui.T(ctx, "boneless, from %s on the hook", ui.Weight(ctx, *v.HangingKg))
	}
	if v.Expected.Count > 0 {
		note += ", " + ui.T(ctx, "by the %d like it that this shop has cut", v.Expected.Count)
	}
	return ui.T(ctx, "%s to %s", wholeWeight(ctx, v.Expected.Typical), ui.Weight(ctx, v.Expected.Clean)), note
}

// wholeWeight is a weight without its unit, for the low end of a range.
func wholeWeight(ctx context.Context, k domain.Kilogram) string {
	return strings.TrimSuffix(ui.Weight(ctx, k), ui.Joint+ui.WeightUnit(ctx))
}

// cost says how much money, as a range until the bill is made.
func cost(ctx context.Context, v view) (value, note string) {
	if v.IsBilled() {
		return v.Invoice.Total().String(), owed(ctx, v)
	}
	q := v.Quote(v.house.rates)
	if note = paidSoFar(ctx, v); q.Taxed {
		note = ui.T(ctx, "Tax is in it.") + " " + note
	}
	switch {
	case !q.Known:
		return "", note
	case q.Low == q.High:
		return ui.T(ctx, "about %s", q.Low.String()), note
	}
	return ui.T(ctx, "%s to %s", wholeDollars(q.Low), wholeDollars(q.High)), note
}

// wholeDollars rounds a guess to what it is worth.
func wholeDollars(c domain.Cents) string {
	return strings.TrimSuffix(domain.Cents(math.Round(float64(c)/100)*100).String(), ".00")
}

func owed(ctx context.Context, v view) string {
	switch b := v.Invoice.Balance(); {
	case b > 0:
		return ui.T(ctx, "%s still to pay, %s paid", b.String(), v.Invoice.Received().String())
	case b < 0:
		return ui.T(ctx, "%s comes back to you", (-b).String())
	}
	return ui.T(ctx, "paid, thank you")
}

func paidSoFar(ctx context.Context, v view) string {
	if got := v.Invoice.Received(); got > 0 {
		return ui.T(ctx, "%s paid in. The bill follows when it is cut.", got.String())
	}
	return ui.T(ctx, "The bill follows when it is cut.")
}

// toCome lists what comes after the rest.
func toCome(ctx context.Context, v view) []string {
	var said []string
	for _, t := range v.ToCome {
		said = append(said, ui.Say(ctx, t.Words()))
	}
	for _, b := range v.Batches { // packed as meat before, or never ordered by that name
		if what := ui.Say(ctx, b.Product.Words()); b.Away && v.Physical.Cut() && !slices.Contains(said, what) {
			said = append(said, what)
		}
	}
	if v.Physical.Cut() && v.Loose > 0 && v.Physical != animal.Released {
		said = append(said, ui.T(ctx, "%s being boxed", ui.T(ctx, "%d packs", v.Loose)))
	}
	return said
}

// fetch says what is there to collect, and how.
func fetch(ctx context.Context, v view) []string {
	if v.Here == 0 || v.Physical != animal.Stored && v.Physical != animal.PartReleased {
		return nil
	}
	said := []string{ui.T(ctx, "%s in our freezer. Call before you come.", ui.Capital(ui.T(ctx, "%d boxes", v.Here)))}
	said = append(said, ui.T(ctx, "Bring the receipt or your license. If somebody else comes, tell us the name first."))
	if v.IsBilled() && v.Invoice.Balance() > 0 {
		said = append(said, ui.T(ctx, "%s is to be paid when you collect.", v.Invoice.Balance().String()))
	}
	if s := storage(ctx, v); s != "" {
		said = append(said, s)
	}
	return append(said, ui.T(ctx, "Bring a cooler. Keep it frozen and cook it through."))
}

// storage says what waiting costs, where the owner of the shop has approved it for this
// animal and boxes of its reader wait here.
func storage(ctx context.Context, v view) string {
	waits := v.Physical == animal.Stored || v.Physical == animal.PartReleased || v.Physical == animal.Unclaimed
	starts := v.Storage.Starts()
	if !waits || v.Here == 0 || starts.IsZero() {
		return ""
	}
	said := ui.T(ctx, "From %s on storage costs %s a day.", ui.Day(ctx, starts), v.Storage.Binds.DayCents.String())
	if v.Portion != cutting.WholeAnimal {
		said += " " + ui.T(ctx, "It is split among the shares that still wait here.")
	}
	return said
}

// asks is what the shop needs from the owner before it can go on.
func asks(ctx context.Context, v view) string {
	open := v.OrderState == animal.NoOrder || v.OrderState == animal.Incomplete
	if open && v.Physical.InHouse() && !v.Physical.Cut() {
		return ui.T(ctx, "We do not have your whole cutting order yet. Please call us: nothing is cut without it.")
	}
	return ""
}

// steps is its way through the shop.
func steps(ctx context.Context, v view) []ui.Step {
	at := map[animal.Physical]int{animal.Chilling: 1, animal.Hanging: 1, animal.OnTable: 2, animal.InPieces: 2, animal.Stored: 3,
		animal.PartReleased: 3, animal.Released: 5}[v.Physical]
	all := []ui.Step{{Label: ui.T(ctx, "Taken in"), Note: ui.Day(ctx, v.ReceivedAt)}, {Label: ui.T(ctx, "In the cooler")},
		{Label: ui.T(ctx, "Cut and wrapped")}, {Label: ui.T(ctx, "Ready to collect")}, {Label: ui.T(ctx, "Picked up")}}
	if v.LastLeft != nil {
		all[4].Note = ui.Day(ctx, *v.LastLeft)
	}
	for i := range all {
		all[i].Done, all[i].Now = i < at, i == at
	}
	return all
}

func meatFigure(ctx context.Context, v view) (value, label, note string) {
	value, note = meat(ctx, v)
	return value, ui.T(ctx, "Meat"), note
}

func costFigure(ctx context.Context, v view) (value, label, note string) {
	value, note = cost(ctx, v)
	return value, ui.T(ctx, "Cost"), note
}

// readyCaution is the caution of a readiness, as it is said to an owner.
func readyCaution(ctx context.Context) string {
	return ui.T(ctx, "That a carcass is ready means it has hung long enough. It does not say the meat is fit to eat: a person looks at every carcass before the knife, and local code has the last word.")
}
