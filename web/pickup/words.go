package pickup

import (
	"context"
	"slices"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// boxOptions are the boxes still in the shop, each with where to fetch it.
func boxOptions(ctx context.Context, v counterView) []ui.Option {
	var options []ui.Option
	for _, b := range v.Boxes {
		if b.ReleasedAt == nil {
			options = append(options, ui.Option{Value: domain.BoxCode(v.Animal.Number, b.N),
				Label: ui.T(ctx, "Box %d: %s", b.N, placeWords(ctx, b)), Note: contents(ctx, b, len(v.Boxes)) + shareWords(ctx, v, b)})
		}
	}
	return options
}

// shareWords says whose portion a box of a shared animal is.
func shareWords(ctx context.Context, v counterView, b db.Box) string {
	for _, s := range v.Shares {
		if s.Portion == b.Portion {
			return ui.T(ctx, ". %s, for %s", s.Portion.Words(), s.Whose)
		}
	}
	return ""
}

// thingOptions are what goes back besides the boxes.
func thingOptions(ctx context.Context, v counterView) []ui.Option {
	var options []ui.Option
	for _, t := range v.Things {
		if t.GoneAt == nil {
			options = append(options, ui.Option{Value: t.ID.String(), Label: ui.Capital(t.What)})
		}
	}
	return options
}

// namedHow are the ways in which an owner says who may come.
func namedHow(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "call", Label: ui.T(ctx, "By phone, just now")}, {Value: "text", Label: ui.T(ctx, "By text")}, {Value: "in person", Label: ui.T(ctx, "In person")}}
}

// partyNote is what stands beside a person: how the owner said that they may collect.
func partyNote(ctx context.Context, p db.Party) string {
	if p.Role != "collector" || p.Note == "" {
		return p.Note
	}
	said := map[string]string{"call": ui.T(ctx, "by phone"), "text": ui.T(ctx, "by text"), "in person": ui.T(ctx, "in person")}[p.Note]
	return ui.T(ctx, "the owner said so %s, %s", said, ui.Moment(ctx, p.Since))
}

func placeWords(ctx context.Context, b db.Box) string {
	if b.Place == "" {
		return ui.T(ctx, "no place noted")
	}
	return besideWords(ctx, strings.TrimPrefix(b.Place, b.Room+" "), string(b.Beside))
}

// toFetch is where the boxes stand that are still here, for whoever goes to the freezer.
func toFetch(ctx context.Context, v counterView) (value, note string) {
	var spots, rooms []string
	for _, b := range v.Boxes {
		if b.ReleasedAt != nil {
			continue
		}
		if spot := placeWords(ctx, b); !slices.Contains(spots, spot) {
			spots = append(spots, spot)
		}
		if b.Room != "" && !slices.Contains(rooms, b.Room) {
			rooms = append(rooms, b.Room)
		}
	}
	if len(spots) == 0 {
		return ui.T(ctx, "%d boxes", 0), ""
	}
	note = ui.T(ctx, "%d boxes", v.Here())
	if len(rooms) > 0 {
		note = ui.T(ctx, "%s: %s", strings.Join(rooms, ", "), note)
	}
	return strings.Join(spots, ", "), note
}

// contents says in which room a box stands and what is in it.
func contents(ctx context.Context, b db.Box, of int) string {
	said := ui.T(ctx, "%d of %d, %s, %s", b.N, of, ui.T(ctx, "%d packs", b.Packs), ui.Weight(ctx, b.NetKg))
	if b.Room == "" {
		return said
	}
	return ui.T(ctx, "%s. %s", b.Room, said)
}

func authorityOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: string(animal.ByOwner), Label: ui.T(ctx, "The owner")},
		{Value: string(animal.ByName), Label: ui.T(ctx, "Named by the owner"), Note: ui.T(ctx, "The owner told us, and it is written down")},
		{Value: string(animal.ByStub), Label: ui.T(ctx, "Has the receipt stub")},
	}
}

// shownWords are offered while the counter types what was shown.
func shownWords(ctx context.Context) []string {
	return []string{ui.T(ctx, "driver's license"), ui.T(ctx, "hunting license"), ui.T(ctx, "receipt stub"), ui.T(ctx, "known by face")}
}

// collectors are the people who may come, offered while the name is typed.
func collectors(v counterView) []string {
	var names []string
	for _, p := range v.Parties {
		if p.Name != db.NoName && !slices.Contains(names, p.Name) {
			names = append(names, p.Name)
		}
	}
	return names
}

// person is one person with every part they have in the animal.
type person struct {
	db.Party
	Roles string // such as "Owner, killed by"
}

// people shows each person once, the one with the first say first.
func people(ctx context.Context, parties []db.Party) []person {
	var list []person
	for _, p := range parties {
		role := roleWords(ctx, p.Role)
		p.Name, p.Note = ui.Named(ctx, p.Name), partyNote(ctx, p)
		i := slices.IndexFunc(list, func(q person) bool { return q.Name == p.Name && q.Phone == p.Phone })
		if i < 0 {
			list = append(list, person{Party: p, Roles: role})
			continue
		}
		list[i].Roles += ", " + strings.ToLower(role)
		if list[i].Note == "" {
			list[i].Note = p.Note
		}
	}
	return list
}

func roleWords(ctx context.Context, role string) string {
	switch role {
	case "owner":
		return ui.T(ctx, "Owner")
	case "collector":
		return ui.T(ctx, "May collect")
	case "payer":
		return ui.T(ctx, "Pays")
	case "deliverer":
		return ui.T(ctx, "Brought by")
	}
	return ui.T(ctx, "Killed by")
}

func wayOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "call", Label: ui.T(ctx, "Called")}, {Value: "text", Label: ui.T(ctx, "Sent a text")},
		{Value: "mail", Label: ui.T(ctx, "Wrote")}, {Value: "in person", Label: ui.T(ctx, "In person")}}
}

func outcomeOptions(ctx context.Context) []ui.Option {
	var options []ui.Option
	for _, o := range []string{"spoke", "left word", "no answer", "busy", "sent"} {
		options = append(options, ui.Option{Value: o, Label: outcomeWords(ctx, o)})
	}
	return options
}

func outcomeWords(ctx context.Context, outcome string) string {
	switch outcome {
	case "spoke":
		return ui.T(ctx, "spoke with them")
	case "left word":
		return ui.T(ctx, "left word")
	case "no answer":
		return ui.T(ctx, "no answer")
	case "busy":
		return ui.T(ctx, "line busy")
	case "failed":
		return ui.T(ctx, "did not go through")
	}
	return ui.T(ctx, "sent")
}

func wayWords(ctx context.Context, way string) string {
	if way == "e-mail" {
		return ui.T(ctx, "Mail")
	}
	for _, o := range wayOptions(ctx) {
		if o.Value == way {
			return o.Label
		}
	}
	return way
}

// toCome lists what else belongs to the owner: packs without a box, and parts
// that stand elsewhere.
func toCome(ctx context.Context, v counterView) []string {
	var said []string
	if v.Animal.Physical == animal.InPieces {
		said = append(said, ui.T(ctx, "It is cut up and not all in boxes yet."))
	}
	if v.Loose > 0 {
		said = append(said, ui.T(ctx, "%s in no box yet.", ui.T(ctx, "%d packs", v.Loose)))
	}
	for _, w := range v.InBatches {
		said = append(said, ui.T(ctx, "Still to come: %s.", w))
	}
	if v.Animal.Keeps != "" {
		said = append(said, ui.T(ctx, "Asked for at drop-off: %s.", v.Animal.Keeps))
	}
	return said
}

// alsoSaid is another animal of the same owner, and its boxes or where it is.
func alsoSaid(ctx context.Context, b db.AlsoHere) string {
	if b.Boxes > 0 {
		return ui.T(ctx, "%s, %s: %s", string(b.Number), b.Species.Words(), ui.T(ctx, "%d boxes", b.Boxes))
	}
	return ui.T(ctx, "%s, %s: %s", string(b.Number), b.Species.Words(), b.Physical.Words())
}

// handoverEntries are the collections so far.
func handoverEntries(ctx context.Context, v counterView) []ui.Entry {
	var entries []ui.Entry
	for _, h := range v.Handovers {
		e := ui.Entry{At: h.At, Who: h.By, What: ui.T(ctx, "%s to %s. %s, shown: %s", ui.T(ctx, "%d boxes", h.Boxes), h.Collector, authorityWords(ctx, h.Authority), h.Seen)}
		var notes []string
		if h.Undone {
			e.What = ui.T(ctx, "Taken back: nothing had left")
		}
		if h.TagReturned && !h.Undone {
			notes = append(notes, ui.T(ctx, "tag given back"))
		}
		if h.Remains != "" {
			notes = append(notes, ui.T(ctx, "stays: %s", h.Remains))
		}
		if h.BalanceCents > 0 {
			notes = append(notes, ui.T(ctx, "%s still owed: %s", h.BalanceCents.String(), h.BalanceWhy))
		}
		e.Note = strings.Join(notes, " · ")
		entries = append(entries, e)
	}
	return entries
}

func authorityWords(ctx context.Context, a animal.Authority) string {
	for _, o := range authorityOptions(ctx) {
		if o.Value == string(a) {
			return o.Label
		}
	}
	return string(a)
}

func contactEntries(ctx context.Context, v counterView) []ui.Entry {
	entries := make([]ui.Entry, len(v.Contacts))
	for i, c := range v.Contacts {
		entries[i] = ui.Entry{At: c.At, What: ui.T(ctx, "%s: %s", wayWords(ctx, c.Way), outcomeWords(ctx, c.Outcome)), Who: c.By, Note: c.Note}
	}
	return entries
}

// balanceNote says how the balance came about.
func balanceNote(ctx context.Context, v counterView) string {
	inv := v.Account.Invoice()
	if !v.Account.IsBilled() {
		return ui.T(ctx, "%s paid in", inv.Received().String())
	}
	return ui.T(ctx, "bill %s, paid %s", inv.Total().String(), inv.Received().String())
}

// headline names who came for what.
func headline(ctx context.Context, v counterView) string {
	if len(v.Parties) == 0 {
		return ui.T(ctx, "Owner not known, %s", v.Animal.Species.Words())
	}
	return ui.T(ctx, "%s, %s", ui.Named(ctx, v.Parties[0].Name), v.Animal.Species.Words())
}

func moneyPath(n domain.ShopNumber) string { return "/animals/" + string(n) + "/money" }

// typedMoney is an amount as it stands in a field, without the dollar sign.
func typedMoney(c domain.Cents) string { return strings.TrimPrefix(c.String(), "$") }

func paidOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "cash", Label: ui.T(ctx, "Cash")}, {Value: "check", Label: ui.T(ctx, "Check")},
		{Value: "card", Label: ui.T(ctx, "Card")}, {Value: "other", Label: ui.T(ctx, "Other")}}
}
