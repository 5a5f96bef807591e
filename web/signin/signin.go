// Package signin lets a device in once, by an owner's password, and knows who
// holds it now. Every act is done in the name of the person whose name was
// tapped last; money, holds, decisions and hand-over ask for that person's PIN.
package signin

import (
	"context"
	"crypto/sha256"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/alexedwards/scs/v2"
	"github.com/google/uuid"
)

// Pages serves the screens before every other screen.
type Pages struct {
	DB       *db.DB
	Sessions *scs.SessionManager
	Now      func() time.Time
	Problem  func(http.ResponseWriter, *http.Request, error)
}

type holderKey struct{}

// Holder returns who holds the device of the request.
func Holder(ctx context.Context) db.Holder {
	h, _ := ctx.Value(holderKey{}).(db.Holder)
	return h
}

// With puts a holder into a context; tests of single pages use it too.
func With(ctx context.Context, h db.Holder) context.Context {
	ctx = ui.InLanguage(context.WithValue(ctx, holderKey{}, h), h.Language)
	return ui.WithHolder(ctx, ui.Holder{Name: h.Staff.Name, Initials: h.Staff.Initials, Roles: h.Staff.Roles})
}

// Act is the act of a form: its id from the hidden field "act", done now by
// whoever holds the device.
func Act(r *http.Request, now time.Time) (db.Act, error) {
	id, err := uuid.Parse(r.FormValue("act"))
	if err != nil {
		return db.Act{}, domain.Wrong("act", "This form came in damaged. Open it again and repeat.")
	}
	h := Holder(r.Context())
	return kept(r, db.Act{ID: id, At: now, Staff: h.Staff.ID, Device: h.Device, Said: said(r)})
}

// said are the words of a form, in whatever order it was sent. What is a secret stays
// out of it, and may be typed anew.
func said(r *http.Request) []byte {
	words := url.Values{}
	for name, values := range r.PostForm {
		if !slices.Contains([]string{"act", "pin", "new_pin", "password"}, name) {
			words[name] = values
		}
	}
	if r.MultipartForm != nil {
		for name, files := range r.MultipartForm.File {
			for _, f := range files {
				words.Add(name, fmt.Sprintf("file %s, %d bytes", f.Filename, f.Size))
			}
		}
	}
	sum := sha256.Sum256([]byte(words.Encode()))
	return sum[:]
}

// NewAct returns the id that a form carries in its hidden field "act".
func NewAct() string { return uuid.Must(uuid.NewV7()).String() }

// PIN checks the field "pin" of a form against whoever holds the device.
func PIN(r *http.Request, d *db.DB, now time.Time) error {
	h := Holder(r.Context())
	return d.CheckPIN(r.Context(), h.Device, h.Staff.ID, strings.TrimSpace(r.FormValue("pin")), now)
}

// Enrolled sends a device that may not take part to the enrolment page.
func (p *Pages) Enrolled(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		device, _ := uuid.Parse(p.Sessions.GetString(r.Context(), "device"))
		staff, _ := uuid.Parse(p.Sessions.GetString(r.Context(), "staff"))
		h, found, err := p.DB.HolderOf(r.Context(), device, staff, p.Now())
		if err != nil {
			p.Problem(w, r, err)
			return
		}
		if !found {
			http.Redirect(w, r, "/enrol", http.StatusSeeOther)
			return
		}
		ctx, err := p.onShift(r, With(r.Context(), h))
		if err != nil {
			p.Problem(w, r, err)
			return
		}
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

// Held asks for a name where nobody holds the device yet.
func (p *Pages) Held(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if Holder(r.Context()).Staff.ID == uuid.Nil {
			http.Redirect(w, r, "/who?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
			return
		}
		next.ServeHTTP(w, r)
	})
}
