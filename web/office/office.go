// Package office is the owner's desk: the register, and how the shop is set up: who
// works here, the rooms and rails, how each kind hangs, and what the work costs.
package office

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// Pages serves the owner's screens.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// room is a cooler with its rails.
type room struct {
	db.Cooler
	Rails []db.Rail
}

type officeView struct {
	Owner    bool // the lead sees only the doors that are theirs
	Shop     db.Shop
	Register registerView
}

// Show serves GET /office.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r.Context(), r.FormValue("check") == "register")
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, officePage(v))
}

func (p *Pages) view(ctx context.Context, check bool) (v officeView, err error) {
	v.Owner = signin.Holder(ctx).Staff.Has("owner")
	if v.Shop, err = p.DB.Shop(ctx); err != nil || !v.Owner {
		return v, err
	}
	v.Register, err = p.register(ctx, check)
	return v, err
}

// setUp is the page above rooms and people until the first animal has come in: whoever
// sets the shop up goes on from there.
func (p *Pages) setUp(ctx context.Context) (*ui.Up, error) {
	if years, err := p.DB.Seasons(ctx); err != nil || len(years) > 0 {
		return nil, err
	}
	return &ui.Up{Path: "/setup", Name: ui.T(ctx, "Set the shop up")}, nil
}

func (p *Pages) rooms(ctx context.Context) ([]room, error) {
	coolers, err := p.DB.Coolers(ctx)
	if err != nil {
		return nil, err
	}
	rails, err := p.DB.Rails(ctx)
	if err != nil {
		return nil, err
	}
	rooms := make([]room, len(coolers))
	for i, c := range coolers {
		rooms[i].Cooler = c
		for _, rail := range rails {
			if rail.CoolerID == c.ID {
				rooms[i].Rails = append(rooms[i].Rails, rail)
			}
		}
	}
	return rooms, nil
}

// days writes a ceiling without needless decimals.
func days(ctx context.Context, d float64) string { return ui.T(ctx, "%d days", int(d)) }

// Basis says what a price is counted by.
func Basis(ctx context.Context, code string) string {
	switch code {
	case "animal":
		return ui.T(ctx, "an animal")
	case "lb-hanging":
		return ui.T(ctx, "a pound hanging")
	case "lb-finished":
		return ui.T(ctx, "a pound finished")
	case "at-least":
		return ui.T(ctx, "the least for an animal")
	}
	return ui.T(ctx, "each")
}

// railKind says what may hang on a rail.
func railKind(ctx context.Context, kind string) string {
	switch kind {
	case "bare":
		return ui.T(ctx, "bare carcasses")
	case "hide-on":
		return ui.T(ctx, "hide on")
	case "livestock":
		return ui.T(ctx, "livestock")
	case "hold":
		return ui.T(ctx, "held animals")
	}
	return ui.T(ctx, "shelf")
}
