package animals

import (
	"context"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/web/ui"
)

// leadSpeaks are the holds about which only the lead speaks to the owner first.
var leadSpeaks = []hold.Kind{hold.Positive, hold.Warden, hold.Identity, hold.Quality, hold.Temperature, hold.Dispute}

// aloud is what the counter reads to whoever calls about an animal: where it is
// and what is expected, as a range and never as a promise. Bad news is the
// lead's to tell.
func aloud(ctx context.Context, f db.Found, v *ageing.Verdict, now time.Time) string {
	what := ui.Say(ctx, yours(f.Species))
	if leadFirst(f, v) {
		return ui.T(ctx, "Thank you for calling. The person in charge wants to speak to you about your %s: may I fetch them, or have them call you back today?", what)
	}
	said := ui.T(ctx, "Your %s came in on %s; its number is %s.", what, ui.Day(ctx, f.ReceivedAt), f.Number.Short())
	switch f.Physical {
	case animal.Received, animal.Arrived:
		said += " " + ui.T(ctx, "It is not hung up yet.")
	case animal.Chilling, animal.Hanging:
		said += " " + hangingAloud(ctx, f, v, now)
	case animal.OnTable:
		said += " " + ui.T(ctx, "It is being cut now.")
	case animal.InPieces:
		said += " " + ui.T(ctx, "It is cut, and being wrapped and boxed.")
	case animal.Stored:
		said += " " + ui.T(ctx, "It is cut, wrapped and in our freezer, %d boxes.", f.Boxes)
	case animal.PartReleased:
		said += " " + ui.T(ctx, "A part of it was picked up; %d boxes are still here.", f.Boxes)
	case animal.Released:
		return ui.T(ctx, "Your %s, number %s, was picked up.", what, f.Number.Short())
	}
	return said + askedAloud(ctx, f)
}

// leadFirst reports whether the caller is put through to the lead.
func leadFirst(f db.Found, v *ageing.Verdict) bool {
	if f.CallFirst || f.Physical == animal.Unclaimed || !f.Physical.InHouse() && f.Physical != animal.Released {
		return true
	}
	if v != nil && v.Condition == ageing.Stop && f.Physical.OnRail() {
		return true
	}
	return slices.ContainsFunc(f.Holds, func(kind string) bool { return slices.Contains(leadSpeaks, hold.Kind(kind)) })
}

// hangingAloud tells of an animal in the cooler.
func hangingAloud(ctx context.Context, f db.Found, v *ageing.Verdict, now time.Time) string {
	if v == nil {
		return ui.T(ctx, "It hangs in our cooler. I cannot name a day for cutting yet.")
	}
	day := domain.DayOfAge(f.KilledAt, now)
	last := ui.Day(ctx, v.CutBy)
	switch {
	case v.Condition == ageing.Chilling:
		return ui.T(ctx, "It hangs in our cooler and is still getting cold.")
	case v.CutBy.Before(now), v.ReadyFrom != nil && !v.ReadyFrom.After(now), v.TooLate(), v.Condition == ageing.FirstToCut:
		return ui.T(ctx, "It hangs in our cooler, day %d since the kill, and waits its turn at the cutting table.", day)
	case v.ReadyFrom == nil:
		return ui.T(ctx, "It hangs in our cooler, day %d since the kill. We expect to cut it by %s; that can move.", day, last)
	case ui.Day(ctx, *v.ReadyFrom) == last:
		return ui.T(ctx, "It hangs in our cooler, day %d since the kill. We expect to cut it around %s; that can move.", day, last)
	}
	return ui.T(ctx, "It hangs in our cooler, day %d since the kill. We expect to cut it between %s and %s; that can move.", day, ui.Day(ctx, *v.ReadyFrom), last)
}

// askedAloud adds what the caller should know or can settle at once.
func askedAloud(ctx context.Context, f db.Found) string {
	said := ""
	if f.PromisedOn != nil && !f.Physical.Cut() {
		said += " " + ui.T(ctx, "We told you: ready to collect about %s.", ui.Day(ctx, ui.Calendar(ctx, *f.PromisedOn)))
	}
	if slices.Contains(f.Holds, string(hold.TestPending)) {
		said += " " + ui.T(ctx, "It waits for its test result: we do not cut it before that.")
	}
	before := f.Physical == animal.Received || f.Physical.OnRail()
	if before && (f.OrderState == animal.NoOrder || f.OrderState == animal.Incomplete) {
		said += " " + ui.T(ctx, "We still need to hear how you want it cut: shall we go through it now?")
	}
	if f.Physical == animal.Stored && slices.Contains(f.Holds, string(hold.Payment)) {
		said += " " + ui.T(ctx, "The bill is still open.")
	}
	return said
}

// yours is what the owner calls it: every kind of deer is "deer".
func yours(s domain.Species) domain.Words {
	if s.Deer() && s != domain.Caribou {
		return domain.Say("deer")
	}
	return s.Words()
}
