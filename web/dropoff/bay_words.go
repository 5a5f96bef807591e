package dropoff

import (
	"context"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// findingTiles are the findings with what else to do.
func findingTiles(ctx context.Context) []ui.Option {
	tiles := make([]ui.Option, len(animal.Findings))
	for i, f := range animal.Findings {
		tiles[i] = ui.Option{Value: string(f), Label: ui.Capital(ui.Say(ctx, f.Words())), Note: ui.Say(ctx, f.Advice())}
	}
	return tiles
}

// anyKind is every kind of animal in one list.
func anyKind(ctx context.Context) []ui.Option {
	return append([]ui.Option{{Value: "-", Label: ui.T(ctx, "not said")}}, speciesOptions(ctx, domain.AllSpecies)...)
}

// turnedAwayNote is when, by whom, and what else is known.
func turnedAwayNote(ctx context.Context, t db.RefusedAtDoor) string {
	said := []string{ui.T(ctx, "%s by %s", ui.Moment(ctx, t.At), t.By)}
	if t.Species != "" {
		said = append(said, ui.Say(ctx, t.Species.Words()))
	}
	if t.DeepC != nil {
		said = append(said, ui.T(ctx, "%s deep in the ham", *t.DeepC))
	}
	if t.Tag != "" {
		said = append(said, ui.T(ctx, "tag %s", t.Tag))
	}
	if t.Name+t.Phone != "" {
		said = append(said, ui.T(ctx, "brought by %s", strings.TrimSpace(t.Name+" "+ui.Private(ctx, domain.Phones, t.Phone))))
	} else {
		said = append(said, ui.T(ctx, "no name given"))
	}
	if t.Told != "" {
		said = append(said, ui.T(ctx, "told: %s", t.Told))
	}
	return strings.Join(said, " · ")
}

// seen is what was seen, with the temperature where one was taken.
func (v slipView) seen(ctx context.Context) string {
	if v.DeepC == nil {
		return v.Reason
	}
	return ui.T(ctx, "%s; %s deep in the ham", v.Reason, *v.DeepC)
}

// animal is the kind, and its tag where it could be read.
func (v slipView) animal(ctx context.Context) string {
	var said []string
	if v.Species != "" {
		said = append(said, ui.Say(ctx, v.Species.Words()))
	}
	if v.Tag != "" {
		said = append(said, ui.T(ctx, "tag %s", v.Tag))
	}
	return strings.Join(said, ", ")
}

// ruleSource is where the rule stands, from when its text is, and what is doubtful
// about it.
func ruleSource(ctx context.Context, v slipView) string {
	said := ui.T(ctx, "%s: %s.", v.Rule.StateName, v.Rule.Cites)
	if v.Rule.TextDate != "" {
		said = ui.T(ctx, "%s: %s (%s).", v.Rule.StateName, v.Rule.Cites, v.Rule.TextDate)
	}
	if stale := v.Rule.Stale(v.Now); stale.Format != "" {
		said += " " + ui.Say(ctx, stale)
	}
	return said
}

// ruleOptions are the rules of the state by which something may be turned away.
func ruleOptions(ctx context.Context, rules []db.Statute) []ui.Option {
	options := []ui.Option{{Value: "-", Label: ui.T(ctx, "the shop's own decision")}}
	for _, s := range rules {
		options = append(options, ui.Option{Value: s.Key, Label: ui.T(ctx, "%s, %s: %s", s.StateName, s.Topic.Words(), s.Cites)})
	}
	return options
}

// whyOf is the reason that was typed for a form that came back.
func whyOf(v intakeView, form animal.Intake) string {
	if v.Form == string(form) {
		return v.Why
	}
	return ""
}

// carcassTitle says what the carcass is, and whose by its card.
func carcassTitle(ctx context.Context, v nightView, f db.NightFind) string {
	number := string(f.Number)
	if number == "" {
		number = ui.T(ctx, "no tag half")
	}
	if f.CardID == nil {
		return ui.T(ctx, "%s, %s: no card, nobody's yet", number, f.Species.Words())
	}
	return ui.T(ctx, "%s, %s: %s", number, f.Species.Words(), cardReads(ctx, v.Cards[*f.CardID]))
}

// counted is so many carcasses and so many cards.
func counted(ctx context.Context, carcasses, cards int) string {
	return ui.T(ctx, "%s, %s", ui.T(ctx, "%d carcasses", carcasses), ui.T(ctx, "%d cards", cards))
}

// cardReads is a card as it can be read.
func cardReads(ctx context.Context, f db.NightFind) string {
	name, phone := f.Reads, f.Phone
	if name == "" {
		name = ui.T(ctx, "name cannot be read")
	}
	if phone == "" {
		phone = ui.T(ctx, "no phone that can be read")
	}
	return name + ", " + phone
}

// foundNote is how it was found: the hunter will say later that it was perfect.
func foundNote(ctx context.Context, f db.NightFind) string {
	said := []string{ui.T(ctx, "Found %s by %s", ui.Moment(ctx, f.FoundAt), f.FoundBy)}
	if f.DeepC != nil {
		said = append(said, ui.T(ctx, "%s deep in the ham", *f.DeepC))
	}
	if f.Tag != "" {
		said = append(said, ui.T(ctx, "tag %s", f.Tag))
	}
	if !f.IsCard() && f.Reads != "" {
		said = append(said, f.Reads)
	}
	if f.Note != "" {
		said = append(said, f.Note)
	}
	return strings.Join(said, " · ")
}

// whoseWords says whom a tag number points to.
func whoseWords(ctx context.Context, w db.TagHolder) string {
	switch w.From {
	case "licence":
		if !ui.MaySee(ctx, domain.Licences) {
			return ui.T(ctx, "The tag's number is the license number of somebody the shop knows. The counter can see whose.")
		}
		return ui.T(ctx, "The tag's number is the license number of %s.", w.Name)
	case "card":
		return ui.T(ctx, "The tag's number stands on the card of %s.", w.Name)
	}
	return ui.T(ctx, "The tag's number was read before, for %s.", w.Name)
}

func takeInWords(ctx context.Context, f db.NightFind) string {
	if f.CardID == nil {
		return ui.T(ctx, "Take it in, held")
	}
	return ui.T(ctx, "Take it in")
}

func callIsDue(ctx context.Context, now time.Time, f db.NightFind) bool {
	return !now.Before(animal.CallBy(f.FoundAt, ui.ShopOf(ctx).Zone))
}

// clockWords says whose question it is and by when it must be answered.
func clockWords(ctx context.Context, now time.Time, f db.NightFind) string {
	call, warden := animal.CallBy(f.FoundAt, ui.ShopOf(ctx).Zone), animal.WardenBy(f.FoundAt)
	switch {
	case !now.Before(warden):
		return ui.T(ctx, "A day has passed and nobody was reached: call the warden. (%s)", f.FoundBy)
	case callIsDue(ctx, now, f):
		return ui.T(ctx, "Call now: it was due at %s. Without contact by %s, call the warden. (%s)", ui.Clock(ctx, call), ui.Moment(ctx, warden), f.FoundBy)
	}
	return ui.T(ctx, "Call by %s. Without contact by %s, call the warden. (%s)", ui.Clock(ctx, call), ui.Moment(ctx, warden), f.FoundBy)
}

// looseCards are the cards that belong to no carcass yet.
func looseCards(ctx context.Context, v nightView) []ui.Option {
	options := make([]ui.Option, 0, len(v.Loose))
	for _, f := range v.Loose {
		if f.SettledAt == nil {
			options = append(options, ui.Option{Value: f.ID.String(), Label: cardReads(ctx, f)})
		}
	}
	return options
}
