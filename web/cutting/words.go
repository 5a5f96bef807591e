package cutting

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// partGroup is all lines of an order about one part.
type partGroup struct {
	Part  domaincutting.Part
	Lines []domaincutting.Line
}

// byPart groups the lines of an order by part, in the order they were written.
func byPart(lines []domaincutting.Line) []partGroup {
	var groups []partGroup
	for _, l := range lines {
		i := 0
		for i < len(groups) && groups[i].Part != l.Part {
			i++
		}
		if i == len(groups) {
			groups = append(groups, partGroup{Part: l.Part})
		}
		groups[i].Lines = append(groups[i].Lines, l)
	}
	return groups
}

// waySaid is one way of cutting a part; no line ends between "half:" and what it is.
func waySaid(ctx context.Context, l domaincutting.Line) string {
	return strings.Replace(ui.Say(ctx, l.Words()), ": ", ":"+ui.Joint, 1)
}

func ownMeat(ctx context.Context, own bool) string {
	if own {
		return ui.T(ctx, "Own meat only: keep it apart from other people's.")
	}
	return ui.T(ctx, "May go into a batch with other people's meat.")
}

func sourceWords(ctx context.Context, source string) string {
	switch source {
	case "phone":
		return ui.T(ctx, "by phone")
	case "card":
		return ui.T(ctx, "from the card")
	case "repeat":
		return ui.T(ctx, "same as before")
	}
	return ui.T(ctx, "at the counter")
}

func atTableLine(ctx context.Context, t db.NowAtTable, act string, now time.Time) ui.LineView {
	l := ui.LineView{Mark: ui.TagLink(t.Number), Title: ui.Capital(ui.Say(ctx, t.Species.Words())),
		Note: ui.T(ctx, "at the knife: %s, begun %s", t.By, ui.Ago(ctx, t.StartedAt, now)), Href: "/cutting/" + string(t.Number), Act: act}
	if t.Why != "" {
		l.Note += ", " + ui.T(ctx, "taken before %s: %s", string(t.InsteadOf), t.Why)
	}
	return l
}

// trimWords names what was cut away as the shop says it.
func trimWords(ctx context.Context, kind string) string {
	return ui.Say(ctx, domaincutting.TrimWords(kind))
}

func trimOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(db.TrimKinds))
	for i, k := range db.TrimKinds {
		options[i] = ui.Option{Value: k, Label: trimWords(ctx, k)}
	}
	return options
}

func placeOptions(ctx context.Context, places []db.Place) []ui.Option {
	options := make([]ui.Option, len(places))
	for i, p := range places {
		options[i] = ui.Option{Value: strconv.Itoa(p.ID), Label: ui.Say(ctx, p.Words())}
	}
	return options
}

// spotOptions offers the empty places first, each part in the order of the freezer.
func spotOptions(ctx context.Context, spots []db.Spot) []ui.Option {
	spots = slices.Clone(spots)
	slices.SortStableFunc(spots, func(a, b db.Spot) int { return min(a.Boxes, 1) - min(b.Boxes, 1) })
	options := make([]ui.Option, len(spots))
	for i, s := range spots {
		label := ui.T(ctx, "%s %s, empty", s.Room, s.Name)
		if s.Boxes > 0 {
			label = ui.T(ctx, "%s %s, boxes there: %d", s.Room, s.Name, s.Boxes)
		}
		options[i] = ui.Option{Value: strconv.Itoa(s.ID), Label: label}
	}
	return options
}

// knownCuts offers the words of the order while the cutter types.
func knownCuts(ctx context.Context, orders []db.Order) []string {
	var cuts []string
	for _, l := range linesOf(orders) {
		cut := ui.T(ctx, "%s, %s", ui.Say(ctx, l.Part.Words()), ui.Say(ctx, l.Treatment.Words()))
		if l.Part == domaincutting.Trim {
			cut = ui.Say(ctx, l.Treatment.Words())
		}
		if l.Treatment != domaincutting.Discard && l.Treatment != domaincutting.OwnerTook && !slices.Contains(cuts, cut) {
			cuts = append(cuts, cut)
		}
	}
	return cuts
}

