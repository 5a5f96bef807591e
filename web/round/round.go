// Package round is the walk through a cooler or freezer: its checklist, the
// count of each rail, a touch, and the carcasses that must be looked at by
// themselves. Each step is a form of its own with the id of its act and of the
// round, so that steps sent late, twice or out of order find their round.
package round

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// Pages serves the rounds and the looks.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// recent is how far back the rounds are listed where a person chooses a room.
const recent = 48 * time.Hour

// roomLine is one room to choose.
type roomLine struct {
	db.Cooler
	Due   *db.DueRound    // due now
	Last  *db.WalkedRound // within the last two days
	Never bool            // not read at any time, on a round or by a logger
	Open  int             // things to be put right
}

// ShowRooms serves GET /round: which room? With only one there is no question.
func (p *Pages) ShowRooms(w http.ResponseWriter, r *http.Request) error {
	ctx, now := r.Context(), p.Now()
	rooms, err := p.DB.Coolers(ctx)
	if err != nil {
		return err
	}
	if len(rooms) == 1 {
		http.Redirect(w, r, "/round/"+rooms[0].Name, http.StatusSeeOther)
		return nil
	}
	due, err := p.DB.OpenRounds(ctx, now)
	if err != nil {
		return err
	}
	open, err := p.DB.OpenActions(ctx)
	if err != nil {
		return err
	}
	lines := make([]roomLine, len(rooms))
	for i, room := range rooms {
		lines[i].Cooler = room
		for _, a := range open {
			if a.CoolerID == room.ID {
				lines[i].Open++
			}
		}
		if k := slices.IndexFunc(due, func(d db.DueRound) bool { return d.CoolerID == room.ID }); k >= 0 {
			lines[i].Due = &due[k]
		}
		walked, err := p.DB.WalkedRounds(ctx, room.ID, now.Add(-recent))
		if err != nil {
			return err
		}
		if len(walked) > 0 {
			lines[i].Last = &walked[0]
			continue
		}
		read, err := p.DB.EverRead(ctx, room.ID)
		if err != nil {
			return err
		}
		lines[i].Never = !read
	}
	return ui.Render(w, r, http.StatusOK, roomsPage(lines, now))
}

// railView is one rail of the walk.
type railView struct {
	db.Rail
	Hung    []db.HungHere
	Singles []single        // to be looked at by themselves, and not yet on this round
	Others  []ui.Option     // the rest, to say something of
	Touch   []ui.Option     // who may speak for the rail
	Newest  string          // of those, the one that speaks for the most
	Counted *db.CountedRail // nil: not yet on this round
	Said    []db.LookRow    // looks of this round from which something follows
}

// Key names the rail's step.
func (r railView) Key() string { return "rail-" + strconv.Itoa(int(r.ID)) }

// ToRead reports a rail whose count was wrong and whose tags nobody has read.
func (r railView) ToRead() bool {
	return r.Counted != nil && r.Counted.Counted != r.Counted.Expected && !r.Counted.Read
}

// Done reports a rail that is walked.
func (r railView) Done() bool { return r.Counted != nil && !r.ToRead() && len(r.Singles) == 0 }

// single is a carcass that must be looked at by itself.
type single struct {
	db.HungHere
	Condition string
	Why       []domain.Words
}

// walkView is the page of one round: one step of it is open at a time.
type walkView struct {
	Room         db.Cooler
	Due          *db.DueRound
	Walk         string       // the round's id
	Begun        *db.UnderWay // nil: nothing walked yet
	Full         bool         // the long list is due today
	Items        []round.Item
	Last         *db.WalkedRound // the round before
	Oldest       db.HungHere
	Newest       db.HungHere     // without a number: nothing hangs
	Found        []round.Finding // in the room on this round, until something of a rail is said
	Rails        []railView
	Thermometers []db.Thermometer
	Touching     bool // one carcass of each rail is touched: in the evening
	Count        int
	OnPaper      bool // its sheet, or what is typed in from it
	Form         form
	At           string // the step whose form came back
	Wrong        *domain.Error
	Now          time.Time
}

// ShowRound serves GET /round/{room}.
func (p *Pages) ShowRound(w http.ResponseWriter, r *http.Request) error {
	v, err := p.walk(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, walkPage(v))
}

