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

// hasThickness: backstraps and hinds are sliced; the rest has no thickness.
func (p partRows) hasThickness() bool {
	return p.Part == domaincutting.Backstrap || p.Part == domaincutting.Hind
}

func (p partRows) hasSize() bool {
	return p.Part == domaincutting.Trim || slices.Contains(p.Treatments, domaincutting.Roasts)
}

func (p partRows) sizeLabel(ctx context.Context) string {
	if p.Part == domaincutting.Trim {
		return ui.T(ctx, "Packs of")
	}
	return ui.T(ctx, "Roasts about")
}

// sizes are offered while typing (trade.md 6.2: packs of 1 to 5 lb, roasts of 2
// to 4 lb).
func (p partRows) sizes() []string {
	if p.Part == domaincutting.Trim {
		return []string{"1 lb", "1 1/2 lb", "2 lb", "5 lb"}
	}
	return []string{"2 lb", "3 lb", "4 lb"}
}

func (p partRows) hasPacks() bool {
	return p.hasThickness() || p.Part == domaincutting.Shoulder
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

// gapsOf is what is still to be asked before the order is complete.
func gapsOf(v orderView) []domain.Words {
	if db.HasSheet(v.Animal.Species) {
		return v.Newest.Gaps()
	}
	if !v.Newest.Complete {
		return []domain.Words{domain.Say("Whether this is the whole order.")}
	}
	return nil
}

func completeWords(ctx context.Context, o db.Order) string {
	return ui.T(ctx, "The order is complete, version %d.", o.Version)
}
