package pickup

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/domain/statute"
	"coldrail/web/ui"
)

func lettersPath(v lettersView) string { return "/pickup/" + string(v.Animal.Number) + "/letters" }

// ladderNote says whether the ladder is on.
func ladderNote(ctx context.Context, f db.Fetching) string {
	if !f.On {
		return ui.T(ctx, "Letters are off: calls are noted, nothing else happens.")
	}
	return ui.T(ctx, "A letter after %d days, each approved by the owner of the shop.", f.LetterDays)
}

func uncollectedLine(ctx context.Context, v ladderView, u db.Uncollected) ui.LineView {
	rung := u.Rung(v.Now)
	l := ui.LineView{Mark: ui.Tag(u.Number), Title: ownerTitle(ctx, u.Waiting), Note: waitingNote(ctx, u.Waiting, v.Now),
		Href: "/pickup/" + string(u.Number) + "/letters", Act: ui.T(ctx, "Open")}
	if rung == animal.NotTold || rung == animal.TellAgain {
		l.Href, l.Act = "/pickup/"+string(u.Number), ui.T(ctx, "Call and note it")
	}
	if rung != animal.Waits { // the note says that, and since when
		l.Note = ui.T(ctx, "%s · %s", rung.Words(), l.Note)
	}
	if v.Storing[u.Number] {
		l.Note = ui.T(ctx, "%s · %s", l.Note, ui.T(ctx, "storage runs"))
	}
	if u.Held() {
		l.Badge = ui.Held(ui.T(ctx, "Held"))
	}
	if u.MayHold.Near(v.Now) {
		l.Note, l.Urgent = ui.T(ctx, "may be held until %s · %s", ui.Date(ctx, u.MayHold.Until), l.Note), u.MayHold.Over(v.Now)
	}
	l.Note = ui.Capital(l.Note)
	return l
}

// here counts the boxes still in the shop.
func (v lettersView) here() (n int) {
	for _, b := range v.Boxes {
		if b.ReleasedAt == nil {
			n++
		}
	}
	return n
}

func ownerLine(ctx context.Context, o db.Owner) string {
	switch {
	case o.Name == "":
		return ui.T(ctx, "not known")
	case o.Address == "":
		return ui.T(ctx, "%s, %s: no address, ask for it", ui.Named(ctx, o.Name), o.Phone)
	}
	return ui.T(ctx, "%s, %s, %s", ui.Named(ctx, o.Name), o.Phone, o.Address)
}

func triesWords(ctx context.Context, t animal.Told) string {
	if t.First.IsZero() {
		return ui.T(ctx, "none")
	}
	return ui.T(ctx, "%d, the first %s, the last %s; %s", t.Tries, ui.Day(ctx, t.First), ui.Day(ctx, t.Last), ui.T(ctx, "%d letters", t.Letters))
}

func letterTitle(ctx context.Context, l db.Letter) string {
	switch {
	case l.BackAt != nil:
		return ui.T(ctx, "Letter sent %s, came back %s", ui.Day(ctx, *l.SentAt), ui.Day(ctx, *l.BackAt))
	case l.SentAt != nil:
		return ui.T(ctx, "Letter sent %s", ui.Day(ctx, *l.SentAt))
	case l.ApprovedAt != nil:
		return ui.T(ctx, "Letter approved, to be sent")
	}
	return ui.T(ctx, "Letter waits for the owner of the shop")
}

func letterNote(ctx context.Context, l db.Letter) string {
	said := ui.T(ctx, "Written %s by %s.", ui.Moment(ctx, l.WrittenAt), l.WrittenBy)
	if l.ApprovedAt != nil {
		said += " " + ui.T(ctx, "Approved %s by %s.", ui.Moment(ctx, *l.ApprovedAt), l.ApprovedBy)
	}
	if l.How == "certified" {
		said += " " + ui.T(ctx, "Sent certified.")
	}
	return said
}

// possessionWords says until when it may be held, by which rule; "" where none speaks
// of it.
func possessionWords(ctx context.Context, p db.Possession, now time.Time) string {
	switch {
	case p.By == nil:
		return ""
	case p.Over(now):
		return ui.T(ctx, "It could be held only until %s. Call the owner, and ask an officer for permission before you hold it longer. %s", ui.Date(ctx, p.Until), p.By.Quoted())
	}
	return ui.T(ctx, "It may be held until %s. %s", ui.Date(ctx, p.Until), p.By.Quoted())
}

// poundsOr is what stands in the field: as typed, or what the boxes weigh.
func poundsOr(ctx context.Context, v lettersView) string {
	if v.Form.Pounds != "" || v.Kg == 0 {
		return v.Form.Pounds
	}
	return ui.TypedWeight(ctx, v.Kg)
}

// orLine is a line to write on where nothing is known.
func orLine(text string) string {
	if text == "" {
		return "______________________________"
	}
	return text
}

func givenOn(ctx context.Context, g db.Given) string {
	if g.At.IsZero() {
		return orLine("")
	}
	return ui.Date(ctx, g.At)
}

// ruleLine is a rule of the state with where it stands and from when its text is.
func ruleLine(ctx context.Context, r statute.Rule) string {
	return ui.T(ctx, "%s: %s %s, %s.", r.StateName, r.Says, r.Cites, r.TextDate)
}

// donatingWords is a rule about giving meat away, with the words it wants on the packs.
func donatingWords(ctx context.Context, r statute.Rule) string {
	if r.Mark == "" {
		return ruleLine(ctx, r)
	}
	return ui.T(ctx, "On each pack: %s. %s", r.Mark, ruleLine(ctx, r))
}

// termsWords are the days the state sets for this animal; empty where it counts none.
func termsWords(ctx context.Context, t animal.Terms) (said []string) {
	if !t.Letter.IsZero() {
		said = append(said, ui.T(ctx, "A letter from %s on.", ui.Day(ctx, t.Letter)))
	}
	if !t.Report.IsZero() {
		said = append(said, ui.T(ctx, "The report from %s on.", ui.Day(ctx, t.Report)))
	}
	if !t.Decide.IsZero() {
		said = append(said, ui.T(ctx, "Given away not before %s is over.", ui.Day(ctx, t.Decide)))
	} else if t.FromMailing {
		said = append(said, ui.T(ctx, "Given away only so long after a letter is in the post."))
	}
	return said
}

// whenBack says what came of the last letter.
func whenBack(ctx context.Context, t animal.Told) string {
	if t.BackAt.IsZero() {
		return ui.T(ctx, "It did not come back.")
	}
	return ui.T(ctx, "It came back undelivered on %s.", ui.Date(ctx, t.BackAt))
}

// lastSent is the letter that is out, nil where none is.
func (v lettersView) lastSent() *db.Letter {
	for i, l := range v.Letters {
		if l.SentAt != nil {
			return &v.Letters[i]
		}
	}
	return nil
}

// howSent says how the letter went.
func howSent(ctx context.Context, l db.Letter) string {
	if l.How == "certified" {
		return ui.T(ctx, "certified")
	}
	return ui.T(ctx, "by mail")
}
