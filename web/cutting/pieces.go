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

// pieceForm is what came off apart.
type pieceForm struct {
	Act, Kind, Weight, Instruction string

	From string // the page the section stands on; empty: the pieces' own
}

// backTo is the page an act on a piece was tapped on: the day's tubs, the table, or the
// animal's pieces.
func backTo(r *http.Request) string {
	number := string(ui.ShopNumber(r))
	if from := r.FormValue("from"); from == "/cutting/tubs" || from == "/cutting/"+number {
		return from
	}
	return "/animals/" + number + "/pieces"
}

// piecesView is the page of an animal's pieces.
type piecesView struct {
	Animal db.Animal
	Pieces []db.Piece
	Form   pieceForm
}

// ShowPieces serves GET /animals/{number}/pieces: what came off apart, and where
// it is.
func (p *Pages) ShowPieces(w http.ResponseWriter, r *http.Request) error {
	v, err := p.pieces(r)
	if err != nil {
		return err
	}
	v.Form.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, piecesPage(v, nil))
}

// CutOff serves POST /animals/{number}/pieces: the piece has its number, and its
// label comes next.
func (p *Pages) CutOff(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f, number := pieceForm{Act: r.FormValue("act"), Kind: r.FormValue("kind"), Weight: r.FormValue("piece_weight"), Instruction: r.FormValue("instruction")}, ui.ShopNumber(r)
	n, err := f.read(r.Context())
	var mark string
	if err == nil {
		mark, err = p.DB.CutOff(r.Context(), act, number, n)
	}
	if err != nil {
		return p.piecesAgain(w, r, f, err)
	}
	http.Redirect(w, r, "/animals/"+string(number)+"/pieces/"+mark+"/label", http.StatusSeeOther)
	return nil
}

func (f pieceForm) read(ctx context.Context) (n db.NewPiece, err error) {
	n = db.NewPiece{Kind: domaincutting.PieceKind(f.Kind), Instruction: f.Instruction}
	if strings.TrimSpace(f.Weight) != "" {
		n.Kg, err = ui.ReadWeight(ctx, "piece_weight", f.Weight)
	}
	return n, err
}

// SendOff serves POST /animals/{number}/pieces/{mark}: where it went.
func (p *Pages) SendOff(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := pieceView{Which: "gone", Gone: r.FormValue("gone"), Signer: r.FormValue("signer"), Drawn: r.FormValue("strokes")}
	number, mark := ui.ShopNumber(r), chi.URLParam(r, "mark")
	piece, err := p.DB.PieceOf(r.Context(), number, mark)
	if err != nil {
		return err
	}
	if piece.Kind.GoesBack() {
		err = signin.PIN(r, p.DB, p.Now()) // it is somebody's, and is handed over
	}
	if err == nil {
		err = p.DB.SendOff(r.Context(), act, number, mark, v.Gone, db.Signature{Signer: v.Signer, Strokes: v.Drawn})
	}
	if err != nil && !piece.Kind.GoesBack() {
		return p.piecesAgain(w, r, pieceForm{Act: signin.NewAct()}, err)
	}
	return p.pieceDone(w, r, v, err)
}

// FetchBack serves POST /animals/{number}/pieces/{mark}/back: it was ticked off by a slip.
func (p *Pages) FetchBack(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	number := ui.ShopNumber(r)
	if err := p.DB.FetchBack(r.Context(), act, number, chi.URLParam(r, "mark"), r.FormValue("why")); err != nil {
		return p.piecesAgain(w, r, pieceForm{Act: signin.NewAct()}, err)
	}
	http.Redirect(w, r, backTo(r), http.StatusSeeOther)
	return nil
}

// piecesAgain shows the page with what is wrong, if it is for the person there.
func (p *Pages) piecesAgain(w http.ResponseWriter, r *http.Request, f pieceForm, err error) error {
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.pieces(r)
	if err != nil {
		return err
	}
	v.Form = f
	return ui.Render(w, r, http.StatusUnprocessableEntity, piecesPage(v, wrong))
}

func (p *Pages) pieces(r *http.Request) (v piecesView, err error) {
	if v.Animal, err = p.DB.Animal(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	v.Pieces, err = p.DB.Pieces(r.Context(), v.Animal.Number)
	return v, err
}

// tubsView is the day's close.
type tubsView struct {
	Open         []db.Piece
	Counts       []db.TubCount
	Act, Counted string
}

// ShowTubs serves GET /cutting/tubs: the tubs that should stand there.
func (p *Pages) ShowTubs(w http.ResponseWriter, r *http.Request) error {
	v, err := p.tubs(r.Context())
	if err != nil {
		return err
	}
	v.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, tubsPage(v, nil))
}

// CountTubs serves POST /cutting/tubs.
func (p *Pages) CountTubs(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	counted, err := strconv.Atoi(strings.TrimSpace(r.FormValue("counted")))
	if err != nil {
		counted = -1 // no number: db asks for one
	}
	err = p.DB.CountTubs(r.Context(), act, counted)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		v, err := p.tubs(r.Context())
		if err != nil {
			return err
		}
		v.Act, v.Counted = signin.NewAct(), r.FormValue("counted") // this count is kept; the next is another
		return ui.Render(w, r, http.StatusUnprocessableEntity, tubsPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/cutting/tubs", http.StatusSeeOther)
	return nil
}

func (p *Pages) tubs(ctx context.Context) (v tubsView, err error) {
	if v.Open, err = p.DB.OpenTubs(ctx); err != nil {
		return v, err
	}
	v.Counts, err = p.DB.LastTubCounts(ctx)
	return v, err
}

func pieceOptions(ctx context.Context) []ui.Option {
	options := make([]ui.Option, len(domaincutting.PieceKinds))
	for i, k := range domaincutting.PieceKinds {
		options[i] = ui.Option{Value: string(k), Label: ui.Say(ctx, k.Words())}
	}
	return options
}

func goneOptions(ctx context.Context, k domaincutting.PieceKind) []ui.Option {
	var options []ui.Option
	for _, way := range k.Ways() {
		options = append(options, ui.Option{Value: way, Label: ui.Say(ctx, domaincutting.WayWords(way))})
	}
	return options
}

// pieceSaid is a piece in one line: what, how heavy, what for, since when.
func pieceSaid(ctx context.Context, p db.Piece) string {
	said := ui.Say(ctx, p.Kind.Words())
	if p.Kg != nil {
		said += ", " + ui.Weight(ctx, *p.Kg)
	}
	if p.Instruction != "" {
		said += ", " + p.Instruction
	}
	said += ". " + ui.T(ctx, "Taken off %s", ui.Moment(ctx, p.MadeAt))
	if p.MadeBy != "" {
		said += ", " + p.MadeBy
	}
	if p.Kind.Kept() && p.GoneAt == nil {
		said += ". " + placeSaid(ctx, p)
		if clock := clockSaid(ctx, p); clock != "" {
			said += ". " + clock
		}
	}
	if p.GoneAt != nil {
		said += ". " + ui.T(ctx, "Gone %s: %s, %s", *p.GoneAt, domaincutting.WayWords(p.GoneTo), p.GoneBy)
	}
	return said
}

func countSaid(ctx context.Context, c db.TubCount) string {
	if c.Counted != c.Open {
		return ui.T(ctx, "%s, %s: counted %d, in the book %d. It did not agree.", c.At, c.By, c.Counted, c.Open)
	}
	return ui.T(ctx, "%s, %s: %d, and that agrees.", c.At, c.By, c.Counted)
}
