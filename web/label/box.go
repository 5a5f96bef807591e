package label

import (
	"context"
	"net/http"
	"strconv"
	"time"
	"unicode/utf8"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
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
	// ShareLink is that of the page of one owner of a shared animal; nil with Link.
	ShareLink func(db.Animal, domaincutting.Portion) string
}

// boxLabel is what stands on one box.
type boxLabel struct {
	printing
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
	Square  Symbol
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
	l = boxLabel{Species: a.Species, N: n, Of: len(boxes), Count: b.Packs, Net: b.NetKg, Place: b.Place}
	if l.printing, err = p.printing(r, "box", strconv.Itoa(n), 1, "/cutting/"+string(number)); err != nil {
		return l, err
	}
	var portion domaincutting.Portion
	for _, k := range packs {
		if k.Box == n {
			l.Packs = append(l.Packs, k)
			l.Wrapped, portion = k.WrappedAt, k.Portion
		}
	}
	if l.Owner, l.Added, err = p.whose(ctx, number, portion); err != nil {
		return l, err
	}
	if l.Square, err = QR(domain.BoxCode(number, n), 0.75); err != nil {
		return l, err
	}
	l.Code, err = Code128(domain.BoxCode(number, n), Plain, 12)
	return l, err
}

// What a box label has room for, in lines of packs: a name or a cut that takes more
// than one line takes it from the packs, never from the codes at its foot.
const (
	mostPackLines = 6
	aBoxCut       = 28 // letters of a cut on one line
	aBoxOwner     = 22 // of an owner's name in large letters
)

// longName reports whether an owner's name is set smaller on a box.
func longName(owner string) bool { return utf8.RuneCountInString(owner) > aBoxOwner }

// firstLines are the lines of packs that there is room for; the label says how many more.
func (l boxLabel) firstLines() []db.PackLine {
	room := mostPackLines
	if longName(l.Owner) {
		room--
	}
	for i, k := range l.Packs {
		room--
		if utf8.RuneCountInString(k.Cut) > aBoxCut {
			room--
		}
		if room < 0 {
			return l.Packs[:i]
		}
	}
	return l.Packs
}

// whose says whose meat a portion is and what may be mixed into it: the animal's
// owner, or of a shared one whoever has the portion.
func (p *Pages) whose(ctx context.Context, number domain.ShopNumber, portion domaincutting.Portion) (owner string, added domain.Words, err error) {
	orders, err := p.DB.StandingOrders(ctx, number)
	if err != nil {
		return "", added, err
	}
	added = domaincutting.AddedMeat("").Words()
	for _, o := range orders {
		if o.Portion == portion {
			owner, added = o.ForWhom, o.Added.Words()
		}
	}
	if owner == "" {
		owner, err = p.DB.OwnerOf(ctx, number)
	}
	return owner, added, err
}
