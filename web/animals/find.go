package animals

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain/ageing"
	"coldrail/domain/hold"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// findView is what the find box brought.
type findView struct {
	Typed    string
	Searched []string // in words: what was looked for
	Misread  bool
	Hits     []hit
	Logged   string // the animal whose call was just written down
}

// hit is one animal found.
type hit struct {
	db.Found
	Verdict *ageing.Verdict
	Aloud   string
	Act     string
}

// Back is where the tap that logs a call returns to.
func (v findView) Back() string { return "/find?q=" + url.QueryEscape(v.Typed) }

// Find serves GET /find: one animal by whatever was typed or scanned opens its
// record, several are listed.
func (p *Pages) Find(w http.ResponseWriter, r *http.Request) error {
	typed := strings.Join(strings.Fields(r.FormValue("q")), " ")
	ways := db.WaysToFind(typed)
	found, err := p.DB.Find(r.Context(), ways)
	if err != nil {
		return err
	}
	if len(found) == 1 {
		http.Redirect(w, r, "/animals/"+string(found[0].Number), http.StatusSeeOther)
		return nil
	}
	v := findView{Typed: typed, Logged: r.FormValue("logged"), Searched: searched(r.Context(), ways), Misread: ways.Misread}
	if v.Hits, err = p.hits(r.Context(), found, p.Now()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, findPage(v))
}

// hits judges what hangs and words each animal for the phone.
func (p *Pages) hits(ctx context.Context, found []db.Found, now time.Time) ([]hit, error) {
	hits := make([]hit, len(found))
	for i, f := range found {
		hits[i] = hit{Found: f, Act: signin.NewAct()}
		if f.Physical.OnRail() && f.Place != "" {
			v, _, err := p.DB.VerdictOf(ctx, f.ID, f.Revision, now)
			if err != nil {
				return nil, err
			}
			hits[i].Verdict = v
		}
		hits[i].Aloud = aloud(ctx, f, hits[i].Verdict, now)
	}
	return hits, nil
}

// searched says in words what was looked for.
func searched(ctx context.Context, w db.Ways) []string {
	var said []string
	for _, way := range []struct {
		is   bool
		said string
	}{
		{w.Number != "", ui.T(ctx, "the tag %s", string(w.Number))},
		{w.Short != "", ui.T(ctx, "a tag or the end of a phone number %s", w.Short)},
		{w.Phone != "", ui.T(ctx, "the phone number %s", w.Phone)},
		{w.Name != "", ui.T(ctx, "a name that begins with %s", w.Name)},
		{w.Official != "", ui.T(ctx, "the state's tag %s", w.Official)},
	} {
		if way.is {
			said = append(said, way.said)
		}
	}
	return said
}

// heldFor names the holds of an animal.
func heldFor(ctx context.Context, kinds []string) []string {
	said := make([]string, len(kinds))
	for i, k := range kinds {
		said[i] = ui.T(ctx, "held: %s", hold.Kind(k).Words())
	}
	return said
}

// whereSaid is where an animal is, in a few words.
func whereSaid(ctx context.Context, f db.Found) string {
	switch {
	case f.Place != "":
		return f.Place
	case f.Boxes > 0:
		return ui.T(ctx, "freezer, %d boxes", f.Boxes)
	}
	return ui.Say(ctx, f.Physical.Words())
}

// kindFound is kind and owner of an animal found.
func kindFound(ctx context.Context, f db.Found) string {
	kind := ui.Capital(ui.Say(ctx, f.Species.Words()))
	if c := classSaid(ctx, f.Class); c != "" {
		kind += ", " + c
	}
	if f.Owner != "" {
		return ui.Named(ctx, f.Owner) + " · " + kind
	}
	return kind
}

// mostShown is how many animals one search lists.
const mostShown = 50

func findTitle(ctx context.Context, v findView) string {
	if len(v.Hits) == 0 {
		return ui.T(ctx, "Find")
	}
	return ui.T(ctx, "%d animals", len(v.Hits))
}
