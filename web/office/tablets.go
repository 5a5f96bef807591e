package office

import (
	"context"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// tabletsView is what takes part, and what was given up on it.
type tabletsView struct {
	Here    uuid.UUID // the device in hand
	Devices []db.Device
	GivenUp []db.DiscardedRow
}

// ShowTablets serves GET /office/tablets.
func (p *Pages) ShowTablets(w http.ResponseWriter, r *http.Request) (err error) {
	v := tabletsView{Here: signin.Holder(r.Context()).Device}
	if v.Devices, err = p.DB.Devices(r.Context()); err != nil {
		return err
	}
	if v.GivenUp, err = p.DB.Discarded(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, tabletsPage(v))
}

// letInSaid tells devices of one name apart: when each was let in, and by whom.
func letInSaid(ctx context.Context, d db.Device) string {
	return ui.T(ctx, "Let in %s, %s, by %s.", ui.Date(ctx, d.EnrolledAt), ui.Clock(ctx, d.EnrolledAt), d.By)
}

// clockNote says when a device was last in use, which is when its clock was measured,
// and what that was off by.
func clockNote(ctx context.Context, d db.Device) string {
	if d.AheadMs == nil {
		return ui.T(ctx, "Not used since then, or its clock was never measured.")
	}
	off := time.Duration(*d.AheadMs) * time.Millisecond
	switch {
	case off.Abs() < time.Minute:
		return ui.T(ctx, "Last used %s, its clock right.", ui.Moment(ctx, *d.MeasuredAt))
	case off > 0:
		return ui.T(ctx, "Last used %s, its clock %s fast.", ui.Moment(ctx, *d.MeasuredAt), ui.Span(ctx, off))
	}
	return ui.T(ctx, "Last used %s, its clock %s slow.", ui.Moment(ctx, *d.MeasuredAt), ui.Span(ctx, -off))
}

// TurnAway serves POST /office/tablets/{id}/away.
func (p *Pages) TurnAway(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such device.")
	}
	if err := p.DB.TurnAway(r.Context(), act, id); err != nil {
		return err
	}
	http.Redirect(w, r, "/office/tablets", http.StatusSeeOther)
	return nil
}

// awayAct is the act of a device's own button, the same however often the page is
// drawn.
func awayAct(d db.Device) string {
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte("turn away "+d.ID.String())).String()
}
