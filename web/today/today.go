// Package today shows what needs a person now, most urgent first, each line one
// tap from its act.
package today

import (
	"context"
	"net/http"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// Pages serves the first page.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// todayView is the first page.
type todayView struct {
	Groups  []group
	Figures []figure // none while nothing is in the house
	Rooms   []db.RoomNow
	Alarms  []db.Alarm
	Copies  db.BackupsSoFar
	Call    []db.Callable
}

// group is one kind of thing that needs a person.
type group struct {
	Title string
	Lines []ui.LineView             // the page shows the first few
	Rest  int                       // more of them, that were not made into lines
	Sum   int                       // how many its lines stand for; 0: one each
	All   string                    // where the whole list is; empty: the next stand here as the first are done
	Calls map[int]domain.ShopNumber // by line: whose owner it asks to call
}

// mostLines is how many lines of a group the page shows.
const mostLines = 8

// Shown are the lines the page shows.
func (g group) Shown() []ui.LineView { return g.Lines[:min(mostLines, len(g.Lines))] }

// More is how many there are beyond those.
func (g group) More() int { return len(g.Lines) + g.Rest - len(g.Shown()) }

// Count is how many there are.
func (g group) Count() int { return max(len(g.Lines)+g.Rest, g.Sum) }

// figure is one number at the top.
type figure struct{ Value, Label, Note string }

// Show serves GET /.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	now := p.Now()
	t, err := p.DB.Today(r.Context(), now)
	if err != nil {
		return err
	}
	v := viewOf(r.Context(), t, now)
	if numbers := v.callees(); len(numbers) > 0 {
		by, err := p.DB.WhomToCall(r.Context(), numbers)
		if err != nil {
			return err
		}
		v.whom(r.Context(), by)
	}
	return ui.Render(w, r, http.StatusOK, todayPage(v))
}

// viewOf turns what the records say into the page.
func viewOf(ctx context.Context, t db.Today, now time.Time) todayView {
	v := todayView{Figures: figures(ctx, t, now), Rooms: t.Rooms, Alarms: t.Alarms, Copies: t.Copies, Call: t.Call}
	for _, g := range groups(ctx, t, now) {
		if len(g.Lines) > 0 {
			v.Groups = append(v.Groups, g)
		}
	}
	return v
}

// figures counts what the shop has.
func figures(ctx context.Context, t db.Today, now time.Time) []figure {
	if len(t.InHouse) == 0 {
		return nil
	}
	y, m, d := now.In(ui.ShopOf(ctx).Zone).Date()
	midnight := time.Date(y, m, d, 0, 0, 0, 0, ui.ShopOf(ctx).Zone)
	hanging, came, stored, boxes, ready := 0, 0, 0, 0, 0
	for _, a := range t.InHouse {
		if a.Physical.OnRail() {
			hanging++
		}
		if !a.ReceivedAt.Before(midnight) {
			came++
		}
		if a.Physical == animal.Stored || a.Physical == animal.PartReleased {
			stored, boxes = stored+1, boxes+a.Boxes
		}
	}
	for _, h := range whole(t.Hung) {
		if slices.Contains(cuttable, h.Condition()) && against(h) == nothing {
			ready++
		}
	}
	inBoxes := ""
	if boxes > 0 {
		inBoxes = ui.T(ctx, "%d boxes", boxes)
	}
	return []figure{
		{ui.T(ctx, "%d", hanging), ui.T(ctx, "Hanging"), ""},
		{ui.T(ctx, "%d", came), ui.T(ctx, "Came in today"), ""},
		{ui.T(ctx, "%d", ready), ui.T(ctx, "Ready to cut"), ui.T(ctx, "nothing against it")},
		{ui.T(ctx, "%d", stored), ui.T(ctx, "In the freezer"), inBoxes},
	}
}

// whole keeps one line for each animal, where two sides hang apart.
func whole(hung []db.Hung) []db.Hung {
	seen, kept := map[string]bool{}, make([]db.Hung, 0, len(hung))
	for _, h := range hung {
		if !seen[string(h.Number)] {
			seen[string(h.Number)] = true
			kept = append(kept, h)
		}
	}
	return kept
}
