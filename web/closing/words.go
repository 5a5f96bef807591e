package closing

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/closing"
	"coldrail/web/ui"
)

// cents is an amount as a hidden field carries it.
func cents(c domain.Cents) string { return strconv.FormatInt(int64(c), 10) }

func pieceField(worth domain.Cents) string { return "n" + cents(worth) }

// worthWords names a note or a coin, such as $20 or 25¢.
func worthWords(worth domain.Cents) string {
	if worth >= 100 {
		return "$" + cents(worth/100)
	}
	return cents(worth) + "¢"
}

// row is a line of a small table: a name and an amount.
type row struct{ Label, Value, Note string }

// workRows say what was done.
func workRows(ctx context.Context, w db.DayWork) []row {
	rows := []row{
		{ui.T(ctx, "Came in"), ui.T(ctx, "%d", w.CameIn), refusedNote(ctx, w.Refused)},
		{ui.T(ctx, "Weighed and hung"), ui.T(ctx, "%d", w.Weighed), ""},
		{ui.T(ctx, "Cut"), ui.T(ctx, "%d", w.Cut), ""},
		{ui.T(ctx, "Packed"), ui.Weight(ctx, w.PackedKg), ui.T(ctx, "%d packs", w.Packs)},
		{ui.T(ctx, "Boxes into the freezer"), ui.T(ctx, "%d", w.Boxes), ""},
		{ui.T(ctx, "Fetched"), ui.T(ctx, "%d", w.Fetched), ui.T(ctx, "%d boxes", w.BoxesOut)},
		{ui.T(ctx, "Rounds walked"), ui.T(ctx, "%d", w.Rounds), missedNote(ctx, w.Missed)},
	}
	return rows
}

func refusedNote(ctx context.Context, n int) string {
	if n == 0 {
		return ""
	}
	return ui.T(ctx, "%d turned away", n)
}

func missedNote(ctx context.Context, n int) string {
	if n == 0 {
		return ""
	}
	return ui.T(ctx, "%d missed", n)
}

// headRows are the animals' sum, line by line.
func headRows(ctx context.Context, w db.DayWork) []row {
	before := ui.T(ctx, "In the house at the last close")
	if !w.KnowBefore {
		before = ui.T(ctx, "In the house before")
	}
	rows := []row{{before, ui.T(ctx, "%d", w.Before), ""}, {ui.T(ctx, "Came in"), signed(ctx, w.CameIn), ""},
		{ui.T(ctx, "Went home"), signed(ctx, -w.WentHome), ui.T(ctx, "all of it")}}
	if w.Stayed > 0 {
		rows = append(rows, row{ui.T(ctx, "Had not gone home after all"), signed(ctx, w.Stayed), ""})
	}
	if w.GivenAway > 0 {
		rows = append(rows, row{ui.T(ctx, "Given away"), signed(ctx, -w.GivenAway), ""})
	}
	if w.ThrownOut > 0 {
		rows = append(rows, row{ui.T(ctx, "Thrown out"), signed(ctx, -w.ThrownOut), ""})
	}
	if astray := w.Heads().Astray(); astray != 0 {
		rows = append(rows, row{ui.T(ctx, "Not accounted for"), signed(ctx, astray), ui.T(ctx, "count the tags")})
	}
	return rows
}

// signed is what a sum gains or loses; nothing has no sign.
func signed(ctx context.Context, n int) string {
	switch {
	case n < 0:
		return "−" + ui.T(ctx, "%d", -n)
	case n > 0:
		return "+" + ui.T(ctx, "%d", n)
	}
	return ui.T(ctx, "%d", n)
}

// houseNote says where those in the house are.
func houseNote(ctx context.Context, w db.DayWork) string {
	if w.NotHung > 0 {
		return ui.T(ctx, "%d on the rail, %d not hung yet, %d on the table or not boxed, %d in boxes", w.OnRail, w.NotHung, w.OnTable, w.InBoxes)
	}
	return ui.T(ctx, "%d on the rail, %d on the table or not boxed, %d in boxes", w.OnRail, w.OnTable, w.InBoxes)
}

// moneyRows are the takings by how they were paid.
func moneyRows(ctx context.Context, t db.Takings) []row {
	return []row{{ui.T(ctx, "Cash"), t.CashCents.String(), ""}, {ui.T(ctx, "Check"), t.CheckCents.String(), ""},
		{ui.T(ctx, "Card"), t.CardCents.String(), ""}, {ui.T(ctx, "Other"), t.OtherCents.String(), ""}}
}

