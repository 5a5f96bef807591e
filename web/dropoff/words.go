package dropoff

import (
	"context"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/register"
	"coldrail/domain/statute"
	"coldrail/web/hunter"
	"coldrail/web/ui"
)

// often are the kinds with a tile of their own; the rest is in the list below.
var often = []domain.Species{domain.Whitetail, domain.MuleDeer, domain.Elk, domain.Pronghorn, domain.Bear, domain.Beef, domain.Hog, domain.Lamb}

func speciesTiles(ctx context.Context) []ui.Option { return speciesOptions(ctx, often) }

func speciesOptions(ctx context.Context, list []domain.Species) []ui.Option {
	out := make([]ui.Option, len(list))
	for i, s := range list {
		out[i] = ui.Option{Value: string(s), Label: ui.Say(ctx, s.Words())}
	}
	return out
}

// seldom are the kinds without a tile.
func seldom(ctx context.Context) []ui.Option {
	var rest []domain.Species
	for _, s := range domain.AllSpecies {
		if !contains(often, s) {
			rest = append(rest, s)
		}
	}
	return append([]ui.Option{{Value: "-", Label: ui.T(ctx, "none of these")}}, speciesOptions(ctx, rest)...)
}

func contains(list []domain.Species, s domain.Species) bool {
	for _, have := range list {
		if have == s {
			return true
		}
	}
	return false
}

// formTiles are the ways it comes; a closed one says why and cannot be chosen.
func formTiles(ctx context.Context, doors map[animal.Intake]db.IntakeDoor) []ui.Option {
	tiles := []ui.Option{
		{Value: string(domain.WholeHideOn), Label: ui.T(ctx, "Whole, hide on")},
		{Value: string(domain.Whole), Label: ui.T(ctx, "Whole, skinned")},
		{Value: string(domain.Quarters), Label: ui.T(ctx, "Quarters")},
		{Value: string(domain.Boned), Label: ui.T(ctx, "Boned meat")},
	}
	for i, t := range tiles {
		if d := doors[animal.IntakeOf(domain.Form(t.Value))]; d.Closed {
			tiles[i].Off, tiles[i].Note = true, ui.T(ctx, "Closed: %s", d.Why)
		}
	}
	return tiles
}

// fullWords says how full the coolers are and when they will be.
func fullWords(ctx context.Context, c db.Capacity) string {
	said := ui.T(ctx, "Coolers %d\u00a0%% full", c.Percent)
	switch {
	case c.NoRails():
		return ui.T(ctx, "No cooler has a rail yet, so nothing can hang. The owner sets the rooms up in the office.")
	case c.Percent >= 100:
		return said + "."
	case c.Fills && c.Days < 1:
		return ui.T(ctx, "%s; full today at the pace of the last week.", said)
	case c.Soon():
		return ui.T(ctx, "%s; full tomorrow at the pace of the last week.", said)
	case c.Fills && c.Days < 60:
		return ui.T(ctx, "%s; full in %s at the pace of the last week.", said, ui.T(ctx, "%d days", int(c.Days)))
	}
	if c.Percent == 0 {
		return said + "."
	}
	return ui.T(ctx, "%s; at the pace of the last week they do not fill up.", said)
}

func classTiles(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: "", Label: ui.T(ctx, "As usual for its kind")},
		{Value: string(domain.Young), Label: ui.T(ctx, "Young, fawn")},
		{Value: string(domain.Thin), Label: ui.T(ctx, "Thin, run down")},
		{Value: string(domain.Bull), Label: ui.T(ctx, "Bull")},
		{Value: string(domain.Cow), Label: ui.T(ctx, "Cow")},
		{Value: string(domain.FatCover), Label: ui.T(ctx, "With fat cover")},
		{Value: string(domain.Lean), Label: ui.T(ctx, "Lean")},
	}
}

func dayTiles(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "today", Label: ui.T(ctx, "Today")}, {Value: "yesterday", Label: ui.T(ctx, "Yesterday")}, {Value: "other", Label: ui.T(ctx, "Another day")}}
}

func keptTiles(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "hung", Label: ui.T(ctx, "Hung in the air")}, {Value: "covered", Label: ui.T(ctx, "Covered, in a truck or bag")}, {Value: "", Label: ui.T(ctx, "Not told")}}
}

func wishTiles(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "As the shop does")}, {Value: "cut-when-cold", Label: ui.T(ctx, "Cut as soon as cold")}, {Value: "long-hang", Label: ui.T(ctx, "Hang long")}}
}

func tagTiles(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: "carcass-tag", Label: ui.T(ctx, "Carcass tag")}, {Value: "confirmation", Label: ui.T(ctx, "Confirmation number")},
		{Value: "permit", Label: ui.T(ctx, "Permit")}, {Value: "seal", Label: ui.T(ctx, "Seal")}, {Value: "ear-tag", Label: ui.T(ctx, "Ear tag")},
	}
}

