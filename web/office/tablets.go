package office

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/web/ui"
)

// tabletsView is what takes part, and what was given up on it.
type tabletsView struct {
	Devices []db.Device
	GivenUp []db.DiscardedRow
}

// ShowTablets serves GET /office/tablets.
func (p *Pages) ShowTablets(w http.ResponseWriter, r *http.Request) (err error) {
	var v tabletsView
	if v.Devices, err = p.DB.Devices(r.Context()); err != nil {
		return err
	}
	if v.GivenUp, err = p.DB.Discarded(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, tabletsPage(v))
}

// clockNote says what a device's clock was off by when it was last measured.
func clockNote(ctx context.Context, d db.Device) string {
	if d.AheadMs == nil {
		return ui.T(ctx, "Its clock has not been measured yet.")
	}
	off := time.Duration(*d.AheadMs) * time.Millisecond
	switch {
	case off.Abs() < time.Minute:
		return ui.T(ctx, "Its clock was right on %s.", ui.Moment(ctx, *d.MeasuredAt))
	case off > 0:
		return ui.T(ctx, "Its clock was %s fast on %s.", ui.Span(ctx, off), ui.Moment(ctx, *d.MeasuredAt))
	}
	return ui.T(ctx, "Its clock was %s slow on %s.", ui.Span(ctx, -off), ui.Moment(ctx, *d.MeasuredAt))
}
