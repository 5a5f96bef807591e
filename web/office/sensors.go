package office

import (
	"context"
	"net/http"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// sensorsView is the page of the sensors that send their readings. Token is shown
// once, right after it was made.
type sensorsView struct {
	Sensors                    []db.PostingSensor
	Rooms                      []ui.Option
	Act                        string
	Name, Room, Measures, Step string // as typed
	Made, Token                string
}

// ShowSensors serves GET /office/sensors.
func (p *Pages) ShowSensors(w http.ResponseWriter, r *http.Request) error {
	v, err := p.sensors(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, sensorsPage(v, nil))
}

// LetSensorIn serves POST /office/sensors: the token is on the page that answers
// and nowhere else, so this one is not a redirect.
func (p *Pages) LetSensorIn(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	token, err := p.letIn(r, act)
	wrong := domain.As(err)
	if err != nil && wrong.Kind != domain.Invalid {
		return err
	}
	v, errRead := p.sensors(r.Context())
	if errRead != nil {
		return errRead
	}
	if err != nil {
		v.Name, v.Room, v.Measures, v.Step = r.FormValue("sensor"), r.FormValue("room"), r.FormValue("measures"), r.FormValue("step")
		return ui.Render(w, r, http.StatusUnprocessableEntity, sensorsPage(v, wrong))
	}
	v.Made, v.Token = r.FormValue("sensor"), token
	return ui.Render(w, r, http.StatusOK, sensorsPage(v, nil))
}

func (p *Pages) letIn(r *http.Request, act db.Act) (token string, err error) {
	if r.FormValue("room") == "" {
		return "", domain.Wrong("room", "Choose the room the sensor stands in.")
	}
	room, err := p.DB.Cooler(r.Context(), r.FormValue("room"))
	if err != nil {
		return "", err
	}
	step, _ := strconv.ParseFloat(r.FormValue("step"), 64) // no number: the verb refuses 0
	return p.DB.LetSensorIn(r.Context(), act, db.Sensor{CoolerID: room.ID, Name: r.FormValue("sensor"), Measures: r.FormValue("measures"), Resolution: step})
}

// TakeSensorOut serves POST /office/sensors/{id}/out.
func (p *Pages) TakeSensorOut(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("There is no such sensor.")
	}
	if err := p.DB.TakeSensorOut(r.Context(), act, id); err != nil {
		return err
	}
	http.Redirect(w, r, "/office/sensors", http.StatusSeeOther)
	return nil
}

func (p *Pages) sensors(ctx context.Context) (v sensorsView, err error) {
	v.Act, v.Measures, v.Step = signin.NewAct(), "air", "0.1"
	if v.Sensors, err = p.DB.PostingSensors(ctx); err != nil {
		return v, err
	}
	rooms, err := p.DB.Coolers(ctx)
	for _, room := range rooms {
		v.Rooms = append(v.Rooms, ui.Option{Value: room.Name, Label: room.Label})
	}
	return v, err
}

func measuresOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "air", Label: ui.T(ctx, "The air")}, {Value: "meat", Label: ui.T(ctx, "The meat")}}
}

func sensorSaid(ctx context.Context, s db.PostingSensor) string {
	switch {
	case s.RevokedAt != nil:
		return s.Room + ", " + ui.T(ctx, "taken out %s", *s.RevokedAt)
	case s.LastAt == nil:
		return s.Room + ", " + ui.T(ctx, "has sent nothing yet")
	}
	return s.Room + ", " + ui.T(ctx, "last reading %s", *s.LastAt)
}

// outAct is the act of a sensor's own button, the same however often the page is
// drawn.
func outAct(s db.PostingSensor) string {
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte("take sensor out "+s.TokenID.String())).String()
}
