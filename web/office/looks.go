package office

import (
	"context"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"
)

// looksView is who looked at what only some work needs.
type looksView struct {
	Typed string
	Looks []db.PrivateLook
}

// ShowLooks serves GET /office/looks: each look at licence numbers, addresses and
// names of who brought and killed it.
func (p *Pages) ShowLooks(w http.ResponseWriter, r *http.Request) (err error) {
	v := looksView{Typed: strings.TrimSpace(r.FormValue("of"))}
	if v.Looks, err = p.DB.PrivateLooks(r.Context(), v.Typed); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, looksPage(v))
}

// lookedPages name what was opened.
var lookedPages = map[string]domain.Words{
	"owed":           domain.Say("the animal's lines of the register"),
	"letters":        domain.Say("its letters"),
	"slip":           domain.Say("its drop-off slip"),
	"known":          domain.Say("a person the shop knows, at drop-off"),
	"sheet":          domain.Say("the sheet of everything in the house"),
	"notices":        domain.Say("the notices to send"),
	"csv":            domain.Say("the register as a file"),
	"register-print": domain.Say("the register on paper"),
	"pieces":         domain.Say("who took a piece"),
	"record":         domain.Say("its record"),
	"tags":           domain.Say("the statement about a lost tag"),
	"reached":        domain.Say("what it may have reached"),
	"gift":           domain.Say("the sheet of meat given away"),
	"bay":            domain.Say("the license that a tag in the bay names"),
}

func lookedAt(ctx context.Context, l db.PrivateLook) string {
	said := ui.Say(ctx, lookedPages[l.Page])
	switch {
	case l.About != "":
		return ui.T(ctx, "%s, %s", said, l.About)
	case l.Person != "":
		return ui.T(ctx, "%s: %s", said, l.Person)
	}
	return said
}

func shownSaid(ctx context.Context, l db.PrivateLook) string {
	said := make([]string, len(l.Shown))
	for i, p := range l.Shown {
		said[i] = ui.Say(ctx, p.Words())
	}
	return strings.Join(said, ", ")
}