// evidenceOptions are the kinds of proof that the rules accept; every kind where none
// asks.
func evidenceOptions(ctx context.Context, asking []statute.Rule) (options []ui.Option) {
	kinds := statute.Accepted(asking)
	if len(asking) == 0 {
		kinds = statute.Evidences
	}
	for _, e := range kinds {
		options = append(options, ui.Option{Value: string(e), Label: ui.Capital(ui.Say(ctx, e.Words()))})
	}
	return options
}

// askProof are the rules that ask which proof was shown; the kind and the state are told
// on the same form, so that any kind of game may come.
func (v dropView) askProof() (asking []statute.Rule) {
	for _, r := range v.Rules {
		if len(r.Accepts) > 0 {
			asking = append(asking, r)
		}
	}
	return asking
}

// otherRules are those that ask for nothing this form could tick.
func (v dropView) otherRules() (others []statute.Rule) {
	for _, r := range v.Rules {
		if len(r.Accepts) == 0 {
			others = append(others, r)
		}
	}
	return others
}

// placeOptions are the free places; the program's own choice comes first.
func placeOptions(ctx context.Context, free []db.Place) []ui.Option {
	out := []ui.Option{{Value: placeChosen, Label: ui.T(ctx, "Next free place for its kind")}, {Value: placeNone, Label: ui.T(ctx, "Not in the cooler yet: skin it first")}}
	for _, p := range free {
		out = append(out, ui.Option{Value: strconv.Itoa(p.ID), Label: ui.Say(ctx, p.Words())})
	}
	return out
}

// doorLine is one line of the door check with what each grade looks like.
type doorLine struct {
	Line  animal.DoorLine
	Label string
	Looks [4]string // by animal.Grades
}

// doorLines are the lines of trade.md 1.7 (common practice, no source).
func doorLines(ctx context.Context) []doorLine {
	return []doorLine{
		{animal.DoorDirt, ui.T(ctx, "Dirt, hair, leaves inside"), [4]string{ui.T(ctx, "none"), ui.T(ctx, "wipes off"), ui.T(ctx, "wash and trim 2 lb or more"), ui.T(ctx, "ground into the meat")}},
		{animal.DoorGut, ui.T(ctx, "Gut or urine"), [4]string{ui.T(ctx, "none"), ui.T(ctx, "a spot"), ui.T(ctx, "a quarter or both tenderloins"), ui.T(ctx, "soaked, green")}},
		{animal.DoorShot, ui.T(ctx, "Shot damage"), [4]string{ui.T(ctx, "ribs or head"), ui.T(ctx, "one shoulder"), ui.T(ctx, "two shoulders or loin"), ui.T(ctx, "ham and loin")}},
		{animal.DoorTemperature, ui.T(ctx, "Temperature deep in the ham"), [4]string{
			ui.T(ctx, "%s or colder, or killed less than 6 h ago", domain.Fahrenheit(40)), ui.T(ctx, "up to %s, or 6 to 12 h after", domain.Fahrenheit(50)),
			ui.T(ctx, "above %s at 12 to 24 h", domain.Fahrenheit(50)), ui.T(ctx, "above %s after 24 h; above %s and smells", domain.Fahrenheit(50), domain.Fahrenheit(60))}},
		{animal.DoorSmell, ui.T(ctx, "Smell at hip and neck"), [4]string{ui.T(ctx, "clean"), ui.T(ctx, "gamey, rut"), ui.T(ctx, "sour, gut"), ui.T(ctx, "putrid, sweet-rotten")}},
		{animal.DoorSurface, ui.T(ctx, "Surface"), [4]string{ui.T(ctx, "moist to dry"), ui.T(ctx, "tacky"), ui.T(ctx, "dried crust"), ui.T(ctx, "slimy")}},
		{animal.DoorInsects, ui.T(ctx, "Insects"), [4]string{ui.T(ctx, "none"), ui.T(ctx, "eggs on the edge"), ui.T(ctx, "eggs in the wound"), ui.T(ctx, "larvae in the meat")}},
	}
}

func (l doorLine) options(ctx context.Context) []ui.Option {
	names := gradeNames(ctx)
	out := make([]ui.Option, 4)
	for i, g := range animal.Grades {
		out[i] = ui.Option{Value: string(g), Label: names[i], Note: l.Looks[i]}
	}
	return out
}

// knownNote tells two people of one name apart without showing a licence.
func knownNote(ctx context.Context, k db.Person) string {
	return ui.T(ctx, "%s, known since %s", ui.Private(ctx, domain.Phones, k.Phone), ui.Date(ctx, k.KnownSince))
}