func boxLine(ctx context.Context, v tableView, b db.BoxLine) ui.LineView {
	number, of := v.Animal.Number, len(v.Boxes)
	l := ui.LineView{Mark: boxMark(b, of), Title: ui.T(ctx, "%d packs", b.Packs) + ", " + ui.Weight(ctx, b.NetKg), Note: ui.T(ctx, "%s %s", b.Room, b.Place),
		Href: "/animals/" + string(number) + "/boxes/" + strconv.Itoa(b.N) + "/label", Act: ui.T(ctx, "Box label")}
	if i := slices.IndexFunc(v.Packs, func(k db.PackLine) bool { return k.Box == b.N }); i >= 0 && v.shared() {
		l.Title += ", " + v.whose(ctx, v.Packs[i].Portion)
	}
	if b.ReleasedAt != nil {
		l.Note = ui.T(ctx, "went home %s", ui.Moment(ctx, *b.ReleasedAt))
	}
	return l
}

// takeBackAct gives every line's small form an act of its own, the same however
// often the page is drawn.
func (v tableView) takeBackAct(line string) string {
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte("take back "+line)).String()
}

// lostWords lists the parts that damage took.
func lostWords(ctx context.Context, o db.Order) string {
	said := make([]string, len(o.Lost))
	for i, p := range o.Lost {
		said[i] = ui.Say(ctx, p.Words())
	}
	return strings.Join(said, ", ")
}

func linesOf(orders []db.Order) (lines []domaincutting.Line) {
	for _, o := range orders {
		lines = append(lines, o.Lines...)
	}
	return lines
}

// ediblePartOptions are what most states call edible, for what was thrown away
// (trade.md 2.7); blank where it was none of it.
func ediblePartOptions(ctx context.Context, a db.Animal) []ui.Option {
	options := []ui.Option{{Value: blank, Label: ui.T(ctx, "none of what is eaten")}}
	for _, c := range domaincutting.SheetOf(a.Species).Parts {
		if c.Owed && c.Part != domaincutting.Trim || c.Part == domaincutting.Tenderloin {
			options = append(options, ui.Option{Value: string(c.Part), Label: ui.Say(ctx, c.Part.Words())})
		}
	}
	return options
}

// portionOptions says whose packs they may be.
func portionOptions(ctx context.Context, orders []db.Order) []ui.Option {
	options := make([]ui.Option, len(orders))
	for i, o := range orders {
		options[i] = ui.Option{Value: string(o.Portion), Label: o.ForWhom, Note: ui.Say(ctx, o.Portion.Words())}
	}
	return options
}

// whose names the owner of a portion, and which it is: two owners may have one name.
// Nothing of an animal with one owner.
func (v tableView) whose(ctx context.Context, p domaincutting.Portion) string {
	for _, o := range v.Orders {
		if v.shared() && o.Portion == p {
			return o.ForWhom + ", " + ui.Say(ctx, p.Words())
		}
	}
	return ""
}

// packSaid is what is in a line of packs, and whose they are where several own the animal.
func packSaid(ctx context.Context, v tableView, k db.PackLine) string {
	if whose := v.whose(ctx, k.Portion); whose != "" {
		return k.Cut + ", " + whose
	}
	return k.Cut
}

// weighedBy says how a weight came about.
func weighedBy(ctx context.Context, scale string, readAt *time.Time) string {
	if scale == "" || readAt == nil {
		return ui.T(ctx, "typed")
	}
	return ui.T(ctx, "read from scale %s at %s", scale, ui.Clock(ctx, *readAt))
}

// sittingSaid is one time on the table: who, how long, to which order.
func sittingSaid(ctx context.Context, s db.Sitting, now time.Time) string {
	said := ui.T(ctx, "%s, %d minutes, order version %d, at the table: %s", ui.Moment(ctx, s.StartedAt), s.Minutes(now), s.Version, strings.Join(s.Cutters, ", "))
	if s.WhyNotNext != "" {
		said += ". " + ui.T(ctx, "Taken before %s: %s", string(s.InsteadOf), s.WhyNotNext)
	}
	return said
}

// trimSaid is what was cut away, of which part, and why.
func trimSaid(ctx context.Context, t db.TrimLine) string {
	said := trimWords(ctx, t.Kind)
	if t.Part != "" {
		said += ", " + ui.Say(ctx, t.Part.Words())
	}
	if t.Note != "" {
		said += ": " + t.Note
	}
	return said
}

// standsWhere says how the animal stands, and on which hook where it hangs.
func standsWhere(ctx context.Context, v tableView) string {
	said := []string{ui.Say(ctx, v.Animal.Physical.Words())}
	for _, h := range v.Hangs {
		said = append(said, strings.TrimSpace(h.Mark+" "+h.Rail+"-"+strconv.Itoa(h.Position)))
	}
	return strings.Join(said, ", ")
}
