package round

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// paperView is a round typed in from its sheet.
type paperView struct {
	walkView
	Staff []ui.Option
}

// paperRows is how many looks a sheet can bring in; more are looks of their own.
const paperRows = 6

// ShowPaper serves GET /round/{room}/paper.
func (p *Pages) ShowPaper(w http.ResponseWriter, r *http.Request) error {
	v, err := p.paper(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	v.Form = form{"act": {signin.NewAct()}}
	return ui.Render(w, r, http.StatusOK, paperPage(v))
}

// EnterPaper serves POST /round/{room}/paper.
func (p *Pages) EnterPaper(w http.ResponseWriter, r *http.Request) error {
	v, err := p.paper(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v.Form, v.At = form(r.PostForm), "room" // its items stand as on the walk
	walked, err := v.read(r.Context(), act)
	if err == nil {
		walked.Sheet, err = photo.Read(r, "photo-sheet")
	}
	if err == nil {
		err = p.DB.SaveRound(r.Context(), act, walked)
	}
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.Wrong = e
		return ui.Render(w, r, http.StatusUnprocessableEntity, paperPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/round/walked/"+act.ID.String(), http.StatusSeeOther)
	return nil
}

// Sheet serves GET /round/{room}/sheet: a blank sheet for a round on paper.
func (p *Pages) Sheet(w http.ResponseWriter, r *http.Request) error {
	v, err := p.paperWalk(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, sheetPage(v))
}

// paperWalk is the walk as paper asks it: every item, for nobody knows on which
// day a blank sheet is used, and no carcass named as the oldest or newest.
func (p *Pages) paperWalk(ctx context.Context, name string) (walkView, error) {
	v, err := p.walk(ctx, name)
	v.OnPaper, v.Items = true, items(v.Room.Kind == "freezer", true)
	v.Oldest, v.Newest = db.HungHere{}, db.HungHere{}
	return v, err
}

func (p *Pages) paper(ctx context.Context, name string) (v paperView, err error) {
	if v.walkView, err = p.paperWalk(ctx, name); err != nil {
		return v, err
	}
	staff, err := p.DB.AllStaff(ctx, v.Now)
	for _, s := range staff {
		v.Staff = append(v.Staff, ui.Option{Value: s.ID.String(), Label: s.Name})
	}
	return v, err
}

// read turns the form into the round that was walked on paper.
func (v paperView) read(ctx context.Context, act db.Act) (db.Round, error) {
	f := v.Form
	room, err := v.readRoom(ctx, f)
	if err != nil {
		return db.Round{}, err
	}
	room.Full = len(room.Right) > 0 // once a day; what the sheet leaves open is not asked
	r := db.Round{Cooler: v.Room.Name, OnPaper: true, RoomCheck: room}
	if r.WalkedTo, err = ui.ReadWhen(ctx, "written", f.get("written")); err != nil {
		return r, err
	}
	r.WalkedFrom = r.WalkedTo
	if r.By, err = uuid.Parse(f.get("walker")); err != nil {
		return r, domain.Wrong("walker", "Say who walked the round.")
	}
	for _, rail := range v.Rails {
		n, err := readCount("count-"+itoa(rail.ID), f.get("count-"+itoa(rail.ID)))
		if err != nil {
			return r, err
		}
		r.Counts = append(r.Counts, db.RailCount{Rail: rail.ID, Counted: n})
	}
	return r, v.readLooks(act, &r)
}

// readLooks reads the carcasses that the sheet says something of.
func (v paperView) readLooks(act db.Act, r *db.Round) error {
	for i := range paperRows {
		n := strconv.Itoa(i)
		number := domain.ShopNumber(v.Form.get("number-" + n))
		if number == "" {
			continue
		}
		l := db.Look{ID: uuid.NewSHA1(act.ID, []byte(string(number)+n)), Number: number, Note: v.Form.get("note-" + n)}
		l.Look = round.Look{At: r.WalkedTo, Smell: round.Smell(v.Form.get("smell-" + n)), Surface: round.Surface(v.Form.get("surface-" + n))}
		if err := l.Check(); err != nil {
			e := domain.As(err)
			return &domain.Error{Kind: e.Kind, At: e.At + "-" + n, Msg: e.Msg}
		}
		r.Looks = append(r.Looks, l)
	}
	return nil
}

// everyone is everything that hangs in the room, to choose from.
func (v paperView) everyone() []ui.Option {
	var list []ui.Option
	for _, rail := range v.Rails {
		for _, h := range rail.Hung {
			list = append(list, ui.Option{Value: string(h.Number), Label: place(h) + "  " + h.Number.Short()})
		}
	}
	return list
}

// saysOfOne reports a form in which something stands about a single carcass.
func (v paperView) saysOfOne() bool {
	for i := range paperRows {
		if v.Form.get("number-"+strconv.Itoa(i)) != "" {
			return true
		}
	}
	return false
}

// paperShown lists the fields of the paper form that show their own error.
func paperShown(v paperView) []string {
	fields := shown("photo-sheet", "written", "walker")
	for _, r := range v.Rails {
		fields = append(fields, "count-"+itoa(r.ID))
	}
	for i := range paperRows {
		fields = append(fields, "smell-"+strconv.Itoa(i), "surface-"+strconv.Itoa(i))
	}
	return fields
}

// labels are the names of a list, for the printed sheet.
func labels(list []ui.Option) string {
	names := make([]string, len(list))
	for i, o := range list {
		names[i] = o.Label
	}
	return strings.Join(names, " / ")
}
