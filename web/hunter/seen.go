package hunter

import (
	"context"
	"strings"

	"coldrail/domain/round"
	"coldrail/web/ui"
)

// looked says what was seen at the looks, the newest first, in an owner's words.
func looked(ctx context.Context, v view) []string {
	var said []string
	for _, l := range v.Told {
		said = append(said, oneLook(ctx, l))
	}
	if more := v.Looks - len(v.Told); len(said) > 0 && more > 0 {
		said = append(said, ui.T(ctx, "We looked at it %d times in all. Ask us about any of them.", v.Looks))
	}
	return said
}

func oneLook(ctx context.Context, l round.Look) string {
	said := []string{ui.T(ctx, "%s: %s, %s.", ui.Day(ctx, l.At), smelled(ctx, l.Smell), felt(ctx, l.Surface))}
	for _, m := range l.Mould {
		said = append(said, grown(ctx, m))
	}
	return strings.Join(said, " ")
}

func smelled(ctx context.Context, s round.Smell) string {
	switch s {
	case round.SmellClean:
		return ui.T(ctx, "it smells clean")
	case round.SmellGamey:
		return ui.T(ctx, "it smells of game")
	case round.SmellMusty:
		return ui.T(ctx, "it smells a little musty")
	}
	return ui.T(ctx, "it smelled %s, and we have spoken about it", ui.Say(ctx, s.Words()))
}

func felt(ctx context.Context, s round.Surface) string {
	switch s {
	case round.SurfaceDry:
		return ui.T(ctx, "dry outside")
	case round.SurfaceDrying:
		return ui.T(ctx, "a dry skin is forming")
	case round.SurfaceWet:
		return ui.T(ctx, "still moist outside")
	case round.SurfaceSticky:
		return ui.T(ctx, "sticky outside")
	}
	return ui.T(ctx, "slimy outside, and we have spoken about it")
}

// grown tells of mould. White and grey inside the ribs and on fat come with time;
// the same on meat is cut away; what stops a carcass was told by mouth before.
func grown(ctx context.Context, m round.Mould) string {
	where := map[round.Site]string{round.SiteRibs: ui.T(ctx, "on the inside of the rib cage"), round.SiteFat: ui.T(ctx, "on the fat"),
		round.SiteMeat: ui.T(ctx, "on the meat"), round.SiteNeck: ui.T(ctx, "on the neck"), round.SiteFlank: ui.T(ctx, "on the flank")}[m.Site]
	colour := ui.Capital(ui.Say(ctx, m.Colour.Words()))
	growth := ui.T(ctx, "%s mold %s, up to %s.", colour, where, ui.Length(ctx, m.Length))
	if most, small := strings.CutPrefix(ui.Length(ctx, m.Length), "<"+ui.Joint); small {
		growth = ui.T(ctx, "%s mold %s, less than %s.", colour, where, most)
	}
	switch {
	case m.Colour.Stops():
		return growth + " " + ui.T(ctx, "We have spoken about it.")
	case m.Site == round.SiteRibs || m.Site == round.SiteFat:
		return growth + " " + ui.T(ctx, "That is a sign of time, and is cut off.")
	}
	return growth + " " + ui.T(ctx, "That does not belong there: we cut it off well beyond what we see.")
}

// moulded reports whether the page tells of mould.
func moulded(v view) bool {
	for _, l := range v.Told {
		if len(l.Mould) > 0 {
			return true
		}
	}
	return false
}
