package animals

import (
	"context"
	"slices"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/register"
	"coldrail/web/ui"
)

// kindOf is species, class, sex and form in one line, such as "Whitetail, grown,
// male, whole with the hide off".
func kindOf(ctx context.Context, a db.Animal) string {
	parts := []string{ui.Capital(ui.Say(ctx, a.Species.Words()))}
	if w := classSaid(ctx, a.Class); w != "" {
		parts = append(parts, w)
	}
	switch a.Sex {
	case animal.Male:
		parts = append(parts, ui.T(ctx, "male"))
	case animal.Female:
		parts = append(parts, ui.T(ctx, "female"))
	}
	if a.Points != nil && *a.Points > 0 {
		parts = append(parts, ui.T(ctx, "%d points", *a.Points))
	}
	return strings.Join(append(parts, formSaid(ctx, a.Form)), ", ")
}

func classSaid(ctx context.Context, c domain.Class) string {
	switch c {
	case domain.Mature:
		return ui.T(ctx, "grown")
	case domain.Young:
		return ui.T(ctx, "young")
	case domain.Thin:
		return ui.T(ctx, "thin")
	case domain.Bull:
		return ui.T(ctx, "bull")
	case domain.Cow:
		return ui.T(ctx, "cow")
	case domain.FatCover:
		return ui.T(ctx, "with fat cover")
	case domain.Lean:
		return ui.T(ctx, "lean")
	}
	return ""
}

func formSaid(ctx context.Context, f domain.Form) string {
	switch f {
	case domain.Whole:
		return ui.T(ctx, "whole, skinned")
	case domain.WholeHideOn:
		return ui.T(ctx, "whole, hide on")
	case domain.Quarters:
		return ui.T(ctx, "in quarters")
	}
	return ui.T(ctx, "boned")
}

// roleSaid names what somebody is to an animal.
func roleSaid(ctx context.Context, role string) string {
	switch role {
	case "owner":
		return ui.T(ctx, "Owner")
	case "taker":
		return ui.T(ctx, "Killed by")
	case "deliverer":
		return ui.T(ctx, "Brought by")
	case "payer":
		return ui.T(ctx, "Pays")
	}
	return ui.T(ctx, "May collect")
}

// together joins the roles of one person, since most bring what they killed and
// own. The roles come back in words.
func together(ctx context.Context, parties []db.Party) (list []db.Party) {
	for _, p := range parties {
		p = kept(ctx, p)
		role := roleSaid(ctx, p.Role)
		at := slices.IndexFunc(list, func(q db.Party) bool { return q.Name == p.Name && q.Phone == p.Phone && q.Note == p.Note })
		if at < 0 {
			p.Role = role
			list = append(list, p)
			continue
		}
		list[at].Role += ", " + strings.ToLower(role)
	}
	return list
}

// private are the roles in which somebody's name is the counter's alone.
var private = []string{"taker", "deliverer", "collector"}

// kept is a party as whoever holds the tablet may read it. An owner's name is everyone's.
func kept(ctx context.Context, p db.Party) db.Party {
	p.Name = ui.Named(ctx, p.Name)
	if slices.Contains(private, p.Role) && !ui.MaySee(ctx, domain.Names) {
		p.Name, p.Note = ui.Private(ctx, domain.Names, p.Name), ""
	}
	return p
}

// tagSaid names a tag of the state and where it is.
func tagSaid(ctx context.Context, t db.TagRow) string {
	kind := map[string]string{"carcass-tag": "Carcass tag", "permit": "Permit", "seal": "Seal", "confirmation": "Confirmation", "ear-tag": "Ear tag"}[t.Kind]
	return ui.T(ctx, "%s, %s, read %s", ui.T(ctx, kind), ui.T(ctx, custodyWords[t.Custody]), ui.Moment(ctx, t.ReadAt))
}

