package animals

import (
	"context"
	"slices"

	"coldrail/db"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/web/ui"
)

// stopped reports whether nobody may cut or move it before the lead has decided.
func (v recordView) stopped() bool {
	return v.Hanging() && v.Verdict != nil && v.Verdict.Condition == ageing.Stop
}

// held reports whether a hold keeps it from the knife.
func (v recordView) held() bool {
	return slices.ContainsFunc(v.Holds, func(h db.Hold) bool { return h.Stops(hold.Cut) })
}

// due is the one act that comes next with this animal, for whoever may do it: what
// stops it before what moves it on.
func (v recordView) due(ctx context.Context) (href, act string) {
	record, holder := string(at(v, "")), ui.HolderOf(ctx)
	noOrder := v.Animal.OrderState == animal.NoOrder || v.Animal.OrderState == animal.Incomplete
	switch {
	case v.stopped():
		return record + "/look", ui.T(ctx, "Look and decide")
	case v.held():
		return record + "/holds", ui.T(ctx, "Its holds")
	case v.Animal.Physical == animal.OnTable:
		return "/cutting/" + string(v.Animal.Number), ui.T(ctx, "Packs and finish")
	case v.Animal.Physical == animal.InPieces:
		return "/cutting/" + string(v.Animal.Number), ui.T(ctx, "Box it")
	case v.Animal.Physical == animal.Stored || v.Animal.Physical == animal.PartReleased:
		return "/pickup/" + string(v.Animal.Number), ui.T(ctx, "Hand over")
	case !v.Hanging():
		return "", ""
	case v.Verdict == nil || v.Verdict.Condition == ageing.LookAtIt:
		return record + "/look", ui.T(ctx, "Look at it")
	case noOrder && holder.Has("counter", "cutter", "lead", "owner"):
		return record + "/order", ui.T(ctx, "Get the order")
	case v.mayBeCut() && holder.Has("cutter", "lead", "owner"):
		return "/cutting?take=" + string(v.Animal.Number), ui.T(ctx, "Take it to the table")
	}
	return "", ""
}

func (v recordView) isDue(ctx context.Context) bool {
	href, _ := v.due(ctx)
	return href != ""
}

// mayBeCut reports whether its time has come, its tag and order are in, and its hook is
// its own.
func (v recordView) mayBeCut() bool {
	shared := slices.ContainsFunc(v.Places, func(h db.Hangs) bool { return h.Conflict })
	return !shared && v.Animal.Legal.Checked() && v.Animal.OrderState == animal.Complete && slices.Contains([]ageing.Condition{ageing.FirstToCut, ageing.Past, ageing.Ready}, v.Verdict.Condition)
}
