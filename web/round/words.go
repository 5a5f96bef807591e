package round

import (
	"context"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/ui"
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

// lengths are the marks of a scale held beside a mould.
var lengths = []string{"1/16", "1/8", "1/4", "1/2", "1"}

// itemInput is the field of one temperature of the checklist, with its limit
// and what to do when it is out.
func itemInput(ctx context.Context, v walkView, i round.Item) ui.Input {
	in := ui.Input{Name: i.Key, Label: ui.Say(ctx, i.Label), Kind: "decimal", Unit: ui.TempUnit(ctx), Value: v.Form.get(i.Key), Wrong: v.Wrong, Required: true,
		Hint: ui.T(ctx, "Right: %s. If not: %s", ui.Say(ctx, i.Limit), ui.Say(ctx, i.Do))}
	switch i.Key {
	case round.ItemMeatOld:
		in.Label, in.Required = ui.T(ctx, "%s: %s", in.Label, v.Oldest.Short()), v.Count > 0
	case round.ItemMeatNew:
		in.Label, in.Required = ui.T(ctx, "%s: %s", in.Label, v.Newest.Short()), v.Count > 0
	}
	return in
}

// fansInput counts the fans.
func fansInput(ctx context.Context, v walkView, i round.Item) ui.Input {
	in := itemInput(ctx, v, i)
	in.Kind, in.Unit = "number", ui.T(ctx, "of %d", v.Room.Fans)
	return in
}

// smellInput asks for the smell of the room.
func smellInput(ctx context.Context, v walkView, i round.Item) ui.Input {
	in := itemInput(ctx, v, i)
	in.Kind, in.Unit = "", ""
	return in
}

// shown lists the fields that show what is wrong with them themselves; the rest
// is said at the top of the page.
func (v walkView) shown() []string {
	fields := []string{"comment"}
	for _, i := range v.Items {
		if i.Key != round.ItemCount {
			fields = append(fields, i.Key)
		}
	}
	for _, r := range v.Rails {
		id := strconv.Itoa(int(r.ID))
		fields = append(fields, "count-"+id, "touch-smell-"+id, "touch-surface-"+id)
		for i := range foundRows {
			fields = append(append(fields, "other-"+foundOf(r, i)), lookFields(foundOf(r, i))...)
		}
	}
	for _, s := range v.Singles {
		fields = append(fields, lookFields(string(s.Number))...)
	}
	return fields
}

// lookFields are the fields of one carcass that show what is wrong with them.
func lookFields(of string) []string {
	fields := []string{"smell-" + of, "surface-" + of}
	for i := range mouldRows {
		fields = append(fields, mouldField("length", i, of))
	}
	return fields
}

func mouldField(what string, row int, of string) string {
	return what + "-" + strconv.Itoa(row) + "-" + of
}

// foundOf names the fields of one thing found on another carcass of the rail.
func foundOf(r railView, i int) string { return strconv.Itoa(int(r.ID)) + "-" + strconv.Itoa(i) }

// anyFound reports whether anything was said of another carcass, so that its
// fields stay open when the form comes back.
func (f form) anyFound(r railView) bool {
	for i := range foundRows {
		of := foundOf(r, i)
		for _, field := range append(lookFields(of), "other-"+of, "note-"+of) {
			if f.get(field) != "" {
				return true
			}
		}
		if f.mould(of) {
			return true
		}
	}
	return false
}

// mould reports whether a mould has been typed in.
func (f form) mould(of string) bool {
	for i := range mouldRows {
		if f.get(mouldField("site", i, of)) != "" || f.get(mouldField("length", i, of)) != "" || f.get(mouldField("colour", i, of)) != "" {
			return true
		}
	}
	return false
}

// dueNote says how the due round stands.
func dueNote(ctx context.Context, d *db.DueRound) string {
	switch {
	case d == nil:
		return ui.T(ctx, "No round is due just now. This one will count as an extra look, or as the missed one walked late.")
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
	return ui.T(ctx, "%s, %s, day %d", place(h), kind, days(h, v.Now))
}

// lookSays sums a look up in one line.
func lookSays(ctx context.Context, l db.LookRow) string {
	says := ui.T(ctx, "smell %s, surface %s", ui.Say(ctx, l.Smell.Words()), ui.Say(ctx, l.Surface.Words()))
	for _, m := range l.Mould {
		says += "; " + ui.T(ctx, "mould %s, %s, %s", ui.Say(ctx, m.Site.Words()), ui.Say(ctx, m.Colour.Words()), ui.Length(ctx, m.Length))
	}
	if l.Note != "" {
		says += ". " + l.Note
	}
	return says
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
	note := ui.T(ctx, "Not due just now.")
	if room.Due != nil {
		note = dueNote(ctx, room.Due)
	}
	if room.Last == nil {
		return note + " " + ui.T(ctx, "Nobody has walked it in the last two days.")
	}
	return note + " " + ui.T(ctx, "Last walked %s by %s.", ui.Ago(ctx, room.Last.WalkedTo, now), room.Last.By)
}
