package animals

import (
	"context"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// whatWords says each act on the time line the way the shop does.
var whatWords = map[string]string{
	"incident": "Stopped by a warm room", "measure": "Meat measured",
	"receive": "Taken in", "chill": "Hung, not weighed", "hang": "Weighed and hung", "move": "Moved", "look": "Looked at", "hold": "Held", "free": "Hold ended",
	"decide": "Decided", "order": "Order written", "start": "Cutting began", "stop": "Put back from the table", "pack": "Packed",
	"trim": "Trim weighed", "take-back": "Entry taken back", "finish": "Cutting finished", "box": "Boxed", "bill": "Bill made",
	"bill-rest": "Added to the bill", "keep-deposit": "Deposit kept",
	"charge": "Line added to the bill", "deposit": "Deposit taken", "pay": "Paid", "refund": "Paid back", "hand-over": "Handed over", "new-link": "New link for the owner",
	"call": "Call to the owner", "correct": "Register put right", "sample": "Sample drawn", "send-sample": "Sample sent", "bone-and-hold": "Boned or whole while its test is out", "result": "Test result read",
	"into-batch": "Weighed into a batch", "out-of-batch": "Taken out of a batch", "batch-lot": "Pork or beef added", "cure": "Cure weighed",
	"mix": "Mixed", "accept-batch": "Batch let pass", "finish-batch": "Batch finished", "share": "Share given back", "destroy-batch": "Batch destroyed",
	"machine": "Through a machine", "promise": "Day promised",
	"sign-owner": "The owner signed for a longer hang", "sign-extend": "Signed off for a longer hang", "sign-weekly": "Signed for the week",
	"sign-end": "Longer hang ended", "rejudge": "Judged by the newer rule",
	"give-line": "Line of the bill put on one owner", "move-tag": "Official tag moved", "send-notice": "Notice sent",
	"join": "Joined the cutting", "cut-off": "Taken off, numbered", "send-off": "Piece gone", "lay": "Piece laid", "kill": "Kill entered", "correct-kill": "Kill entry put right", "take-out-spine": "Spine and head taken out", "stamp": "NOT FOR SALE stamped", "sign-over": "Signed over to a food program", "print": "Label printed",
	"signed": "Signed at the counter", "may-collect": "The owner named who may collect", "write-letter": "Letter written", "approve-letter": "Letter approved",
	"approve-storage": "Storage approved", "stop-storage": "Storage stopped",
	"send-letter": "Letter sent", "letter-back": "Letter came back", "give-away": "Given away", "pair-finds": "Paired with its card", "settle-find": "Settled whose it is",
	"message": "Message to the owner", "message-now": "Message sent at once", "call-instead": "Call instead of a message", "reach": "How the owner is told, changed",
	"put-weight-right": "Weight put right", "correct-hand-over": "Hand-over put right", "move-packs": "Packs are in another box", "move-box": "Box stands elsewhere", "correct-spine": "What came out put right", "stamp-off": "NOT FOR SALE was not stamped", "reopen-batch": "Batch taken a step back", "reopen-notice": "Notice open again: it was not told", "fetch-back": "Piece is here after all",
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

// entries turns the time line into what is shown. Plain counts the looks without a
// finding that are left out: they stand in a table of their own, and twice a day of a
// long hang would bury the rest.
func entries(ctx context.Context, line []db.Happening) (list []ui.Entry, plain int) {
	for _, h := range line {
		if plainLook(h) {
			plain++
			continue
		}
		said := details(ctx, left(h))
		if h.EnteredAt.Sub(h.At).Abs() > lateEntry {
			said = append(said, ui.T(ctx, "entered %s", ui.Moment(ctx, h.EnteredAt)))
		}
		by := h.By
		if by == "" {
			by = ui.T(ctx, "the program")
		}
		list = append(list, ui.Entry{At: h.At, What: whatSaid(ctx, h.What), Who: by, Note: strings.Join(said, "; ")})
	}
	return list, plain
}

// plainLook reports whether a line is a look that found nothing and says nothing more.
func plainLook(h db.Happening) bool {
	if h.What != "look" || h.Detail["why"] != nil || h.Detail["note"] != nil || h.Detail["mould"] != nil {
		return false
	}
	smell, _ := h.Detail["smell"].(string)
	surface, _ := h.Detail["surface"].(string)
	return round.Smell(smell) == round.SmellClean && (round.Surface(surface) == round.SurfaceDry || round.Surface(surface) == round.SurfaceDrying)
}
