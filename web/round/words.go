package round

import (
	"context"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/ui"

	"github.com/a-h/templ"
)

// said is anything that has a name in the shop's words.
type said interface {
	~string
	Words() domain.Words
}

// options offers a list by its words.
func options[T said](ctx context.Context, list []T) []ui.Option {
	out := make([]ui.Option, len(list))
	for i, one := range list {
		out[i] = ui.Option{Value: string(one), Label: ui.Say(ctx, one.Words())}
	}
	return out
}

// itemInput is one line of the checklist, with its limit and what to do when it
// is out.
func itemInput(ctx context.Context, v walkView, i round.Item) ui.Input {
	in := ui.Input{Name: i.Key, Label: ui.Say(ctx, i.Label), Value: v.form("room").get(i.Key), Wrong: v.wrong("room"),
		Hint: ui.T(ctx, "Right: %s.", ui.Say(ctx, i.Limit))}
	switch {
	case v.Oldest.Number == "":
	case i.Key == round.ItemMeatOld:
		in.Label = ui.T(ctx, "%s: %s, %s", in.Label, v.Oldest.Number.Short(), place(v.Oldest))
	case i.Key == round.ItemMeatNew:
		in.Label = ui.T(ctx, "%s: %s, %s", in.Label, v.Newest.Number.Short(), place(v.Newest))
	}
	return in
}

// exactInput is the field beside the tiles of a temperature.
func exactInput(ctx context.Context, v walkView, key string) ui.Input {
	return ui.Input{Name: key + "_exact", Label: ui.T(ctx, "or exactly"), Kind: "decimal", Unit: ui.TempUnit(ctx), Value: v.form("room").get(key + "_exact")}
}

// lastTemp is what was read for an item on the round before.
func lastTemp(v walkView, key string) *domain.Celsius {
	if v.Last == nil {
		return nil
	}
	switch key {
	case round.ItemPanel:
		return v.Last.AirPanelC
	case round.ItemIndependent:
		return v.Last.AirOwnC
	case round.ItemMeatOld:
		return v.Last.MeatOldC
	}
	return v.Last.MeatNewC
}

// around is where the tiles of a temperature stand: at what was read last, or, where that
// was out of the room's range, in the range. A room is warm for hours and cold for weeks,
// and the first round after a repair is walked with gloves.
func around(v walkView, key string) domain.Celsius {
	last, limits := lastTemp(v, key), v.Room.Book.At(v.Now)
	if v.Room.Kind == "freezer" {
		if last != nil {
			if verdict, _ := round.JudgeFreezerAir(*last); verdict == round.Fine {
				return *last
			}
		}
		return domain.Fahrenheit(-5)
	}
	most := limits.Warm
	if key == round.ItemMeatOld || key == round.ItemMeatNew {
		most = limits.TooWarm
	}
	const tiny = 0.005 // 38 °F read in °F is not above 38 °F
	if last != nil && *last >= limits.Chilly-tiny && *last <= most+tiny {
		return *last
	}
	return (limits.Chilly + limits.Warm) / 2 // with the usual limits all of the range is offered
}

// fans offers every number of fans that may turn, all of them first.
func fans(ctx context.Context, v walkView) []ui.Option {
	var list []ui.Option
	for n := v.Room.Fans; n >= 0; n-- {
		list = append(list, ui.Option{Value: strconv.Itoa(n), Label: ui.T(ctx, "%d of %d", n, v.Room.Fans)})
	}
	return list
}

// yesNo offers right and not right.
func yesNo(ctx context.Context, i round.Item) []ui.Option {
	return []ui.Option{{Value: "yes", Label: ui.T(ctx, "right")}, {Value: "no", Label: ui.T(ctx, "not right"), Note: ui.Say(ctx, i.Do)}}
}

// devices offers the thermometers that may measure.
func devices(ctx context.Context, v walkView) []ui.Option {
	var list []ui.Option
	for _, t := range v.Thermometers {
		state := round.Stands(t.Last(), v.Now)
		if t.RetiredAt == nil {
			list = append(list, ui.Option{Value: strconv.Itoa(int(t.ID)), Label: t.Name, Note: ui.Say(ctx, state.Words()), Off: state == round.OutOfService})
		}
	}
	return list
}

// device is the one that measured last, so that nobody has to say it again.
func device(v walkView) string {
	if typed := v.form("room").get("thermometer"); typed != "" || v.Last == nil || v.OnPaper {
		return typed
	}
	for _, t := range v.Thermometers {
		if t.Name == v.Last.Thermometer && t.RetiredAt == nil && round.Stands(t.Last(), v.Now) != round.OutOfService {
			return strconv.Itoa(int(t.ID))
		}
	}
	return ""
}

// shown lists the fields that show what is wrong with them themselves; the rest
// is said at the top of the step.
func shown(fields ...string) []string {
	for _, i := range round.Full() {
		if i.Key != round.ItemCount {
			fields = append(fields, i.Key)
		}
	}
	return append(fields, "smell", "surface", "number", "touch", "touch_smell", "touch_surface", "count_other", "comment",
		mouldField("length", 0), mouldField("length", 1), mouldField("length", 2))
}

