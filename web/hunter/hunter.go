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
	Verdict *ageing.Verdict // nil where it does not hang, or nothing can be said
	Now     time.Time
	house   *house
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
	owned, err := p.DB.Owned(ctx, o.animal, m)
	if err != nil {
		return nil, err
	}
	if o.portion != cutting.WholeAnimal {
		var there bool
		if owned, there, err = p.DB.OwnedShare(ctx, owned, o.portion); err != nil {
			return nil, err
		} else if !there {
			return nothingHere(), nil
		}
	}
	v := view{Owned: owned, Now: p.Now(), house: h}
	if owned.MustCall() {
		return pleaseCall(v), nil
	}
	if owned.Physical.OnRail() {
		if v.Verdict, _, err = p.DB.VerdictOf(ctx, o.animal, owned.Revision, v.Now); err != nil {
			return nil, err
		}
	}
	if v.Verdict != nil && v.Verdict.Condition == ageing.Stop {
		return pleaseCall(v), nil
	}
	if owned.Shared && o.portion == cutting.WholeAnimal {
		return sharedPage(v), nil
	}
	return page(v), nil
}
