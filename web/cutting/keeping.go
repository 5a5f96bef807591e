package cutting

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// ShowKeeping serves GET /pieces: the heads, capes, antlers and hides that are here.
func (p *Pages) ShowKeeping(w http.ResponseWriter, r *http.Request) error {
	list, err := p.DB.InKeeping(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, keepingPage(list, p.Now()))
}

// pieceView is one piece: where it lies, and who takes it.
type pieceView struct {
	Piece  db.Piece
	Animal db.Animal
	Act    string
	Which  string // which form was sent
	Place  string
	Frozen bool
	Gone   string
	Signer string
	Drawn  string
	Wrong  *domain.Error
}

// wrongOf is the error where it belongs to that form.
func (v pieceView) wrongOf(which string) *domain.Error {
	if v.Which == which {
		return v.Wrong
	}
	return nil
}

// ShowPiece serves GET /animals/{number}/pieces/{mark}.
func (p *Pages) ShowPiece(w http.ResponseWriter, r *http.Request) error {
	v, err := p.piece(r)
	if err != nil {
		return err
	}
	v.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, piecePage(v))
}

func (p *Pages) piece(r *http.Request) (v pieceView, err error) {
	if v.Animal, err = p.DB.Animal(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	if v.Piece, err = p.DB.PieceOf(r.Context(), v.Animal.Number, chi.URLParam(r, "mark")); err != nil || v.Piece.TakenBy == "" {
		return v, err
	}
	return v, signin.Look(r.Context(), p.DB, p.Now(), db.Looked{Number: v.Animal.Number, Page: "pieces", Shown: []domain.Private{domain.Names}})
}

// Lay serves POST /animals/{number}/pieces/{mark}/place: where it lies now.
func (p *Pages) Lay(w http.ResponseWriter, r *http.Request) error {
	v := pieceView{Which: "place", Place: r.FormValue("place"), Frozen: r.FormValue("frozen") == "yes"}
	act, err := signin.Act(r, p.Now())
	if err == nil {
		err = p.DB.Lay(r.Context(), act, ui.ShopNumber(r), chi.URLParam(r, "mark"), v.Place, v.Frozen)
	}
	return p.pieceDone(w, r, v, err)
}

// pieceDone goes back to where it was tapped, or shows the piece again with what is
// wrong and what was typed.
func (p *Pages) pieceDone(w http.ResponseWriter, r *http.Request, typed pieceView, err error) error {
	if err == nil {
		http.Redirect(w, r, backTo(r), http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.piece(r)
	if err != nil {
		return err
	}
	typed.Piece, typed.Animal, typed.Act, typed.Wrong = v.Piece, v.Animal, r.FormValue("act"), wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, piecePage(typed))
}

// clocksView is the owner's rule for each kind, as typed.
type clocksView struct {
	Act    string
	Clocks []db.PieceClock
	Typed  map[domaincutting.PieceKind]string
}

// ShowClocks serves GET /office/pieces.
func (p *Pages) ShowClocks(w http.ResponseWriter, r *http.Request) (err error) {
	v := clocksView{Act: signin.NewAct(), Typed: map[domaincutting.PieceKind]string{}}
	if v.Clocks, err = p.DB.PieceClocks(r.Context()); err != nil {
		return err
	}
	for _, c := range v.Clocks {
		if c.Hours > 0 {
			v.Typed[c.Kind] = strconv.Itoa(c.Hours)
		}
	}
	return ui.Render(w, r, http.StatusOK, clocksPage(v, nil))
}

// SetClocks serves POST /office/pieces.
func (p *Pages) SetClocks(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, hours := clocksView{Act: r.FormValue("act"), Typed: map[domaincutting.PieceKind]string{}}, map[domaincutting.PieceKind]int{}
	for _, kind := range domaincutting.InKeeping {
		typed := strings.TrimSpace(r.FormValue(string(kind)))
		v.Typed[kind] = typed
		if n, err := strconv.Atoi(typed); err == nil && n > 0 {
			hours[kind] = n
		} else if typed != "" {
			hours[kind] = -1 // the domain asks for hours
		}
	}
	if err = p.DB.SetPieceClocks(r.Context(), act, hours); err == nil {
		http.Redirect(w, r, "/office/pieces", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind != domain.Invalid {
		return err
	}
	if v.Clocks, err = p.DB.PieceClocks(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, clocksPage(v, wrong))
}

// clockSaid is when it must be frozen, or that it lies frozen.
func clockSaid(ctx context.Context, p db.Piece) string {
	switch {
	case p.FrozenAt != nil:
		return ui.T(ctx, "Frozen since %s", ui.Moment(ctx, *p.FrozenAt))
	case p.FreezeBy != nil:
		return ui.T(ctx, "To be frozen by %s", ui.Moment(ctx, *p.FreezeBy))
	}
	return ""
}

func placeSaid(ctx context.Context, p db.Piece) string {
	if p.Place == "" {
		return ui.T(ctx, "Nobody has said where it lies")
	}
	return p.Place
}

// hereNote counts the board; an empty one says so itself.
func hereNote(ctx context.Context, n int) string {
	if n == 0 {
		return ""
	}
	return ui.T(ctx, "%d pieces here", n)
}

// keptNote is one piece on the board: what for, where, and its clock.
func keptNote(ctx context.Context, p db.Piece) string {
	said := placeSaid(ctx, p)
	if p.Instruction != "" {
		said = p.Instruction + ". " + said
	}
	if clock := clockSaid(ctx, p); clock != "" {
		said += ". " + clock
	}
	return said
}

func clockSet(ctx context.Context, c db.PieceClock) string {
	if c.SetAt == nil {
		return ""
	}
	return ui.T(ctx, "set %s, %s", ui.Moment(ctx, *c.SetAt), c.SetBy)
}