// stepNote says how a rail stands, for the list of steps.
func (r railView) stepNote(ctx context.Context) string {
	switch {
	case r.ToRead():
		return ui.T(ctx, "read the tags")
	case r.Counted == nil && len(r.Singles) > 0:
		return ui.T(ctx, "%d to look at", len(r.Singles))
	case r.Counted == nil:
		return ui.T(ctx, "to count")
	case len(r.Singles) > 0:
		return ui.T(ctx, "%d counted, %d to look at", r.Counted.Counted, len(r.Singles))
	}
	return ui.T(ctx, "%d counted, %s", r.Counted.Counted, ui.Clock(ctx, r.Counted.At))
}

// turn changes from round to round and rail to rail, so that the right count is
// not always the same button.
func turn(v walkView, r railView) int {
	if v.Last == nil {
		return int(r.ID)
	}
	return int(r.ID) + v.Last.WalkedTo.YearDay() + v.Last.WalkedTo.Hour()
}

// dueNote says how the due round stands.
func dueNote(ctx context.Context, d *db.DueRound) string {
	switch {
	case d == nil:
		return ui.T(ctx, "No round is due just now. If the last one was missed, this counts as that one walked late; else as an extra look.")
	case d.Kind == round.Morning:
		return ui.T(ctx, "The morning round is due until %s.", ui.Clock(ctx, d.ClosesAt))
	}
	return ui.T(ctx, "The evening round is due until %s.", ui.Clock(ctx, d.ClosesAt))
}

// carcass names an animal in one line: R2-7, whitetail, day 12.
func carcass(ctx context.Context, v walkView, h db.HungHere) string {
	kind := ui.Say(ctx, h.Species.Words())
	if h.Piece != "" { // of a split carcass each side hangs by itself
		kind += ", " + ui.Side(ctx, h.Piece)
	}
	return ui.T(ctx, "%s, %s, day %d", place(h), kind, domain.DayOfAge(h.KilledAt, v.Now))
}

// lookSays sums a look up in one line.
func lookSays(ctx context.Context, l db.LookRow) string {
	says := ui.T(ctx, "smell %s, surface %s", ui.Say(ctx, l.Smell.Words()), ui.Say(ctx, l.Surface.Words()))
	for _, m := range l.Mould {
		says += "; " + ui.T(ctx, "mold %s, %s, %s", ui.Say(ctx, m.Site.Words()), ui.Say(ctx, m.Colour.Words()), ui.Length(ctx, m.Length))
	}
	if l.Note != "" {
		says += ". " + l.Note
	}
	return says
}

// lastFound says what the last look found, for whoever looks again: what is not said once
// more would seem to be gone. "": it found nothing.
func (s single) lastFound(ctx context.Context) string {
	last := s.Hanging().Last
	if last == nil || !last.Flagged() && !last.Stops() {
		return ""
	}
	l := db.LookRow{Smell: last.Smell, Surface: last.Surface, Mould: last.Mould}
	return ui.T(ctx, "%s: %s", ui.Moment(ctx, last.At), lookSays(ctx, l))
}

// lengthUnit stands after a mould's length.
func lengthUnit(ctx context.Context) string {
	if ui.ShopOf(ctx).Metric {
		return "mm"
	}
	return ui.T(ctx, "in")
}

// firstOf is the first that is not empty.
func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// roomNote is what a room says where it is chosen.
func roomNote(ctx context.Context, room roomLine, now time.Time) string {
	var said []string
	if room.Open > 0 {
		said = append(said, ui.T(ctx, "To be put right: %d", room.Open)+".")
	}
	switch {
	case room.Due != nil:
		said = append(said, dueNote(ctx, room.Due))
	case room.Last != nil: // else somebody is asked to go, due or not
		said = append(said, ui.T(ctx, "Not due just now."))
	}
	switch {
	case room.Never:
		said = append(said, ui.T(ctx, "No reading of this room yet. Read the thermometer."))
	case room.Last == nil:
		said = append(said, ui.T(ctx, "Nobody has walked it in the last two days."))
	default:
		said = append(said, ui.T(ctx, "Last walked %s by %s.", ui.Ago(ctx, room.Last.WalkedTo, now), room.Last.By))
	}
	return strings.Join(said, " ")
}

// toPutRight leads to what is to be put right, with how much that is.
func toPutRight(ctx context.Context, rooms []roomLine) string {
	n := 0
	for _, room := range rooms {
		n += room.Open
	}
	if n == 0 {
		return ui.T(ctx, "To be put right")
	}
	return ui.T(ctx, "To be put right: %d", n)
}

// here marks the step one is at.
func here(v walkView, key string) templ.Attributes {
	if v.Current() == key {
		return templ.Attributes{"aria-current": "step"}
	}
	return nil
}
