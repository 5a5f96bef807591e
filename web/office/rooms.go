package office

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	domainrail "coldrail/domain/rail"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// roomsView is the rooms there are and the form that builds one more.
type roomsView struct {
	Up    *ui.Up
	Rooms []room
	Form  RoomForm
	In    string // the room whose rails were refused; empty: the new room
	Rails string // as typed for it
	Act   string
}

// RoomForm is what an owner types of a room; the first set-up asks the same.
type RoomForm struct{ Label, Kind, Rails, Length, Width, Height, Panel, Fans, FanW, Outside string }

// NewRoomForm is an empty form with what most rooms have.
func NewRoomForm(kind string) RoomForm {
	return RoomForm{Kind: kind, Panel: "polyurethane", Fans: "2", FanW: "240"}
}

// TypedRoom is the form as it came.
func TypedRoom(r *http.Request) RoomForm {
	get := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	return RoomForm{Label: get("label"), Kind: get("kind"), Rails: get("rails"), Length: get("length"), Width: get("width"),
		Height: get("height"), Panel: get("panel"), Fans: get("fans"), FanW: get("fan_w"), Outside: get("outside")}
}

// Read makes the room and its rails of what was typed. Its name in addresses comes
// from what it is called.
func (f RoomForm) Read(ctx context.Context) (c db.Cooler, rails []db.Rail, err error) {
	c = db.Cooler{Name: addressName(f.Label), Label: f.Label, Kind: f.Kind, Panel: f.Panel}
	if c.Name == "" {
		return c, nil, domain.Wrong("label", "Say what the room is called, such as Main cooler.")
	}
	for _, d := range []struct {
		field, typed string
		into         *domain.Metre
	}{{"length", f.Length, &c.LengthM}, {"width", f.Width, &c.WidthM}, {"height", f.Height, &c.HeightM}} {
		if *d.into, err = ui.ReadDistance(ctx, d.field, d.typed); err != nil {
			return c, nil, err
		}
	}
	if c.OutsideC, err = ui.ReadTemp(ctx, "outside", f.Outside); err != nil {
		return c, nil, err
	}
	if c.Fans, err = strconv.Atoi(f.Fans); err != nil {
		return c, nil, domain.Wrong("fans", "Count its fans.")
	}
	if c.FanW, err = strconv.ParseFloat(f.FanW, 64); err != nil {
		return c, nil, domain.Wrong("fan_w", "Give what its fans draw together, in watts: it stands on their plates.")
	}
	builds, err := domainrail.ReadBuild("rails", f.Rails)
	return c, db.BuiltRails(builds, nil), err
}

// addressName is what stands in the address of a room called label: "main-cooler".
func addressName(label string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r == ' ' || r == '-':
			return '-'
		}
		return -1
	}, strings.ToLower(label))
	return strings.Trim(name[:min(len(name), 30)], "-")
}

// ShowRooms serves GET /office/rooms.
func (p *Pages) ShowRooms(w http.ResponseWriter, r *http.Request) error {
	return p.roomsAgain(w, r, http.StatusOK, roomsView{Act: signin.NewAct(), Form: NewRoomForm("cooler")}, nil)
}

// BuildRoom serves POST /office/rooms.
func (p *Pages) BuildRoom(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f := TypedRoom(r)
	c, rails, err := f.Read(r.Context())
	if err == nil {
		err = p.DB.BuildRoom(r.Context(), act, c, rails)
	}
	return p.roomsDone(w, r, roomsView{Act: act.ID.String(), Form: f}, err)
}

// MoreRails serves POST /office/rooms/{name}/rails.
func (p *Pages) MoreRails(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := roomsView{Act: act.ID.String(), Form: NewRoomForm("cooler"), In: chi.URLParam(r, "name"), Rails: r.FormValue("rails")}
	builds, err := domainrail.ReadBuild("rails", v.Rails)
	if err == nil {
		err = p.DB.HangMoreRails(r.Context(), act, v.In, builds)
	}
	return p.roomsDone(w, r, v, err)
}

func (p *Pages) roomsDone(w http.ResponseWriter, r *http.Request, v roomsView, err error) error {
	if e := domain.As(err); err != nil && e.Kind == domain.Invalid {
		return p.roomsAgain(w, r, http.StatusUnprocessableEntity, v, e)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/rooms", http.StatusSeeOther)
	return nil
}

func (p *Pages) roomsAgain(w http.ResponseWriter, r *http.Request, status int, v roomsView, wrong *domain.Error) (err error) {
	if v.Rooms, err = p.rooms(r.Context()); err != nil {
		return err
	}
	if v.Up, err = p.setUp(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, status, roomsPage(v, wrong))
}

// watts is what a room's fans draw.
func watts(ctx context.Context, c db.Cooler) string {
	said := strconv.Itoa(int(c.FanW)) + ui.Joint + "W"
	if c.Fans > 1 {
		return ui.T(ctx, "%s together", said)
	}
	return said
}

func kindOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "cooler", Label: ui.T(ctx, "Cooler")}, {Value: "freezer", Label: ui.T(ctx, "Freezer")}}
}

func panelOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "polyurethane", Label: ui.T(ctx, "Yellow or brown foam"), Note: ui.T(ctx, "polyurethane")}, {Value: "polystyrene", Label: ui.T(ctx, "White beads"), Note: ui.T(ctx, "polystyrene")}}
}

// wrongIn is the refusal, for the form of that room only.
func (v roomsView) wrongIn(room string, wrong *domain.Error) *domain.Error {
	if v.In != room {
		return nil
	}
	return wrong
}

func (v roomsView) typed(room string) string {
	if v.In != room {
		return ""
	}
	return v.Rails
}
