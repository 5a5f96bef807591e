// Package setup opens a new shop: the shop, its owner and the device in the
// owner's hand first, then the rooms, the people and the prices, each on the page
// where it is changed later.
package setup

import (
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/backup"
	"coldrail/web/office"
	"coldrail/web/ui"

	"github.com/alexedwards/scs/v2"
)

// Pages serves the first screens of a new shop.
type Pages struct {
	DB       *db.DB
	Sessions *scs.SessionManager
	Now      func() time.Time
}

// openForm is what was typed on the first page; never a PIN or a password.
type openForm struct {
	Code, Name, Initials, Device string
	Shop                         db.Shop
}

// ShowOpen serves GET /setup/open, for a shop where nobody works yet.
func (p *Pages) ShowOpen(w http.ResponseWriter, r *http.Request) error {
	unmanned, err := p.DB.Unmanned(r.Context())
	if err != nil {
		return err
	}
	if !unmanned {
		http.Redirect(w, r, "/setup", http.StatusSeeOther)
		return nil
	}
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	shop.Name = ""
	return ui.Render(w, r, http.StatusOK, openPage(openForm{Code: r.FormValue("code"), Device: ui.T(r.Context(), "counter tablet"), Shop: shop}, nil))
}

// Open serves POST /setup/open: the device is let in and in the owner's hand.
func (p *Pages) Open(w http.ResponseWriter, r *http.Request) error {
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	f := openForm{Code: r.FormValue("code"), Name: r.FormValue("name"), Initials: r.FormValue("initials"), Device: r.FormValue("device"), Shop: shop}
	err = p.open(r, &f)
	if e := domain.As(err); err != nil && e.Kind == domain.Invalid {
		return ui.Render(w, r, http.StatusUnprocessableEntity, openPage(f, e))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/setup", http.StatusSeeOther)
	return nil
}

func (p *Pages) open(r *http.Request, f *openForm) error {
	if err := office.ReadShop(r, &f.Shop); err != nil {
		return err
	}
	f.Shop.Season = p.Now().In(f.Shop.Location()).Year() % 100
	device, owner, err := p.DB.OpenShop(r.Context(), db.Opening{Code: f.Code, Shop: f.Shop, Device: f.Device,
		Owner: db.NewStaff{Name: f.Name, Initials: f.Initials, PIN: r.FormValue("pin"), Password: r.FormValue("password")}}, p.Now())
	if err != nil {
		return err
	}
	if err := p.Sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	p.Sessions.Put(r.Context(), "device", device.String())
	p.Sessions.Put(r.Context(), "staff", owner.ID.String())
	return nil
}

// progress is how far the shop is set up.
type progress struct {
	Coolers, Freezers, People int
	Priced, Came              bool // there are prices; an animal came in, whenever
	Copied                    bool // backups are on
}

// rooms is whether an animal has where to hang: a freezer alone is none.
func (v progress) rooms() bool { return v.Coolers > 0 }

// Show serves GET /setup: what is done and what comes next.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	var v progress
	rooms, err := p.DB.Coolers(r.Context())
	if err != nil {
		return err
	}
	for _, room := range rooms {
		if room.Kind == "freezer" {
			v.Freezers++
		} else {
			v.Coolers++
		}
	}
	people, err := p.DB.AllStaff(r.Context(), p.Now())
	if err != nil {
		return err
	}
	lists, err := p.DB.PriceLists(r.Context())
	if err != nil {
		return err
	}
	seasons, err := p.DB.Seasons(r.Context())
	if err != nil {
		return err
	}
	copies, err := p.DB.BackupsSoFar(r.Context())
	if err != nil {
		return err
	}
	v.Copied = copies.Stands(p.Now()) != backup.Off
	v.People, v.Priced, v.Came = len(people), len(lists) > 0, len(seasons) > 0
	return ui.Render(w, r, http.StatusOK, progressPage(v))
}