// Current is the step that comes next.
func (v walkView) Current() string {
	if v.Wrong != nil {
		return v.At
	}
	if v.Begun == nil || v.Begun.RoomAt == nil {
		return "room"
	}
	for _, r := range v.Rails {
		if !r.Done() {
			return r.Key()
		}
	}
	return "end"
}

// Meat reports a room whose meat is measured. What hung there when a sheet was
// written is not what hangs there now.
func (v walkView) Meat() bool { return v.Count > 0 || v.OnPaper }

// wrong is the error if it belongs to this step; form is what was typed there.
func (v walkView) wrong(at string) *domain.Error {
	if v.At == at {
		return v.Wrong
	}
	return nil
}

func (v walkView) form(at string) form {
	if v.At == at {
		return v.Form
	}
	return form{"act": {signin.NewAct()}}
}

// walk gathers what a round of the room is made of.
func (p *Pages) walk(ctx context.Context, name string) (walkView, error) {
	now := p.Now()
	room, err := p.DB.Cooler(ctx, name)
	if err != nil {
		return walkView{}, err
	}
	v := walkView{Room: room, Now: now, Walk: signin.NewAct()}
	due, err := p.DB.OpenRounds(ctx, now)
	if err != nil {
		return v, err
	}
	if k := slices.IndexFunc(due, func(d db.DueRound) bool { return d.CoolerID == room.ID }); k >= 0 {
		v.Due = &due[k]
	}
	v.Touching = v.Due == nil || v.Due.Kind == round.Evening
	if err := p.addWalk(ctx, &v); err != nil {
		return v, err
	}
	if room.Kind == "freezer" {
		return v, nil // boxes stand in it; they are counted at hand-over
	}
	return v, p.addCarcasses(ctx, &v, now)
}

// addWalk fills in what was walked before and what of this round is done.
func (p *Pages) addWalk(ctx context.Context, v *walkView) (err error) {
	if v.Begun, err = p.DB.RoundUnderWay(ctx, v.Room.ID, v.Now); err != nil {
		return err
	}
	if v.Begun != nil {
		v.Walk = v.Begun.ID.String()
	}
	walked, err := p.DB.WalkedRounds(ctx, v.Room.ID, v.Now.AddDate(0, 0, -30))
	if err != nil {
		return err
	}
	if len(walked) > 0 {
		v.Last = &walked[0]
	}
	today := v.Now.In(ui.ShopOf(ctx).Zone).Format(time.DateOnly)
	v.Full = !slices.ContainsFunc(walked, func(w db.WalkedRound) bool {
		return w.FullList && w.WalkedTo.In(ui.ShopOf(ctx).Zone).Format(time.DateOnly) == today
	})
	v.Items = items(v.Room.Kind == "freezer", v.Full)
	v.Thermometers, err = p.DB.Thermometers(ctx)
	return err
}

func items(freezer, full bool) []round.Item {
	switch {
	case freezer && full:
		return round.FrozenFull()
	case freezer:
		return round.Frozen()
	case full:
		return round.Full()
	}
	return round.Short()
}

// addCarcasses fills in rails, carcasses and why some are looked at one by one.
func (p *Pages) addCarcasses(ctx context.Context, v *walkView, now time.Time) error {
	hung, err := p.DB.HangingIn(ctx, v.Room.ID)
	if err != nil {
		return err
	}
	conditions, err := p.conditions(ctx, now)
	if err != nil {
		return err
	}
	var last time.Time
	if v.Last != nil {
		last = v.Last.WalkedTo
	}
	var looks []db.LookRow
	var counts []db.CountedRail
	if v.Begun != nil {
		if looks, err = p.DB.LooksOfRound(ctx, v.Begun.ID); err != nil {
			return err
		}
		if counts, err = p.DB.CountedRails(ctx, v.Begun.ID); err != nil {
			return err
		}
	}
	rails, err := p.DB.Rails(ctx)
	if err != nil {
		return err
	}
	if v.Begun != nil && v.Begun.RoomAt != nil && len(looks)+len(counts) == 0 {
		if err := p.addFound(ctx, v, hung); err != nil {
			return err
		}
	}
	alone := singles(hung, conditions, last, now)
	v.Count = len(hung)
	v.Oldest, v.Newest = oldestAndNewest(hung)
	for _, rail := range rails {
		if rail.CoolerID == v.Room.ID {
			view := viewRail(ctx, rail, hung, alone)
			view.walked(looks, counts, v.Begun)
			v.Rails = append(v.Rails, view)
		}
	}
	return nil
}

