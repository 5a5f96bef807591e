package cutting

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// movePacksForm is the small form of one line of packs that lie in another box.
type movePacksForm struct{ Line, Count, Box, Place, Why string }

// MovePacks serves POST /cutting/{number}/packs: they lie in another box.
func (p *Pages) MovePacks(w http.ResponseWriter, r *http.Request) error {
	m := movePacksForm{Line: r.FormValue("line"), Count: r.FormValue("packs"), Box: r.FormValue("to_box"), Place: r.FormValue("new_place"), Why: r.FormValue("why")}
	line, err := uuid.Parse(m.Line)
	if err != nil {
		return domain.Missing("There is no such line.")
	}
	return p.do(w, r, tableForm{Which: "packs-" + m.Line, Act: r.FormValue("act"), Move: m}, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		count, err := strconv.Atoi(strings.TrimSpace(m.Count))
		if err != nil {
			return domain.Wrong("packs", "Give the number of packs, 1 to 500.")
		}
		box, _ := strconv.Atoi(m.Box)     // no number is no box, and db says so
		place, _ := strconv.Atoi(m.Place) // needed for one more box alone
		return p.DB.MovePacks(ctx, act, n, db.PackMove{Line: line, Count: count, Box: box, Place: place, Why: m.Why})
	})
}

// MoveBox serves POST /cutting/{number}/shelf: a box stands elsewhere.
func (p *Pages) MoveBox(w http.ResponseWriter, r *http.Request) error {
	f := tableForm{Which: "shelf", Act: r.FormValue("act"), Move: movePacksForm{Box: r.FormValue("of_box"), Place: r.FormValue("shelf")}}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		box, _ := strconv.Atoi(f.Move.Box)
		place, _ := strconv.Atoi(f.Move.Place)
		err := p.DB.MoveBox(ctx, act, n, box, place)
		if e := domain.As(err); err != nil && e.At == "place" {
			return &domain.Error{Kind: e.Kind, At: "shelf", Msg: e.Msg}
		}
		return err
	})
}

// move is the form of a line of packs: as it was sent, else empty with all of them.
func (v tableView) move(k db.PackLine) movePacksForm {
	if v.Form.Which == "packs-"+k.ID.String() {
		return v.Form.Move
	}
	return movePacksForm{Line: k.ID.String(), Count: strconv.Itoa(k.Count)}
}

// wrongIn is the error where it belongs to the form named.
func (v tableView) wrongIn(which string, wrong *domain.Error) *domain.Error {
	if v.Form.Which == which {
		return wrong
	}
	return nil
}

// here reports whether a box has not gone home.
func (v tableView) here(n int) bool {
	for _, b := range v.Boxes {
		if b.N == n {
			return b.ReleasedAt == nil
		}
	}
	return false
}

// boxesHere lists the boxes that have not gone home; one more where besides names the
// box that packs come from.
func (v tableView) boxesHere(ctx context.Context, besides int) []ui.Option {
	var options []ui.Option
	for _, b := range v.Boxes {
		if b.ReleasedAt == nil && b.N != besides {
			options = append(options, ui.Option{Value: strconv.Itoa(b.N), Label: ui.T(ctx, "Box %d", b.N)})
		}
	}
	if besides > 0 {
		options = append(options, ui.Option{Value: strconv.Itoa(len(v.Boxes) + 1), Label: ui.T(ctx, "One more box")})
	}
	return options
}
