package label

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// packLabel is what stands on each pack of one line, as the law and the trade ask
// (trade.md 6.6): owner, number, cut, date, NOT FOR SALE, weight, what is mixed in.
type packLabel struct {
	printing
	db.PackLine
	Species domain.Species
	Owner   string
	Added   domain.Words
	Given   []string // words of the programme it was given to and of the state; none: the owner has it
	Code    Symbol
	Square  Symbol
}

// Pack serves GET /animals/{number}/packs/{line}/label: a label for every pack of
// the line.
func (p *Pages) Pack(w http.ResponseWriter, r *http.Request) error {
	l, err := p.packLabel(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, packSheets(l))
}

func (p *Pages) packLabel(r *http.Request) (l packLabel, err error) {
	ctx, number, line := r.Context(), ui.ShopNumber(r), chi.URLParam(r, "line")
	a, err := p.DB.Animal(ctx, number)
	if err != nil {
		return l, err
	}
	packs, err := p.DB.Packs(ctx, number)
	if err != nil {
		return l, err
	}
	for _, k := range packs {
		if k.ID.String() == line {
			l.PackLine = k
		}
	}
	if l.Count == 0 {
		return l, domain.Missing("%s has no such packs. They may have been taken back.", string(number))
	}
	l.Species = a.Species
	if l.printing, err = p.printing(r, "pack", line, l.Count, "/cutting/"+string(number)); err != nil {
		return l, err
	}
	if l.Given, err = p.DB.DonatedWords(ctx, number); err != nil {
		return l, err
	}
	if l.Owner, l.Added, err = p.whose(ctx, number, l.Portion); err != nil {
		return l, err
	}
	return l, l.draw(number)
}

func (l *packLabel) draw(number domain.ShopNumber) (err error) {
	if l.Code, err = Code128(number.Digits(), Fine, 6); err != nil {
		return err
	}
	l.Square, err = QR(number.Digits(), Plain)
	return err
}

// netWords is the weight on the label: of the pack where it was weighed alone, of
// all together otherwise, because no scale has seen the one.
func (l packLabel) netWords(ctx context.Context) string {
	if l.Count == 1 {
		return ui.T(ctx, "net %s", l.NetKg)
	}
	return ui.T(ctx, "%d packs, net %s together", l.Count, l.NetKg)
}

// onPage is how many pack labels a letter page has room for: two by five.
const onPage = 10

// pages deals the numbers of the packs onto letter pages.
func (l packLabel) pages() (pages [][]int) {
	for n := 1; n <= l.Count; n++ {
		if (n-1)%onPage == 0 {
			pages = append(pages, nil)
		}
		pages[len(pages)-1] = append(pages[len(pages)-1], n)
	}
	return pages
}

func nOf(n, of int) string { return strconv.Itoa(n) + "/" + strconv.Itoa(of) }

// pieceLabel is what hangs on a piece: its letters, large.
type pieceLabel struct {
	printing
	db.Piece
	Owner  string
	Code   Symbol
	Square Symbol
}

// Piece serves GET /animals/{number}/pieces/{mark}/label.
func (p *Pages) Piece(w http.ResponseWriter, r *http.Request) error {
	l, err := p.pieceLabel(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, pieceSheet(l))
}

func (p *Pages) pieceLabel(r *http.Request) (l pieceLabel, err error) {
	ctx, number, mark := r.Context(), ui.ShopNumber(r), strings.ToUpper(chi.URLParam(r, "mark"))
	pieces, err := p.DB.Pieces(ctx, number)
	if err != nil {
		return l, err
	}
	for _, k := range pieces {
		if k.Mark == mark {
			l.Piece = k
		}
	}
	if l.Mark == "" {
		return l, domain.Missing("%s has no piece %s.", string(number), mark)
	}
	if l.printing, err = p.printing(r, "piece", mark, 1, "/animals/"+string(number)+"/pieces"); err != nil {
		return l, err
	}
	if l.Owner, err = p.DB.OwnerOf(ctx, number); err != nil {
		return l, err
	}
	return l, l.draw(number)
}

// aPackLine is how many letters stand on a line of a pack's label. Of a label that must
// say more, the owner's name and the cut keep one line.
const aPackLine = 36

// sentence ends words with a full stop and the space before the next sentence.
func sentence(words string) string {
	if words == "" {
		return ""
	}
	return strings.TrimRight(words, ".,; ") + ". "
}

func (l *pieceLabel) draw(number domain.ShopNumber) (err error) {
	code := domaincutting.PieceCode(number, l.Mark)
	if l.Code, err = Code128(code, Fine, 6); err != nil {
		return err
	}
	l.Square, err = QR(code, Plain)
	return err
}