// purposeSaid says what a weigh-in was for.
func purposeSaid(ctx context.Context, w db.Weighed) string {
	said := map[string]string{"field-dressed": "field dressed", "hanging": "hanging", "boned": "boned", "trim": "trim", "put-right": "put right"}[w.Purpose]
	said = ui.T(ctx, said)
	if w.Part != "" {
		said = ui.T(ctx, "%s, %s", said, ui.Side(ctx, w.Part))
	}
	if w.Scale != "" {
		said = ui.T(ctx, "%s, read from scale %s", said, w.Scale)
	}
	return said
}

// placeSaid says where it, or a side of it, hangs.
func placeSaid(ctx context.Context, h db.Hangs) string {
	said := ui.T(ctx, "%s, rail %s, hook %d", h.Cooler, h.Rail, h.Position)
	if h.Mark != "" {
		said = ui.Side(ctx, h.Mark) + ": " + said
	}
	return said
}

// promisedValue is the promised day as its field holds it.
func promisedValue(ctx context.Context, v recordView) string {
	if v.Animal.PromisedOn == nil {
		return ""
	}
	return ui.TypedDay(ctx, ui.Calendar(ctx, *v.Animal.PromisedOn))
}

// lineKind says what a line of the register is.
func lineKind(ctx context.Context, kind register.Kind) string {
	switch kind {
	case register.Receipt:
		return ui.T(ctx, "Receipt")
	case register.Correction:
		return ui.T(ctx, "Correction")
	}
	return ui.T(ctx, "Hand-over")
}

// killedSaid is the kill as it was told: with its time, or the day alone.
func killedSaid(ctx context.Context, a db.Animal) string {
	if a.KilledDayOnly {
		return ui.T(ctx, "%s, time not told", ui.Day(ctx, a.KilledAt))
	}
	return ui.Moment(ctx, a.KilledAt)
}

// doorSaid is what the door check found, if anything.
func doorSaid(ctx context.Context, a db.Animal) string {
	said := ""
	if a.Door == "damaged" {
		said = ui.T(ctx, "damaged: cut first")
	}
	if a.DoorNote != "" && said != "" {
		return said + ". " + a.DoorNote
	}
	return said + a.DoorNote
}

func wishSaid(ctx context.Context, wish string) string {
	switch wish {
	case "cut-when-cold":
		return ui.T(ctx, "cut it as soon as it is cold")
	case "long-hang":
		return ui.T(ctx, "a long hang")
	}
	return ""
}

func outcomeSaid(ctx context.Context, outcome string) string {
	return detailWords["outcome"].words(ctx, outcome)
}

// touchSaid is the surface, and whether a hand felt it.
func touchSaid(ctx context.Context, l db.LookRow) string {
	if l.Touched {
		return ui.T(ctx, "%s, by touch", l.Surface.Words())
	}
	return ui.Say(ctx, l.Surface.Words())
}

// mouldSaid lists what grew where.
func mouldSaid(ctx context.Context, l db.LookRow) string {
	said := make([]string, len(l.Mould))
	for i, m := range l.Mould {
		said[i] = ui.T(ctx, "%s: %s, %s", m.Site.Words(), m.Colour.Words(), m.Length)
	}
	return strings.Join(said, "; ")
}

func anyMould(list []db.LookRow) bool {
	return slices.ContainsFunc(list, func(l db.LookRow) bool { return len(l.Mould) > 0 })
}

// owedSaid names what the register still lacks.
func owedSaid(ctx context.Context, owed []register.Field) string {
	said := make([]string, len(owed))
	for i, f := range owed {
		said[i] = ui.Say(ctx, f.Label)
	}
	return strings.Join(said, ", ")
}

// boxLine is one box and where it stands.
func boxLine(ctx context.Context, b db.BoxLine) ui.LineView {
	l := ui.LineView{Title: ui.T(ctx, "Box %d", b.N), Note: ui.T(ctx, "%d packs", b.Packs) + ", " + ui.Weight(ctx, b.NetKg)}
	switch {
	case b.ReleasedAt != nil:
		l.Note += ", " + ui.T(ctx, "handed over %s", *b.ReleasedAt)
	case b.Place != "":
		l.Note += ", " + ui.T(ctx, "%s, %s", b.Room, b.Place)
	default:
		l.Note += ", " + ui.T(ctx, "not in the freezer yet")
	}
	return l
}
