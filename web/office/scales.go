package office

import (
	"context"
	"net/http"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// scalesView is the page of the scales that send their weights. Token is shown
// once, right after it was made.
type scalesView struct {
	Scales            []db.Scale
	Act, Name, Device string
	Made, Token       string
	Here              string // this tablet's id
}

// ShowScales serves GET /office/scales.
func (p *Pages) ShowScales(w http.ResponseWriter, r *http.Request) error {
	v, err := p.scales(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, scalesPage(v, nil))
}

// MakeScale serves POST /office/scales: the token is on the page that answers and
// nowhere else, so this one is not a redirect.
func (p *Pages) MakeScale(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	name := r.FormValue("scale")
	device, _ := uuid.Parse(r.FormValue("beside")) // no id: any tablet
	token, err := p.DB.MakeScale(r.Context(), act, name, device)
	wrong := domain.As(err)
	if err != nil && wrong.Kind != domain.Invalid {
		return err
	}
	v, errRead := p.scales(r.Context())
	if errRead != nil {
		return errRead
	}
	if err != nil {
		v.Name, v.Device = name, r.FormValue("beside")
		return ui.Render(w, r, http.StatusUnprocessableEntity, scalesPage(v, wrong))
	}
	v.Made, v.Token = name, token
	return ui.Render(w, r, http.StatusOK, scalesPage(v, nil))
}

// RevokeScale serves POST /office/scales/{id}/revoke.
func (p *Pages) RevokeScale(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such scale.")
	}
	if err := p.DB.RevokeScale(r.Context(), act, id); err != nil {
		return err
	}
	http.Redirect(w, r, "/office/scales", http.StatusSeeOther)
	return nil
}

func (p *Pages) scales(ctx context.Context) (v scalesView, err error) {
	v.Act, v.Here = signin.NewAct(), signin.Holder(ctx).Device.String()
	v.Scales, err = p.DB.Scales(ctx)
	return v, err
}

func besideOptions(ctx context.Context, here string) []ui.Option {
	return []ui.Option{{Value: "any", Label: ui.T(ctx, "Any tablet"), Note: ui.T(ctx, "one scale in the shop")}, {Value: here, Label: ui.T(ctx, "This tablet"), Note: ui.T(ctx, "it stands beside it")}}
}

func scaleSaid(ctx context.Context, s db.Scale) string {
	said := ui.T(ctx, "beside any tablet")
	if s.Device != "" {
		said = ui.T(ctx, "beside %s", s.Device)
	}
	switch {
	case s.RevokedAt != nil:
		return ui.T(ctx, "Taken out %s", *s.RevokedAt)
	case s.LastAt == nil:
		return said + ", " + ui.T(ctx, "has sent nothing yet")
	}
	return said + ", " + ui.T(ctx, "last sent %s", *s.LastAt)
}

// revokeAct is the act of a scale's own button, the same however often the page
// is drawn.
func revokeAct(s db.Scale) string {
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte("revoke scale "+s.ID.String())).String()
}
