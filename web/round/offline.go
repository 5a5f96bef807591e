package round

import (
	"cmp"
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// shiftAnswer is what a tablet keeps of a person unlocked on it.
type shiftAnswer struct {
	Token    string   `json:"token"`
	Initials string   `json:"initials"`
	Who      string   `json:"who"`
	LastsMs  int64    `json:"lasts_ms"` // not an hour: the tablet's clock may be off
	AheadMs  int64    `json:"ahead_ms"` // what that clock runs ahead by
	Pages    []string `json:"pages"`    // to be kept
}

// BeginShift serves POST /round/shift: unlocks whoever holds the tablet for
// twelve hours without a network and names the pages to keep. It is the one
// address that answers a script and not a person.
func (p *Pages) BeginShift(w http.ResponseWriter, r *http.Request) error {
	h, now := signin.Holder(r.Context()), p.Now()
	pages, err := p.keptPages(r.Context())
	if err != nil {
		return err
	}
	token, err := p.DB.BeginShift(r.Context(), h.Device, h.Staff.ID, now)
	if err != nil {
		return err
	}
	a := shiftAnswer{Token: token, Initials: h.Staff.Initials, Who: h.Staff.Name, LastsMs: db.ShiftLength.Milliseconds(), Pages: pages}
	if device, err := strconv.ParseInt(r.Header.Get("Coldrail-Device-Now"), 10, 64); err == nil {
		a.AheadMs = device - now.UnixMilli()
	}
	text, err := json.Marshal(a)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	_, _ = w.Write(text) // fails only if the tablet has gone
	return nil
}

// keptPages are the pages a tablet takes into the steel box.
func (p *Pages) keptPages(ctx context.Context) ([]string, error) {
	pages := []string{"/round", "/round/look", "/round/move", "/round/drop", "/register/now"}
	rooms, err := p.DB.Coolers(ctx)
	for _, room := range rooms {
		pages = append(pages, "/round/"+room.Name)
	}
	return pages, err
}

// Discard serves POST /round/discard: a person gives up what was kept on a tablet
// and refused, with a reason.
func (p *Pages) Discard(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	of, err := uuid.Parse(r.FormValue("of"))
	keptAt, bad := strconv.ParseInt(r.FormValue("kept_at"), 10, 64)
	if err != nil || bad != nil {
		return domain.Wrong("of", "This came in damaged. Nothing was given up.")
	}
	g := db.GivenUp{Act: of, KeptAt: time.UnixMilli(keptAt), Title: r.FormValue("title"), Said: r.FormValue("said"), Reason: r.FormValue("reason"), Fields: map[string]string{}}
	for name, values := range r.PostForm {
		if field, ok := strings.CutPrefix(name, "f-"); ok && len(values) > 0 {
			g.Fields[field] = values[0]
		}
	}
	if err := p.DB.Discard(r.Context(), act, g); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// handView is what the forms without a network offer: what hangs where, as of now.
type handView struct {
	Act     string
	Number  string
	Hung    []ui.Option // by number
	Places  []ui.Option // every place, with what hangs there
	Season  string
	Form    form
	Wrong   *domain.Error
	Species []ui.Option
}

// hand gathers what hangs where.
func (p *Pages) hand(ctx context.Context) (handView, error) {
	v := handView{Act: signin.NewAct()}
	spots, err := p.DB.HookList(ctx)
	if err != nil {
		return v, err
	}
	for _, s := range spots {
		name := s.Rail + "-" + strconv.Itoa(s.Position)
		o := ui.Option{Value: strconv.Itoa(s.ID), Label: ui.T(ctx, "%s %s, free", s.Cooler, name)}
		if s.Number != nil {
			o.Label = ui.T(ctx, "%s %s, %s by the list", s.Cooler, name, s.Number.Short())
			v.Hung = append(v.Hung, ui.Option{Value: strings.TrimSpace(string(*s.Number) + " " + s.Mark), Label: strings.TrimSpace(s.Number.Short()+" "+s.Mark) + ", " + name})
		}
		v.Places = append(v.Places, o)
	}
	slices.SortFunc(v.Hung, func(a, b ui.Option) int { return cmp.Compare(a.Value, b.Value) })
	return v, nil
}

// ShowMoveAny serves GET /round/move: any carcass to any place, from the list as
// it is kept.
func (p *Pages) ShowMoveAny(w http.ResponseWriter, r *http.Request) error {
	v, err := p.hand(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, moveAnyPage(v))
}

// ShowDrop serves GET /round/drop: the fast drop-off, with the number of the tag
// in hand.
func (p *Pages) ShowDrop(w http.ResponseWriter, r *http.Request) error {
	v, err := p.hand(r.Context())
	if err != nil {
		return err
	}
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	v.Season = shop.HomeState
	return ui.Render(w, r, http.StatusOK, dropAnyPage(v))
}

// ShowLookAny serves GET /round/look: a look at any carcass.
func (p *Pages) ShowLookAny(w http.ResponseWriter, r *http.Request) error {
	v, err := p.hand(r.Context())
	if err != nil {
		return err
	}
	v.Form = form{"number": {r.FormValue("number")}}
	return ui.Render(w, r, http.StatusOK, lookAnyPage(v))
}

// LookAny serves POST /round/look: one look at the carcass chosen on the page.
func (p *Pages) LookAny(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	number, _, _ := strings.Cut(r.FormValue("number"), " ")
	f := form(r.PostForm)
	l, made, err := readLook(r.Context(), f, act.At)
	if err == nil {
		l.Photo, err = photo.Read(r, "photo-one")
	}
	switch {
	case err == nil && !made:
		err = domain.Wrong("look", "Say how it feels and what it smells of.")
	case err == nil:
		err = p.DB.Look(r.Context(), act, domain.ShopNumber(number), l)
	}
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v, viewErr := p.hand(r.Context())
		if viewErr != nil {
			return viewErr
		}
		v.Act, v.Form, v.Wrong = act.ID.String(), f, e
		return ui.Render(w, r, http.StatusUnprocessableEntity, lookAnyPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/animals/"+number+"/look", http.StatusSeeOther)
	return nil
}

// answers are the answers from which something follows by themselves, in the
// words of the domain, for a tablet to say at once.
func answers(ctx context.Context) map[string]string {
	said := map[string]string{}
	for _, s := range round.Smells {
		if words := follows(ctx, round.Look{Smell: s, Surface: round.SurfaceDry}); words != "" {
			said["smell="+string(s)] = words
		}
	}
	for _, s := range round.Surfaces {
		if words := follows(ctx, round.Look{Smell: round.SmellClean, Surface: s}); words != "" {
			said["surface="+string(s)] = words
		}
	}
	for _, c := range round.Colours {
		if l := (round.Look{Smell: round.SmellClean, Surface: round.SurfaceDry, Mould: []round.Mould{{Site: round.SiteMeat, Length: 1, Colour: c}}}); l.Stops() {
			said["colour-0="+string(c)] = follows(ctx, l)
		}
	}
	return said
}

// airAnswer is what is said of the room's air above a number in the shop's unit.
type airAnswer struct{ Above, Words string }

// airAnswers are the domain's words for warm air, the lowest limit first.
func airAnswers(ctx context.Context, freezer bool) (list []airAnswer) {
	judge := round.JudgeAir
	if freezer {
		judge = round.JudgeFreezerAir
	}
	for _, edge := range round.AirEdges(freezer) {
		_, do := judge(edge + 0.05)
		list = append(list, airAnswer{strconv.FormatFloat(ui.Degrees(ctx, edge), 'f', 2, 64), ui.Say(ctx, do)})
	}
	return list
}

func follows(ctx context.Context, l round.Look) string {
	var said []string
	for _, w := range l.Follows(domain.Whitetail, domain.Whole) {
		said = append(said, ui.Say(ctx, w))
	}
	return strings.Join(said, " ")
}

// ShowWithout serves GET /without: what a tablet shows for a page it has not kept.
func ShowWithout(w http.ResponseWriter, r *http.Request) error {
	return ui.Render(w, r, http.StatusOK, withoutPage())
}

// ShowPhoto serves GET /photos/{id}: a picture never changes, and only the shop's
// own people see it.
func (p *Pages) ShowPhoto(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("That picture is not in the records.")
	}
	picture, err := p.DB.Photo(r.Context(), id)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	_, _ = w.Write(picture) // fails only if the visitor has gone
	return nil
}
