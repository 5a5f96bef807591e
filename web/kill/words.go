package kill

import (
	"context"
	"slices"

	"coldrail/db"
	"coldrail/domain/cutting"
	"coldrail/domain/statute"
	"coldrail/web/ui"
)

func asksAge(v killView) bool { return cutting.SheetOf(v.Animal.Species).AsksMonth }

func ageSaid(ctx context.Context, v db.KillLine) string {
	said := ui.T(ctx, "Younger than 30 months, by its papers.")
	switch {
	case v.ThirtyMonths == "yes" && v.KnownBy == "teeth":
		said = ui.T(ctx, "30 months or older, by its teeth.")
	case v.ThirtyMonths == "yes":
		said = ui.T(ctx, "30 months or older, by its papers.")
	case v.KnownBy == "teeth":
		said = ui.T(ctx, "Younger than 30 months, by its teeth.")
	}
	if v.Note != "" {
		said += " " + v.Note
	}
	return said
}

// portionsSaid is how the kind may be sold: by the state's rule where there is one.
func portionsSaid(ctx context.Context, v killView) string {
	if by := v.About.Shares; by.Most > 0 {
		return ui.T(ctx, "At most %d shares: %s (%s). Confirm with your state. A row without a name is left out.", by.Most, by.Says, by.Cites)
	}
	return ui.T(ctx, "Whole, halves, or with beef quarters. A row without a name is left out.")
}

func portionOptions(ctx context.Context, v killView) (options []ui.Option) {
	for _, p := range cutting.SheetOf(v.Animal.Species).Sold(v.About.Shares).Portions() {
		options = append(options, ui.Option{Value: string(p), Label: ui.Say(ctx, p.Words())})
	}
	return options
}

func spineOptions(ctx context.Context) (options []ui.Option) {
	for _, p := range cutting.SpineParts {
		options = append(options, ui.Option{Value: p, Label: ui.Say(ctx, cutting.SpineWords(p))})
	}
	return options
}

// bears reports whether a quarter was marked under every rule that is in force now.
func (v killView) bears(s db.Stamped) bool {
	return !slices.ContainsFunc(v.Marks, func(r statute.Rule) bool { return !s.Bears(r) })
}

// quarterOptions are those that are not stamped yet, or not under every rule.
func quarterOptions(ctx context.Context, v killView) (options []ui.Option) {
	for _, q := range cutting.Quarters {
		if !slices.ContainsFunc(v.Stamps, func(s db.Stamped) bool { return s.Quarter == q && v.bears(s) }) {
			options = append(options, ui.Option{Value: q, Label: q})
		}
	}
	return options
}

// stampedOptions are the quarters that are written down as stamped.
func stampedOptions(v killView) (options []ui.Option) {
	for _, s := range v.Stamps {
		options = append(options, ui.Option{Value: s.Quarter, Label: s.Quarter})
	}
	return options
}

// formAt is where the form goes: a first entry, or a line that puts it right.
func formAt(v killView) string {
	if v.Correcting {
		return "/kill/correct"
	}
	return "/kill"
}
