package label

import (
	"net/http"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// Pages serves the paper that goes with an animal and its meat.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
	// Link is the address of the hunter's page; nil where the site has no address
	// that a phone can reach.
	Link func(db.Animal) string
}

// boxLabel is what stands on one box.
type boxLabel struct {
	Number  domain.ShopNumber
	Species domain.Species
	Owner   string
	N, Of   int
	Packs   []db.PackLine
	Count   int
	Net     domain.Kilogram
	Wrapped time.Time
	Place   string
	Added   domain.Words
	Code    Symbol
}

// Box serves GET /animals/{number}/boxes/{n}/label: the label of one box.
func (p *Pages) Box(w http.ResponseWriter, r *http.Request) error {
	n, err := strconv.Atoi(chi.URLParam(r, "n"))
	if err != nil {
		return domain.Missing("There is no such box.")
	}
	number := ui.ShopNumber(r)
	l, err := p.boxLabel(r, number, n)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, boxSheet(l))
}

func (p *Pages) boxLabel(r *http.Request, number domain.ShopNumber, n int) (l boxLabel, err error) {
	ctx := r.Context()
	a, err := p.DB.Animal(ctx, number)
	if err != nil {
		return l, err
	}
	boxes, err := p.DB.Boxes(ctx, number)
	if err != nil {
		return l, err
	}
	if n < 1 || n > len(boxes) {
		return l, domain.Missing("%s has no box %d.", string(number), n)
	}
	packs, err := p.DB.Packs(ctx, number)
	if err != nil {
		return l, err
	}
	b := boxes[n-1]
	l = boxLabel{Number: number, Species: a.Species, N: n, Of: len(boxes), Count: b.Packs, Net: b.NetKg, Place: b.Place}
	for _, k := range packs {
		if k.Box == n {
			l.Packs = append(l.Packs, k)
			l.Wrapped = k.WrappedAt
		}
	}
	if l.Owner, err = p.DB.OwnerOf(ctx, number); err != nil {
		return l, err
	}
	o, _, err := p.DB.NewestOrder(ctx, number)
	if err != nil {
		return l, err
	}
	l.Added = o.Added.Words()
	l.Code, err = Code128(domain.BoxCode(number, n), Plain, 12)
	return l, err
}
