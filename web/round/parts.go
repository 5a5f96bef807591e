package round

import (
	"context"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// single is the form of one carcass: what was typed where it came back.
func (v walkView) single(rail railView, s single) form {
	if v.At == rail.Key() && v.Form.get("single") != "" && v.Form.get("number") == string(s.Number) {
		return v.Form
	}
	return form{"act": {signin.NewAct()}}
}

func (v walkView) wrongSingle(rail railView, s single) *domain.Error {
	if v.At == rail.Key() && v.Form.get("single") != "" && v.Form.get("number") == string(s.Number) {
		return v.Wrong
	}
	return nil
}

// left lists what has not been walked.
func (v walkView) left(ctx context.Context) []string {
	var list []string
	if v.Begun == nil || v.Begun.RoomAt == nil {
		list = append(list, ui.T(ctx, "The room"))
	}
	for _, r := range v.Rails {
		if !r.Done() {
			list = append(list, r.Name+": "+r.stepNote(ctx))
		}
	}
	return list
}

func roomStepNote(ctx context.Context, v walkView) string {
	if v.Begun == nil || v.Begun.RoomAt == nil {
		return ui.T(ctx, "to do")
	}
	return ui.Clock(ctx, *v.Begun.RoomAt)
}

// hungOptions are all that the list has on a rail, each once.
func hungOptions(ctx context.Context, rail railView) []ui.Option {
	var list []ui.Option
	for _, h := range rail.Hung {
		if k := len(list); k == 0 || list[k-1].Value != string(h.Number) {
			list = append(list, ui.Option{Value: string(h.Number), Label: h.Number.Short(), Note: ui.T(ctx, "hook %d", h.Position)})
		}
	}
	return list
}

// mark is one bar of the scale held beside a mould, drawn at its length by the
// class in coldrail.css.
type mark struct{ Value, Label, Class string }

// scale are its bars, in the shop's unit.
func scale(ctx context.Context) (list []mark) {
	if ui.ShopOf(ctx).Metric {
		for _, mm := range []string{"2", "3", "6", "12", "25"} {
			list = append(list, mark{mm + " mm", mm + " mm", "scale-mm-" + mm})
		}
		return list
	}
	for i, in := range []string{"1/16", "1/8", "1/4", "1/2", "1"} {
		list = append(list, mark{in + " in", ui.T(ctx, "%s in", in), "scale-" + strconv.Itoa(i)})
	}
	return list
}

// rulerHint says how to check that the bars are true.
func rulerHint(ctx context.Context) string {
	if ui.ShopOf(ctx).Metric {
		return ui.T(ctx, "Lay a ruler on the screen once: if its 25 mm are not as long as the last bar, go by the ruler.")
	}
	return ui.T(ctx, "Lay a ruler on the screen once: if its inch is not as long as the last bar, go by the ruler.")
}

// humidityInput is the humidity, where a hygrometer is fitted.
func humidityInput(ctx context.Context, v walkView, i round.Item) ui.Input {
	in := itemInput(ctx, v, i)
	in.Kind, in.Unit, in.ID = "decimal", "%", "humidity"
	in.Hint += " " + ui.T(ctx, "Leave it empty where nothing measures it.")
	return in
}

// rightInput is one line of the long list that is right or not.
func rightInput(ctx context.Context, v walkView, i round.Item) ui.Input {
	in := itemInput(ctx, v, i)
	in.Value = v.form("room").get("right-" + i.Key)
	in.Name = "right-" + i.Key
	if in.Wrong != nil && in.Wrong.At == i.Key {
		in.Wrong = &domain.Error{Kind: in.Wrong.Kind, At: in.Name, Msg: in.Wrong.Msg}
	}
	return in
}

// uncounted are the rails of the room that a round has not counted.
func uncounted(rails []db.Rail, room int16, counts []db.CountedRail) []string {
	counted := map[int16]bool{}
	for _, c := range counts {
		counted[c.RailID] = true
	}
	var names []string
	for _, r := range rails {
		if r.CoolerID == room && !counted[r.ID] {
			names = append(names, r.Name)
		}
	}
	return names
}

func itoa(n int16) string { return strconv.Itoa(int(n)) }

// mustLook marks on the printed sheet who must be looked at one by one.
func mustLook(ctx context.Context, rail railView, h db.HungHere) string {
	for _, s := range rail.Singles {
		if s.Number == h.Number {
			return ui.T(ctx, "(look at this one)")
		}
	}
	return ""
}

// closedEntries are closed corrective actions as a time line.
func closedEntries(ctx context.Context, list []db.ActionRow) []ui.Entry {
	entries := make([]ui.Entry, len(list))
	for i, a := range list {
		entries[i] = ui.Entry{At: *a.ClosedAt, What: a.Label + ": " + ui.Say(ctx, a.Action().Found()), Who: a.ClosedBy,
			Note: ui.T(ctx, "found by %s %s; %s: %s", a.FoundBy, ui.Moment(ctx, a.FoundAt), a.DoneBy, a.Done)}
		if a.Cause != "" {
			entries[i].Note += ". " + a.Cause
		}
	}
	return entries
}

// after is the step that follows another, for a tablet without a network.
func (v walkView) after(key string) string {
	next := key == "room"
	for _, r := range v.Rails {
		if next {
			return r.Key()
		}
		next = r.Key() == key
	}
	return "end"
}
