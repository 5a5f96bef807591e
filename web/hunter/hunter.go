package hunter

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain/ageing"
	"coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/a-h/templ"
	"github.com/go-chi/chi/v5"
)

// Pages serves the owner's page.
type Pages struct {
	DB     *db.DB
	Now    func() time.Time
	Secret []byte

	house    houseMemory
	finished memory
}

// view is one animal as its owner may see it.
type view struct {
	db.Owned
	Portion   cutting.Portion // of a shared animal; empty: the whole
	Verdict   *ageing.Verdict // nil where it does not hang, or nothing can be said
	Now       time.Time
	Published bool // a finished page, written again when its words change
	house     *house
}

// Show serves GET /s/{token}. A link that is wrong, of an animal that is not
// there, or older than the newest gets one and the same answer.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	o, ok := open(chi.URLParam(r, "token"))
	if !ok {
		return ui.Render(w, r, http.StatusNotFound, nothingHere())
	}
	m, found, err := p.DB.MarkOf(r.Context(), o.animal)
	if err != nil {
		return err
	}
	if right := o.fits(p.Secret, m.LinkRevision); !found || !right {
		return ui.Render(w, r, http.StatusNotFound, nothingHere())
	}
	return p.answer(w, r, o, m)
}

// answer sends the page of an animal whose mark is m, or of a share of it.
func (p *Pages) answer(w http.ResponseWriter, r *http.Request, o opened, m db.Mark) error {
	h, err := p.house.get(r.Context(), p.DB, p.Now())
	if err != nil {
		return err
	}
	e := edition{o.animal, o.portion, m, p.Now().Unix() / 60, ui.ShopOf(r.Context()), h}
	made, err := p.finished.get(r.Context(), e, func() (templ.Component, error) { return p.page(r.Context(), o, m, h) })
	if err != nil {
		return err
	}
	made.send(w, r)
	return nil
}

// page is what the owner may see now.
func (p *Pages) page(ctx context.Context, o opened, m db.Mark, h *house) (templ.Component, error) {
	v, there, err := p.look(ctx, o, m, h)
	if err != nil {
		return nil, err
	}
	if !there {
		return nothingHere(), nil
	}
	return v.page(), nil
}

// look reads it; there is false where the animal has no such share.
func (p *Pages) look(ctx context.Context, o opened, m db.Mark, h *house) (v view, there bool, err error) {
	v = view{Portion: o.portion, Now: p.Now(), house: h}
	if v.Owned, err = p.DB.Owned(ctx, o.animal, m); err != nil {
		return v, false, err
	}
	if o.portion != cutting.WholeAnimal {
		if v.Owned, there, err = p.DB.OwnedShare(ctx, v.Owned, o.portion); err != nil || !there {
			return v, false, err
		}
	}
	if v.Owned, err = p.DB.OwingNow(ctx, v.Owned, o.portion, v.Now); err != nil {
		return v, false, err
	}
	if v.Physical.OnRail() && !v.MustCall() {
		v.Verdict, _, err = p.DB.VerdictOf(ctx, o.animal, v.Revision, v.Now)
	}
	return v, true, err
}

// page chooses what may be said.
func (v view) page() templ.Component {
	switch {
	case v.MustCall(), v.Verdict != nil && v.Verdict.Condition == ageing.Stop:
		return pleaseCall(v)
	case v.Shared && v.Portion == cutting.WholeAnimal:
		return sharedPage(v)
	}
	return page(v)
}

// asOf is the moment of a page that the server makes, the day of a finished one:
// that is written again when its words change, or the day.
func (v view) asOf(ctx context.Context) string {
	if v.Published {
		return ui.Day(ctx, v.Now)
	}
	return ui.Moment(ctx, v.Now)
}
