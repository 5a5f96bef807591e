package coolers

import (
	"context"
	"net/http"
	"net/url"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// fitView is the page on which a room's own heat numbers are found from a warm-up
// in its record and taken over by a person.
type fitView struct {
	Room     db.Cooler
	WarmUps  []cooler.Span
	From, To string // as typed
	Fit      *cooler.Fit
	Accepted *db.AcceptedFit
	Wrong    *domain.Error
}

// ShowFit serves GET /coolers/{name}/fit.
func (p *Pages) ShowFit(w http.ResponseWriter, r *http.Request) error {
	v, err := p.fit(r)
	if err != nil {
		return err
	}
	if v.From == "" {
		return ui.Render(w, r, http.StatusOK, fitPage(v))
	}
	from, to, err := v.stretch(r)
	if err == nil {
		var f cooler.Fit
		if f, err = p.DB.FitRoom(r.Context(), v.Room, from, to, p.Now()); err == nil {
			v.Fit = &f
		}
	}
	return p.showFit(w, r, v, err)
}

// AcceptFit serves POST /coolers/{name}/fit.
func (p *Pages) AcceptFit(w http.ResponseWriter, r *http.Request) error {
	return p.onFit(w, r, func(v fitView, act db.Act) error {
		from, to, err := v.stretch(r)
		if err != nil {
			return err
		}
		return p.DB.AcceptFit(r.Context(), act, v.Room.Name, from, to)
	})
}

// DropFit serves POST /coolers/{name}/fit/drop.
func (p *Pages) DropFit(w http.ResponseWriter, r *http.Request) error {
	return p.onFit(w, r, func(v fitView, act db.Act) error { return p.DB.DropFit(r.Context(), act, v.Room.Name) })
}

func (p *Pages) onFit(w http.ResponseWriter, r *http.Request, do func(fitView, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.fit(r)
	if err != nil {
		return err
	}
	if err = signin.PIN(r, p.DB, act.At); err == nil {
		err = do(v, act)
	}
	if err != nil {
		if from, to, wrong := v.stretch(r); wrong == nil && v.Accepted == nil { // what was about to be taken over stays on the page
			if f, wrong := p.DB.FitRoom(r.Context(), v.Room, from, to, p.Now()); wrong == nil {
				v.Fit = &f
			}
		}
		return p.showFit(w, r, v, err)
	}
	http.Redirect(w, r, "/coolers/"+v.Room.Name, http.StatusSeeOther)
	return nil
}

// showFit shows the page, with what a person can act on.
func (p *Pages) showFit(w http.ResponseWriter, r *http.Request, v fitView, err error) error {
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.Wrong = e
		return ui.Render(w, r, http.StatusUnprocessableEntity, fitPage(v))
	}
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, fitPage(v))
}

func (p *Pages) fit(r *http.Request) (v fitView, err error) {
	ctx := r.Context()
	if v.Room, err = p.DB.Cooler(ctx, chi.URLParam(r, "name")); err != nil {
		return v, err
	}
	if v.WarmUps, err = p.DB.WarmUps(ctx, v.Room, p.Now()); err != nil {
		return v, err
	}
	v.From, v.To = r.FormValue("from"), r.FormValue("to")
	accepted, found, err := p.DB.LastFit(ctx, v.Room.ID)
	if found {
		v.Accepted = &accepted
	}
	return v, err
}

// stretch reads the two moments.
func (v fitView) stretch(r *http.Request) (from, to time.Time, err error) {
	if from, err = ui.ReadWhen(r.Context(), "from", v.From); err != nil {
		return from, to, err
	}
	to, err = ui.ReadWhen(r.Context(), "to", v.To)
	return from, to, err
}

// fitLink leads to the page with a stretch filled in.
func fitLink(ctx context.Context, room db.Cooler, s cooler.Span) string {
	q := url.Values{"from": {typedWhen(ctx, s.From)}, "to": {typedWhen(ctx, s.Peak.At)}}
	return "/coolers/" + room.Name + "/fit?" + q.Encode()
}

// typedWhen writes an instant as the field for it takes it.
func typedWhen(ctx context.Context, t time.Time) string {
	return t.In(ui.ShopOf(ctx).Zone).Format("2006-01-02T15:04")
}
