package signin

import (
	"context"
	"net/http"
	"strings"

	"coldrail/domain"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// ShowWho serves GET /who: a tap on one's own name takes the device.
func (p *Pages) ShowWho(w http.ResponseWriter, r *http.Request) error {
	staff, err := p.DB.AllStaff(r.Context(), p.Now())
	if err != nil {
		return err
	}
	called := map[string]int{}
	for _, s := range staff {
		called[s.Name]++
	}
	names := make([]ui.Option, len(staff))
	for i, s := range staff {
		names[i] = ui.Option{Value: s.ID.String(), Label: s.Name, Note: ui.RoleNames(r.Context(), s.Roles)}
		if called[s.Name] > 1 { // what they sign with tells two of one name apart
			names[i].Note = s.Initials + " · " + names[i].Note
		}
	}
	return ui.Render(w, r, http.StatusOK, whoView(names, here(r.FormValue("next")), Holder(r.Context()).Staff.Name))
}

// reads reports whether the page is in this language.
func reads(ctx context.Context, language ui.Option) bool {
	return ui.ShopOf(ctx).Lang.String() == language.Value
}

// Take serves POST /who: from now on this person holds the device.
func (p *Pages) Take(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(r.FormValue("staff"))
	if err != nil {
		return domain.Wrong("staff", "Tap a name.")
	}
	h, _, err := p.DB.HolderOf(r.Context(), Holder(r.Context()).Device, id, p.Now())
	if err != nil {
		return err
	}
	if h.Staff.ID == uuid.Nil {
		return domain.Missing("That person does not work here today.")
	}
	p.Sessions.Put(r.Context(), "staff", id.String())
	http.Redirect(w, r, here(r.FormValue("next")), http.StatusSeeOther)
	return nil
}

// ReadIn serves POST /who/language: whoever holds the device reads in another
// language from now on, on every device.
func (p *Pages) ReadIn(w http.ResponseWriter, r *http.Request) error {
	act, err := Act(r, p.Now())
	if err != nil {
		return err
	}
	if err := p.DB.ReadIn(r.Context(), act, r.FormValue("language")); err != nil {
		return err
	}
	http.Redirect(w, r, here(r.FormValue("next")), http.StatusSeeOther)
	return nil
}

// here keeps the way back inside the site. Browsers drop tabs and line ends from an
// address and take \ for / (WHATWG URL Standard, section 4.4), so that nothing with
// such a sign is an address of ours.
func here(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsFunc(next, func(r rune) bool { return r <= ' ' || r == '\\' || r == 0x7f }) {
		return "/"
	}
	return next
}
