package office

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"
)

// looksView is who looked at what only some work needs.
type looksView struct {
	Typed string
	Looks []seenTimes
	Read  int // as many as were read, before those alike became one
}

// seenTimes is one look, and how often the same was opened within its minute.
type seenTimes struct {
	db.PrivateLook
	Times int
}

// counted makes one line of looks that differ in nothing but their second.
func counted(looks []db.PrivateLook) (list []seenTimes) {
	for _, l := range looks {
		if n := len(list) - 1; n >= 0 && alike(list[n].PrivateLook, l) {
			list[n].Times++
			continue
		}
		list = append(list, seenTimes{l, 1})
	}
	return list
}

func alike(a, b db.PrivateLook) bool {
	return a.At.Truncate(time.Minute).Equal(b.At.Truncate(time.Minute)) && a.By == b.By && a.Device == b.Device && a.Number == b.Number &&
		a.Person == b.Person && a.Page == b.Page && a.About == b.About && slices.Equal(a.Shown, b.Shown)
}

// ShowLooks serves GET /office/looks: each look at licence numbers, addresses and
// names of who brought and killed it.
func (p *Pages) ShowLooks(w http.ResponseWriter, r *http.Request) error {
	v := looksView{Typed: strings.TrimSpace(r.FormValue("of"))}
	looks, err := p.DB.PrivateLooks(r.Context(), v.Typed)
	if err != nil {
		return err
	}
	v.Looks, v.Read = counted(looks), len(looks)
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
		return ui.T(ctx, "%s, %s", said, aboutDays(ctx, l.About))
	case l.Person != "":
		return ui.T(ctx, "%s: %s", said, l.Person)
	}
	return said
}

// aboutDays writes the stretch a register was opened for, kept as two dates, as days;
// anything else stays as it is.
func aboutDays(ctx context.Context, about string) string {
	from, until, _ := strings.Cut(about, " – ")
	first, errFirst := time.Parse(time.DateOnly, from)
	last, errLast := time.Parse(time.DateOnly, until)
	if errFirst != nil || errLast != nil {
		return about
	}
	return ui.T(ctx, "%s to %s", ui.Date(ctx, ui.Calendar(ctx, first)), ui.Date(ctx, ui.Calendar(ctx, last)))
}

func shownSaid(ctx context.Context, l db.PrivateLook) string {
	said := make([]string, len(l.Shown))
	for i, p := range l.Shown {
		said[i] = ui.Say(ctx, p.Words())
	}
	return strings.Join(said, ", ")
}
