package animals

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/register"
	"coldrail/web/ui"
)

// whatWords says each act on the time line the way the shop does.
var whatWords = map[string]string{
	"incident": "Stopped by a warm room", "measure": "Meat measured", "incident closed": "Incident closed", "loading": "Loading", "room-rules": "Room's limits set",
	"receive": "Taken in", "hang": "Weighed and hung", "move": "Moved", "look": "Looked at", "hold": "Held", "free": "Hold ended",
	"decide": "Decided", "order": "Order written", "start": "Cutting began", "stop": "Put back from the table", "pack": "Packed",
	"trim": "Trim weighed", "take-back": "Entry taken back", "finish": "Cutting finished", "box": "Boxed", "bill": "Billed",
	"bill-rest": "Added to the bill", "keep-deposit": "Deposit kept",
	"charge": "Line added to the bill", "deposit": "Deposit taken", "pay": "Paid", "refund": "Paid back", "hand-over": "Handed over", "new-link": "New link for the owner",
	"call": "Call", "correct": "Register put right", "sample": "Sample drawn", "send-sample": "Sample sent", "bone-and-hold": "Boned or whole while its test is out", "result": "Test result read",
	"into-batch": "Weighed into a batch", "out-of-batch": "Taken out of a batch", "batch-lot": "Pork or beef added", "cure": "Cure weighed",
	"mix": "Mixed", "accept-batch": "Batch let pass", "finish-batch": "Batch finished", "share": "Share given back", "destroy-batch": "Batch destroyed",
	"machine": "Through a machine", "round": "Round walked", "miss-round": "Round missed", "promise": "Day promised",
	"sign-owner": "The owner signed for a longer hang", "sign-extend": "Signed off for a longer hang", "sign-weekly": "Signed for the week",
	"sign-end": "Longer hang ended", "rejudge": "Judged by the newer rule",
	"give-line": "Line of the bill put on one owner", "move-tag": "Official tag moved", "send-notice": "Notice sent",
	"join": "Joined the cutting", "cut-off": "Taken off, numbered", "send-off": "Piece gone", "lay": "Piece laid", "kill": "Kill entered", "correct-kill": "Kill entry put right", "take-out-spine": "Spine and head taken out", "stamp": "NOT FOR SALE stamped", "sign-over": "Signed over to a food program", "print": "Label printed",
	"signed": "Signed at the counter", "may-collect": "The owner named who may collect", "write-letter": "Letter written", "approve-letter": "Letter approved",
	"approve-storage": "Storage approved", "stop-storage": "Storage stopped",
	"send-letter": "Letter sent", "letter-back": "Letter came back", "give-away": "Given away", "pair-finds": "Paired with its card", "settle-find": "Settled whose it is",
	"message": "Message to the owner", "message-now": "Message sent at once", "call-instead": "Call instead of a message", "reach": "How the owner is told, changed",
	"have-alarm": "Has the alarm", "check-room": "Room looked over", "count-rail": "Rail counted", "read-tags": "Tags read", "put-right": "Put right", "put-weight-right": "Weight put right", "correct-hand-over": "Hand-over put right", "move-packs": "Packs are in another box", "move-box": "Box stands elsewhere", "correct-spine": "What came out put right", "stamp-off": "NOT FOR SALE was not stamped", "reopen-batch": "Batch taken a step back", "reopen-notice": "Notice open again: it was not told", "fetch-back": "Piece is here after all", "see-right": "Seen to be right",
}

// whatSaid is an act in words; one nobody wrote words for shows as it is stored.
func whatSaid(ctx context.Context, what string) string {
	if w, ok := whatWords[what]; ok {
		return ui.T(ctx, w)
	}
	return what
}

// lateEntry is how much later than done an act may be entered before the time
// line tells both.
const lateEntry = 10 * time.Minute

// entries turns the time line into what is shown.
func entries(ctx context.Context, line []db.Happening) []ui.Entry {
	list := make([]ui.Entry, len(line))
	for i, h := range line {
		said := details(ctx, h.Detail)
		if h.EnteredAt.Sub(h.At).Abs() > lateEntry {
			said = append(said, ui.T(ctx, "entered %s", ui.Moment(ctx, h.EnteredAt)))
		}
		by := h.By
		if by == "" {
			by = ui.T(ctx, "the program")
		}
		list[i] = ui.Entry{At: h.At, What: whatSaid(ctx, h.What), Who: by, Note: strings.Join(said, "; ")}
	}
	return list
}

// asSaid turns the name of a detail into how the shop says it.
var asSaid = strings.NewReplacer("-", " ", "_", " ", "mould", "mold", "programme", "food program")

// details words what an act left on the time line: weights and temperatures in
// the shop's units, the rest as it was written. What is empty is left out.
func details(ctx context.Context, detail map[string]any) []string {
	var said []string
	for _, key := range slices.Sorted(maps.Keys(detail)) {
		name := asSaid.Replace(key)
		switch v := detail[key].(type) {
		case string:
			if v != "" {
				said = append(said, ui.T(ctx, "%s: %s", name, v))
			}
		case bool:
			if v {
				said = append(said, name)
			}
		case float64:
			said = append(said, amount(ctx, key, name, v))
		}
	}
	return said
}

// amount words a number by the unit at the end of its name.
func amount(ctx context.Context, key, name string, v float64) string {
	switch {
	case key == "kg":
		return ui.Weight(ctx, domain.Kilogram(v))
	case strings.HasSuffix(key, "_kg"):
		return ui.T(ctx, "%s: %s", strings.TrimSuffix(name, " kg"), ui.Weight(ctx, domain.Kilogram(v)))
	case strings.HasSuffix(key, "_c"):
		return ui.T(ctx, "%s: %s", strings.TrimSuffix(name, " c"), ui.Temp1(ctx, domain.Celsius(v)))
	}
	return ui.T(ctx, "%s: %s", name, fmt.Sprint(v))
}

// kindOf is species, class, sex and form in one line, such as "Whitetail, grown,
// male, whole with the hide off".
func kindOf(ctx context.Context, a db.Animal) string {
	parts := []string{capital(ui.Say(ctx, a.Species.Words()))}
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

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
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
	if slices.Contains(private, p.Role) && !ui.MaySee(ctx, domain.Names) {
		p.Name, p.Note = ui.Private(ctx, domain.Names, p.Name), ""
	}
	return p
}

// tagSaid names a tag of the state and where it is.
func tagSaid(ctx context.Context, t db.TagRow) string {
	kind := map[string]string{"carcass-tag": "Carcass tag", "permit": "Permit", "seal": "Seal", "confirmation": "Confirmation", "ear-tag": "Ear tag"}[t.Kind]
	where := map[string]string{"on-carcass": "on the carcass", "on-card": "on the card", "with-boxes": "with the boxes", "returned": "given back", "lost": "lost"}[t.Custody]
	return ui.T(ctx, "%s, %s, read %s", ui.T(ctx, kind), ui.T(ctx, where), ui.Moment(ctx, t.ReadAt))
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
	return ui.T(ctx, map[string]string{"spoke": "spoke", "left word": "left word", "no answer": "no answer", "busy": "line busy", "sent": "sent", "failed": "did not go through"}[outcome])
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

// lookTap names the way to the page of looks: there the lead decides what was
// stopped.
func lookTap(ctx context.Context, v recordView) string {
	if v.Verdict != nil && v.Verdict.Condition == ageing.Stop {
		return ui.T(ctx, "Look and decide")
	}
	return ui.T(ctx, "Look at it")
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
