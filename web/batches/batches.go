// Package batches serves the sausage kitchen: whose meat goes into a batch, the
// cure, the smokehouse and the way down, the shares, and what went through which
// machine.
package batches

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// Pages serves the sausage kitchen's screens.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// form is what one of a page's forms carried; Which says which it was, so that what
// was typed and what is wrong with it come back in the right place.
type form struct {
	Which, Act string
	Typed      url.Values
	Wrong      *domain.Error
}

// act is the id for one of the page's forms: the one that was sent keeps its own.
func (f form) act(which string) string {
	if f.Which == which && f.Act != "" {
		return f.Act
	}
	return signin.NewAct()
}

// said is what was typed into a field of the form named.
func (f form) said(which, field string) string {
	if f.Which == which {
		return f.Typed.Get(field)
	}
	return ""
}

// or is what was typed, or what is proposed.
func (f form) or(which, field, proposed string) string {
	if s := f.said(which, field); s != "" || f.Which == which {
		return s
	}
	return proposed
}

// wrong is the error if it belongs to the form named.
func (f form) wrong(which string) *domain.Error {
	if f.Which == which {
		return f.Wrong
	}
	return nil
}

// formOf reads a form.
func formOf(r *http.Request, which string) (form, error) {
	if err := r.ParseForm(); err != nil {
		return form{}, domain.Wrong("", "This form came in damaged. Open it again and repeat.")
	}
	return form{Which: which, Act: r.FormValue("act"), Typed: r.PostForm}, nil
}

// told reports whether an error belongs on the form itself.
func told(err error) *domain.Error {
	wrong := domain.As(err)
	if err == nil || wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return nil
	}
	return wrong
}

const shown = 60

// Show serves GET /batches: what is under way and what was made lately.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	list, err := p.DB.Batches(r.Context(), shown)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, listPage(list))
}

// ShowNew serves GET /batches/new.
func (p *Pages) ShowNew(w http.ResponseWriter, r *http.Request) error {
	return ui.Render(w, r, http.StatusOK, newPage(form{}))
}

// Start serves POST /batches/new.
func (p *Pages) Start(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r, "new")
	if err != nil {
		return err
	}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	number, err := p.DB.StartBatch(r.Context(), act, db.NewBatch{Product: batch.Product(r.FormValue("product")), Flavour: r.FormValue("flavour"),
		Kind: batch.Kind(r.FormValue("kind")), Pork: r.FormValue("pork"), Beef: r.FormValue("beef")})
	if f.Wrong = told(err); f.Wrong != nil {
		return ui.Render(w, r, http.StatusUnprocessableEntity, newPage(f))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, where(number), http.StatusSeeOther)
	return nil
}

func where(number int) string { return "/batches/" + strconv.Itoa(number) }

// numbered reads the batch's number from the address.
func numbered(r *http.Request) (int, error) {
	n, err := strconv.Atoi(strings.TrimLeft(chi.URLParam(r, "batch"), "Bb-"))
	if err != nil || n < 1 {
		return 0, domain.Missing("There is no batch %s.", chi.URLParam(r, "batch"))
	}
	return n, nil
}

// secondPerson reads who else looked and checks their own PIN.
func (p *Pages) secondPerson(ctx context.Context, r *http.Request, pinField string) (db.Staff, error) {
	staff, err := p.DB.AllStaff(ctx, p.Now())
	if err != nil {
		return db.Staff{}, err
	}
	holder := signin.Holder(ctx).Staff.ID
	for _, s := range staff {
		if s.ID.String() != r.FormValue("second") || s.ID == holder {
			continue
		}
		err := p.DB.CheckPIN(ctx, signin.Holder(ctx).Device, s.ID, strings.TrimSpace(r.FormValue(pinField)), p.Now())
		if e := domain.As(err); err != nil && e.At == "pin" {
			return s, &domain.Error{Kind: e.Kind, At: pinField, Msg: e.Msg}
		}
		return s, err
	}
	return db.Staff{}, domain.Wrong("second", "A second person looks at it too. Choose another name; they type their own PIN.")
}