// addFound fills in what the room's own list found out of its limits: with the fans
// dead nobody walks on to the rails before they have read what to do.
func (p *Pages) addFound(ctx context.Context, v *walkView, hung []db.HungHere) error {
	walked, err := p.DB.WalkedRound(ctx, v.Begun.ID)
	if err != nil {
		return err
	}
	v.Found = walked.Answers(v.Room, newestHours(hung, walked.WalkedTo)).Findings()
	return nil
}

// walked marks what this round has done on the rail already.
func (r *railView) walked(looks []db.LookRow, counts []db.CountedRail, begun *db.UnderWay) {
	if k := slices.IndexFunc(counts, func(c db.CountedRail) bool { return c.RailID == r.ID }); k >= 0 {
		r.Counted = &counts[k]
	}
	for _, l := range looks {
		here := slices.ContainsFunc(r.Hung, func(h db.HungHere) bool { return h.Number == l.Number })
		if here && len(l.Look().Follows(l.Species, l.Form)) > 0 {
			r.Said = append(r.Said, l)
		}
	}
	r.Singles = slices.DeleteFunc(r.Singles, func(s single) bool {
		return begun != nil && s.LookAt != nil && !s.LookAt.Before(begun.WalkedFrom)
	})
}

// conditions is what the readiness sum says of every hanging animal.
func (p *Pages) conditions(ctx context.Context, now time.Time) (map[domain.ShopNumber]string, error) {
	all, err := p.DB.Hanging(ctx, now)
	said := map[domain.ShopNumber]string{}
	for _, h := range all {
		if h.Verdict != nil {
			said[h.Number] = h.Condition()
		}
	}
	return said, err
}

// singles are the animals to be looked at by themselves, each once.
func singles(hung []db.HungHere, conditions map[domain.ShopNumber]string, last, now time.Time) []single {
	var list []single
	seen := map[domain.ShopNumber]bool{}
	for _, h := range hung {
		d := h.Hanging()
		d.Condition = conditions[h.Number]
		if why := d.Why(last, now); len(why) > 0 && !seen[h.Number] {
			list = append(list, single{h, conditions[h.Number], why})
			seen[h.Number] = true
		}
	}
	return list
}

// oldestAndNewest are the two carcasses whose meat is measured.
func oldestAndNewest(hung []db.HungHere) (oldest, newest db.HungHere) {
	if len(hung) == 0 {
		return
	}
	came := func(a, b db.HungHere) int { return a.ReceivedAt.Compare(b.ReceivedAt) }
	return slices.MinFunc(hung, came), slices.MaxFunc(hung, came)
}

// viewRail lays out one rail. The carcass offered to the hand is the newest of
// those that may speak: all that hung at least as long take its surface.
func viewRail(ctx context.Context, rail db.Rail, hung []db.HungHere, alone []single) railView {
	v := railView{Rail: rail}
	var newest time.Time
	for _, h := range hung {
		if h.RailID != rail.ID {
			continue
		}
		v.Hung = append(v.Hung, h)
		if k := slices.IndexFunc(alone, func(s single) bool { return s.Number == h.Number }); k >= 0 {
			if alone[k].RailID == h.RailID && alone[k].Position == h.Position {
				v.Singles = append(v.Singles, alone[k])
			}
			continue
		}
		if k := len(v.Others); k > 0 && v.Others[k-1].Value == string(h.Number) {
			continue // the other side of the same animal
		}
		v.Others = append(v.Others, ui.Option{Value: string(h.Number), Label: h.Number.Short(), Note: ui.T(ctx, "hook %d", h.Position)})
		if h.Form != domain.Whole {
			continue
		}
		v.Touch = append(v.Touch, ui.Option{Value: string(h.Number), Label: ui.T(ctx, "%s, hook %d", h.Number.Short(), h.Position)})
		if v.Newest == "" || h.HungAt.After(newest) {
			v.Newest, newest = string(h.Number), h.HungAt
		}
	}
	return v
}

// place names where something hangs: R2-7.
func place(h db.HungHere) string { return fmt.Sprintf("%s-%d", h.Rail, h.Position) }
