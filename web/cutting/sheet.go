package cutting

import (
	"context"
	"slices"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/ui"
)

// blank is the value of "nothing chosen" in a list that may stay open. A list
// with a value shows no "Choose", so that one can go back to nothing.
const blank = " "

func emptyAs[T ~string](value T) string {
	if value == "" {
		return blank
	}
	return string(value)
}

func (p partRows) id(field string, i int) string { return string(p.Part) + "-" + rowID(field, i) }

func rowID(field string, i int) string { return field + "-" + strconv.Itoa(i+1) }

func (p partRows) treatments(ctx context.Context) []ui.Option {
	options := []ui.Option{{Value: blank, Label: "–"}}
	for _, t := range p.Treatments {
		options = append(options, ui.Option{Value: string(t), Label: ui.Say(ctx, t.Words())})
	}
	return options
}

func thicknessOptions(ctx context.Context) []ui.Option {
	options := []ui.Option{{Value: blank, Label: "–"}}
	for _, t := range domaincutting.Thicknesses {
		options = append(options, ui.Option{Value: t, Label: ui.T(ctx, "%s in", t)})
	}
	return options
}

func (p partRows) hasSize() bool {
	return p.Part == domaincutting.Trim || p.Part == domaincutting.Ham || slices.Contains(p.Treatments, domaincutting.Roasts) ||
		slices.Contains(p.Treatments, domaincutting.BoneInRoasts)
}

func (p partRows) sizeLabel(ctx context.Context) string {
	switch p.Part {
	case domaincutting.Trim:
		return ui.T(ctx, "Packs of")
	case domaincutting.Ham:
		return ui.T(ctx, "Whole, halves, slices")
	}
	return ui.T(ctx, "Roasts about")
}

// sizes are offered while typing (trade.md 6.2: packs of 1 to 5 lb, roasts of 2
// to 4 lb).
func (p partRows) sizes() []string {
	if p.Part == domaincutting.Trim {
		return []string{"1 lb", "1 1/2 lb", "2 lb", "5 lb"}
	}
	if p.Part == domaincutting.Ham {
		return []string{"whole", "halves", "slices 1/2 in", "4 lb"}
	}
	return []string{"2 lb", "3 lb", "4 lb"}
}

// flavours are offered while typing; the shop's own are typed once and then
// stand in the owner's last order. Common practice, no source.
func (p partRows) flavours() []string {
	return []string{"plain", "mild", "hot", "garlic", "sage", "pepper", "teriyaki", "jalapeño and cheese"}
}

func fatOptions(ctx context.Context) []ui.Option {
	options := []ui.Option{{Value: blank, Label: "–"}}
	for _, f := range domaincutting.Fats {
		options = append(options, ui.Option{Value: f, Label: f + " %"})
	}
	return options
}

func partOptions(ctx context.Context, s domaincutting.Sheet) []ui.Option {
	options := make([]ui.Option, len(s.Parts))
	for i, c := range s.Parts {
		options[i] = ui.Option{Value: string(c.Part), Label: ui.Say(ctx, c.Part.Words())}
	}
	return options
}

// lostHint repeats what the door found, for whoever takes the order.
func lostHint(ctx context.Context, v orderView) string {
	if v.Animal.Door != "damaged" {
		return ui.T(ctx, "Tick only what is known to be lost.")
	}
	return ui.T(ctx, "Bad fault at the door. %s", v.Animal.DoorNote)
}

// portionTab names a portion and whose it is.
func portionTab(ctx context.Context, v orderView, p domaincutting.Portion) string {
	name := ui.Say(ctx, p.Words())
	if o := v.standing(p); o.ForWhom != "" {
		return name + ": " + o.ForWhom
	}
	return name
}

func versionSaid(ctx context.Context, o db.Order) string {
	said := ui.T(ctx, "%s, written by %s, %s", sourceWords(ctx, o.Source), o.WrittenBy, o.WrittenAt)
	if o.Caller != "" {
		said += ", " + ui.T(ctx, "called: %s", o.Caller)
	}
	return said
}

func voidSaid(ctx context.Context, o db.Order) string {
	switch {
	case o.VoidAt != nil:
		return ui.T(ctx, "void since %s", *o.VoidAt)
	case !o.Complete:
		return ui.T(ctx, "counts, not complete")
	}
	return ui.T(ctx, "counts")
}

func (p partRows) hasPacks() bool {
	return p.Thick() || p.Part == domaincutting.Shoulder || p.Part == domaincutting.Trim
}

func addedOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: string(domaincutting.NoneAdded), Label: ui.T(ctx, "No, nothing")},
		{Value: string(domaincutting.Pork), Label: ui.T(ctx, "Pork, yes")},
		{Value: string(domaincutting.Beef), Label: ui.T(ctx, "Beef only, no pork")},
	}
}

func ownOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "yes", Label: ui.T(ctx, "Yes, only mine")}, {Value: "no", Label: ui.T(ctx, "A batch with others is fine")}}
}

func sourceOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(db.OrderSources))
	for i, s := range db.OrderSources {
		options[i] = ui.Option{Value: s, Label: sourceWords(ctx, s)}
	}
	return options
}

func orderNote(ctx context.Context, v orderView) string {
	if v.Newest.Version == 0 {
		return ui.T(ctx, "%s, no order yet", ui.Say(ctx, v.Animal.Species.Words()))
	}
	return ui.T(ctx, "%s, version %d by %s, %s. Saving makes a new version; the old paper is void.", ui.Say(ctx, v.Animal.Species.Words()),
		v.Newest.Version, v.Newest.WrittenBy, v.Newest.WrittenAt)
}

// gapsOf is what is still to be asked before the order is complete, over all
// portions.
func gapsOf(v orderView) []domain.Words {
	var gaps []domain.Words
	ordered := make([]domaincutting.Portion, len(v.Standing))
	for i, o := range v.Standing {
		ordered[i] = o.Portion
		for _, g := range o.Gaps(v.About) {
			if o.Portion != domaincutting.WholeAnimal {
				g = domain.Say("%s: %s", o.Portion.Words(), g)
			}
			gaps = append(gaps, g)
		}
	}
	for _, p := range domaincutting.NotAsked(ordered) {
		gaps = append(gaps, domain.Say("%s: no order yet.", p.Words()))
	}
	return gaps
}

func completeWords(ctx context.Context, o db.Order) string {
	return ui.T(ctx, "The order is complete, version %d.", o.Version)
}

// right reports whether nothing is left to ask, so that agreeing is the way on.
func (v orderView) right() bool {
	return v.Locked || v.Newest.Version > 0 && len(gapsOf(v)) == 0 && len(v.Conflicts) == 0
}
