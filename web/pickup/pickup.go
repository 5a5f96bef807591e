// Package pickup is the counter when somebody comes for their meat: find it,
// fetch the right boxes, take what is owed, hand over.
package pickup

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/plan"
	"coldrail/web/ui"
)

// Pages serves the counter's screens of pick-up.
type Pages struct {
	DB   *db.DB
	Now  func() time.Time
	Link func(db.Animal) string // the private page of the animal's owner

	ShareLink func(db.Animal, cutting.Portion) string // of the owner of a share
}

// shown is how many animals one list holds; past that one finds by number.
const shown = 100

// findView is the list of what may be fetched, or what was found.
type findView struct {
	Typed string
	Found []db.Waiting // of what was typed
	Ready []db.Waiting // when nothing was
	Now   time.Time
}

// ShowFind serves GET /pickup: find by number, name, phone or scan, and all that
// waits to be fetched. One animal found is shown at once.
func (p *Pages) ShowFind(w http.ResponseWriter, r *http.Request) error {
	v := findView{Typed: strings.TrimSpace(r.FormValue("q")), Now: p.Now()}
	var err error
	if v.Typed == "" {
		if v.Ready, err = p.DB.WaitingForPickup(r.Context(), shown); err != nil {
			return err
		}
		return ui.Render(w, r, http.StatusOK, findPage(v, nil))
	}
	v.Found, err = p.DB.FindForPickup(r.Context(), v.Typed, shown)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		return ui.Render(w, r, http.StatusUnprocessableEntity, findPage(v, wrong))
	}
	if err != nil {
		return err
	}
	if len(v.Found) == 1 {
		http.Redirect(w, r, "/pickup/"+string(v.Found[0].Number), http.StatusSeeOther)
		return nil
	}
	return ui.Render(w, r, http.StatusOK, findPage(v, nil))
}

// waitingLine is one animal of the list.
func waitingLine(ctx context.Context, w db.Waiting, now time.Time) ui.LineView {
	l := ui.LineView{Mark: ui.Tag(w.Number), Title: ownerTitle(ctx, w), Note: waitingNote(ctx, w, now), Href: "/pickup/" + string(w.Number),
		Act: ui.T(ctx, "Open")}
	if fetchable(w.Physical) && w.Boxes > 0 {
		l.Act = ui.T(ctx, "Hand over")
	}
	if w.Held() {
		l.Badge, l.Act = ui.Held(ui.T(ctx, "Held")), ui.T(ctx, "Look")
	}
	return l
}

func ownerTitle(ctx context.Context, w db.Waiting) string {
	if w.Owner == "" {
		return ui.T(ctx, "Owner not known, %s", w.Species.Words())
	}
	return ui.T(ctx, "%s, %s", ui.Named(ctx, w.Owner), w.Species.Words())
}

func waitingNote(ctx context.Context, w db.Waiting, now time.Time) string {
	var said []string
	if w.Physical == animal.Released {
		said = append(said, ui.Say(ctx, w.Physical.Words()))
	} else if !fetchable(w.Physical) {
		said = append(said, ui.T(ctx, "Not ready to fetch: it is %s", w.Physical.Words()))
	} else if w.Since != nil {
		said = append(said, waits(ctx, *w.Since, now))
	}
	if w.Boxes == 0 && fetchable(w.Physical) {
		said = append(said, ui.T(ctx, "no box here now"))
	} else if w.Boxes > 0 {
		said = append(said, ui.T(ctx, "%s: %s", ui.T(ctx, "%d boxes", w.Boxes), whereWords(ctx, w)))
	}
	if w.MoreToCome {
		said = append(said, ui.T(ctx, "more to come"))
	}
	if w.Money == animal.Quoted || w.Money == animal.DepositTaken {
		said = append(said, ui.T(ctx, "not billed yet"))
	} else if w.OwedCents > 0 {
		said = append(said, ui.T(ctx, "%s to pay", w.OwedCents.String()))
	}
	if w.LastCall != nil {
		said = append(said, ui.T(ctx, "last told %s: %s", ui.Ago(ctx, *w.LastCall, now), outcomeWords(ctx, w.Outcome)))
	}
	for i, part := range said {
		if len(part) < 25 { // "Waits 2 days", "$90.40 to pay": a line ends between two of them
			said[i] = strings.ReplaceAll(part, " ", ui.Joint)
		}
	}
	return strings.Join(said, " · ")
}

// waits says since when.
func waits(ctx context.Context, since, now time.Time) string {
	if plan.StillFreezes(since, now) {
		return ui.T(ctx, "Just boxed, it freezes")
	}
	return ui.T(ctx, "Waits %s", ui.T(ctx, "%d days", int(now.Sub(since).Hours()/24)))
}

// whereWords names each room once and its places in the order of the shelves.
func whereWords(ctx context.Context, w db.Waiting) string {
	if len(w.Spots) == 0 {
		return ui.T(ctx, "no place noted")
	}
	var said []string
	for i, spot := range w.Spots {
		if spot = besideWords(ctx, spot, w.Besides[i]); i == 0 || w.Rooms[i] != w.Rooms[i-1] {
			spot = w.Rooms[i] + " " + spot
		}
		said = append(said, spot)
	}
	return strings.Join(said, ", ")
}

// besideWords is a place, and whose boxes stand on it as well.
func besideWords(ctx context.Context, spot, beside string) string {
	if beside == "" {
		return spot
	}
	return ui.T(ctx, "%s with %s", spot, beside)
}

// fetchable reports whether meat of it may be handed over.
func fetchable(p animal.Physical) bool {
	return p == animal.Stored || p == animal.PartReleased || p == animal.Unclaimed
}