// receiptsSaid names the receipts a close covers.
func receiptsSaid(ctx context.Context, after, to int64) string {
	switch to - after {
	case 0:
		return ui.T(ctx, "No receipt was written.")
	case 1:
		return ui.T(ctx, "Receipt %s, less what was given back.", strconv.FormatInt(to, 10))
	}
	return ui.T(ctx, "Receipts %s to %s, less what was given back.", strconv.FormatInt(after+1, 10), strconv.FormatInt(to, 10))
}

// differenceSaid puts the drawer's difference into words.
func differenceSaid(ctx context.Context, d closing.Drawer) string {
	switch diff := d.Difference(); {
	case diff < 0:
		return ui.T(ctx, "%s short", (-diff).String())
	case diff > 0:
		return ui.T(ctx, "%s over", diff.String())
	}
	return ui.T(ctx, "even")
}

// drawerRows are the drawer's sum.
func drawerRows(ctx context.Context, d closing.Drawer) []row {
	return []row{{ui.T(ctx, "In the drawer before"), d.Float.String(), ""}, {ui.T(ctx, "Cash taken, less given back"), d.Taken.String(), ""},
		{ui.T(ctx, "It should hold"), d.Expected().String(), ""}, {ui.T(ctx, "Counted"), d.Counted.String(), differenceSaid(ctx, d)},
		{ui.T(ctx, "Taken out"), d.Out.String(), ""}, {ui.T(ctx, "Left for tomorrow"), d.Left().String(), ""}}
}

// mostNamed numbers of a kind stand on the page; the close itself keeps more.
const mostNamed = 12

// openLine is one kind of thing that stands open, with where to go for it.
func openLine(ctx context.Context, o closing.Open, live bool) ui.LineView {
	named := slices.Compact(slices.Clone(o.Which)) // a room with two rounds due is named once
	l := ui.LineView{Title: ui.T(ctx, "%s: %d", o.Kind.Words(), o.Count)}
	l.Note = strings.ReplaceAll(strings.Join(named[:min(len(named), mostNamed)], ", "), "-", "\u2011") // a number is not broken over lines
	if len(named) > mostNamed {
		l.Note += " " + ui.T(ctx, "and %d more", o.Count-mostNamed)
	}
	l.Urgent = o.Kind == closing.OnTable || o.Kind == closing.Incidents || o.Kind == closing.RoundsGone || o.Kind == closing.ToPutRight
	if live {
		l.Href, l.Act = openHref[o.Kind], ui.T(ctx, "Open")
	}
	return l
}

var openHref = map[closing.OpenKind]string{
	closing.Incidents: "/", closing.RoundsDue: "/round", closing.RoundsGone: "/round", closing.ToPutRight: "/round/actions",
	closing.OnTable: "/cutting", closing.NotBoxed: "/cutting", closing.Tubs: "/cutting/tubs", closing.Bay: "/dropoff/night", closing.Holds: "/rail",
	closing.NoOrder: "/cutting", closing.NotBilled: "/pickup", closing.MoneyOpen: "/pickup", closing.CallsDue: "/", closing.NoticesDue: "/notices",
	closing.FieldsOwed: "/dropoff/owed",
}

// day is a date of the database in the shop's words.
func day(ctx context.Context, d time.Time) string { return ui.Day(ctx, ui.Calendar(ctx, d)) }

func doneOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(closing.Checks))
	for i, c := range closing.Checks {
		options[i] = ui.Option{Value: string(c), Label: ui.Say(ctx, c.Words())}
	}
	return options
}

// doneSaid lists what was found done.
func doneSaid(ctx context.Context, done []closing.Check) string {
	said := make([]string, len(done))
	for i, c := range done {
		said[i] = ui.Say(ctx, c.Words())
	}
	if len(said) == 0 {
		return ui.T(ctx, "nothing ticked")
	}
	return strings.Join(said, ". ") + "."
}

// byPiece reports whether anything was counted by the piece.
func (f form) byPiece() bool {
	for _, typed := range f.Pieces {
		if typed != "" {
			return true
		}
	}
	return false
}

func dayNote(ctx context.Context, v view) string {
	if v.Closed != nil {
		return ""
	}
	return ui.T(ctx, "%s; covers what was done from %s to now", day(ctx, v.Day), ui.Moment(ctx, v.Since))
}

func signedNote(ctx context.Context, c db.DayClose) string {
	return ui.T(ctx, "Signed by %s, %s; covers what was done since %s", c.By, ui.Moment(ctx, c.Until), ui.Moment(ctx, c.Since))
}

// strayWrong is an error whose form is not on the page any more.
func strayWrong(v closedView) *domain.Error {
	if v.Last {
		return nil
	}
	return v.Wrong
}
