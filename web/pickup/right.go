package pickup

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// rightForm is what the form that puts a hand-over right carries.
type rightForm struct {
	After, Collector, Authority, Seen, Why string
	Stayed                                 []string
}

// rightOf names the form that puts one hand-over right.
func rightOf(h db.Handover) string { return "right-" + h.ID.String() }

// right is that form of a hand-over: as it was sent, else filled with what stands.
func (v counterView) right(h db.Handover) rightForm {
	if v.Form.Which == rightOf(h) {
		return v.Form.Right
	}
	return rightForm{After: strconv.Itoa(h.Lines), Collector: h.Collector, Authority: string(h.Authority), Seen: h.Seen}
}

// Correct serves POST /pickup/{number}/handovers/{handover}: somebody else took it, or
// boxes had not left.
func (p *Pages) Correct(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(chi.URLParam(r, "handover"))
	if err != nil {
		return domain.Missing("There is no such hand-over.")
	}
	if err := r.ParseForm(); err != nil {
		return domain.Wrong("", "The form came in damaged. Open the page again.")
	}
	f := rightForm{After: r.FormValue("after"), Collector: r.FormValue("collector"), Authority: r.FormValue("authority"), Seen: r.FormValue("seen"),
		Why: r.FormValue("why"), Stayed: r.PostForm["stayed"]}
	after, err := strconv.Atoi(f.After)
	if err != nil {
		return domain.Wrong("", "The form came in damaged. Open the page again.")
	}
	sent := counterForm{Which: rightOf(db.Handover{ID: id}), Act: r.FormValue("act"), Right: f}
	return p.do(w, r, sent, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.CorrectHandover(ctx, act, n, db.HandoverRight{Handover: id, After: after, Collector: f.Collector,
			Authority: animal.Authority(f.Authority), Seen: f.Seen, Stayed: f.Stayed, Why: f.Why})
	})
}

// leftWith are the boxes that left with a hand-over, to be ticked where they had not.
func leftWith(ctx context.Context, v counterView, h db.Handover) []ui.Option {
	var options []ui.Option
	for _, b := range v.Boxes {
		if b.Handover == h.ID {
			options = append(options, ui.Option{Value: domain.BoxCode(v.Animal.Number, b.N), Label: ui.T(ctx, "Box %d", b.N), Note: contents(ctx, b, len(v.Boxes))})
		}
	}
	return options
}

// rightSaid is what a line that put a hand-over right says of it.
func rightSaid(ctx context.Context, l db.HandoverLine) string {
	var said []string
	switch {
	case l.Undone:
		said = append(said, ui.T(ctx, "Nothing had left"))
	case l.Stayed != "":
		said = append(said, ui.T(ctx, "Had not left: box %s", l.Stayed))
	}
	if l.Collector != l.Before {
		said = append(said, ui.T(ctx, "Before: %s", l.Before))
	}
	return strings.Join(append(said, l.Why), ". ")
}