// onFile is what was filled in of somebody the shop knows, to be asked again.
func onFile(ctx context.Context, f dropForm) string {
	var said []string
	if f.Address != "" {
		said = append(said, f.Address)
	}
	if f.Licence != "" {
		said = append(said, ui.T(ctx, "license %s", f.Licence))
	}
	if way := ui.TellBy(ctx, f.TellBy); way != "" {
		said = append(said, way)
	}
	return strings.Join(said, "; ")
}

// bookedWords is what was booked, with how many are here already and the note that
// somebody would otherwise have to remember from the book.
func bookedWords(ctx context.Context, b db.Booking) string {
	said := ui.T(ctx, "Booked: %d × %s", b.Heads, b.Species.Words())
	if b.Came > 0 {
		said += " · " + ui.T(ctx, "%d of %d came", b.Came, b.Heads)
	}
	if b.Note != "" {
		said += " · " + b.Note
	}
	return said
}

// owedWords lists what is owed as one sentence part.
func owedWords(ctx context.Context, fields []register.Field) string {
	text := ""
	for i, f := range fields {
		if i > 0 {
			text += "; " // a label may hold commas of its own
		}
		text += ui.Say(ctx, f.Label)
	}
	return text
}

// callWords is who is to be asked about an animal.
func callWords(ctx context.Context, o db.Owing) string {
	switch {
	case o.Name == "" && o.Phone == "":
		return ui.T(ctx, "Owner and phone not known")
	case o.Phone == "":
		return ui.T(ctx, "%s, no phone known", ui.Named(ctx, o.Name))
	}
	return ui.T(ctx, "%s, %s", ui.Named(ctx, o.Name), ui.Private(ctx, domain.Phones, o.Phone))
}

// valueSaid is what a line of the register says in a field, its moments as people
// read them.
func valueSaid(ctx context.Context, l db.RegisterLine, f register.Field) string {
	value := l.Value(f)
	if at, err := time.Parse(db.RegisterTime, value); err == nil {
		return ui.Stamp(ctx, at)
	}
	if day, err := time.Parse(time.DateOnly, value); err == nil {
		return ui.Date(ctx, ui.Calendar(ctx, day))
	}
	for _, tile := range formTiles(ctx, nil) {
		if f.Name == "form" && tile.Value == value {
			return tile.Label
		}
	}
	return value
}

// sourceOptions are the ways in which something of an animal comes to be known.
func sourceOptions(ctx context.Context) (options []ui.Option) {
	for _, how := range []string{ui.T(ctx, "told by phone"), ui.T(ctx, "told at the counter"), ui.T(ctx, "seen on the animal"), ui.T(ctx, "read in its papers")} {
		options = append(options, ui.Option{Value: how, Label: ui.Capital(how)})
	}
	return options
}

// owingNote counts who is to be called; none needs no number.
func owingNote(ctx context.Context, owed []db.Owing) string {
	if len(owed) == 0 {
		return ""
	}
	return ui.T(ctx, "%d animals", len(owed))
}

// askedNames are the fields that show their own mistakes.
func askedNames(v tellView) []string {
	names := []string{"why"}
	for _, f := range append(v.rest(), v.Animal.Fields()...) {
		names = append(names, f.Name)
	}
	return names
}

// otherOr and tagKindOr are what the lists show before anybody chose.
func otherOr(typed string) string {
	if typed == "" {
		return "-"
	}
	return typed
}

func tagKindOr(typed string) string {
	if typed == "" {
		return "carcass-tag"
	}
	return typed
}

// homeWords is the sentence about the day the meat may go home.
func homeWords(ctx context.Context, h db.HomeRange) string {
	switch {
	case h.Shut:
		return ui.T(ctx, "We cannot name a day yet. Do not promise one; we call when we know.")
	case h.To.IsZero():
		return ui.T(ctx, "The days we plan are full. Do not promise a day; we call when we know.")
	}
	from, to := ui.Day(ctx, ui.Calendar(ctx, h.From)), ui.Day(ctx, ui.Calendar(ctx, h.To))
	if h.From.IsZero() || from == to {
		return ui.T(ctx, "As it stands you can have it home about %s.", to)
	}
	return ui.T(ctx, "As it stands you can have it home between %s and %s.", from, to)
}

// homeWhy says why that day: what the owner's own page says of the knife, then the plan.
func homeWhy(ctx context.Context, v hungView) []string {
	var said []string
	if v.Home.Verdict != nil && !v.Home.Shut {
		said = append(said, hunter.Window(ctx, v.Home.Verdict, v.Now))
	}
	for _, w := range v.Home.Why {
		said = append(said, ui.Say(ctx, w))
	}
	return said
}
