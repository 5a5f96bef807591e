package today

import (
	"context"
	"maps"
	"slices"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/ui"
)

// call adds a line that asks for a call to the owner of an animal.
func (g *group) call(n domain.ShopNumber, l ui.LineView) {
	if len(g.Lines) < mostLines {
		if g.Calls == nil {
			g.Calls = map[int]domain.ShopNumber{}
		}
		g.Calls[len(g.Lines)] = n
	}
	g.Lines = append(g.Lines, l)
}

// asked are the animals about whose owner the groups ask for a call on the page.
func asked(groups ...group) map[domain.ShopNumber]bool {
	all := map[domain.ShopNumber]bool{}
	for _, g := range groups {
		for _, n := range g.Calls {
			all[n] = true
		}
	}
	return all
}

// callees are the animals whose owner has to be known for the page.
func (v todayView) callees() []domain.ShopNumber {
	return slices.Sorted(maps.Keys(asked(v.Groups...)))
}

// whom writes on each line that asks for a call who is called. An animal of several
// owners is left to its record, which says whose share it is about.
func (v todayView) whom(ctx context.Context, by map[domain.ShopNumber]db.Callee) {
	for _, g := range v.Groups {
		for i, n := range g.Calls {
			c, known := by[n]
			if !known || c.Owners > 1 {
				continue
			}
			l := &g.Lines[i]
			if l.Phone = c.Phone; c.Name != "" {
				l.Title += ", " + c.Name
			}
			if c.CallFirst && l.Badge == nil {
				l.Badge = ui.Held(ui.T(ctx, "the lead speaks first"))
			}
		}
	}
}
