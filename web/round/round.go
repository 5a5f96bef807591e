// Package round is the walk through a cooler or freezer: its checklist, the
// count of each rail, a touch, and the carcasses that must be looked at by
// themselves. The whole walk goes in with one form, whose id makes sending it
// twice harmless.
package round

import (
	"context"
	"fmt"
	"net/http"
	"slices"
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
	Due  *db.DueRound    // due now
	Last *db.WalkedRound // within the last two days
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
	lines := make([]roomLine, len(rooms))
	for i, room := range rooms {
		lines[i].Cooler = room
		if k := slices.IndexFunc(due, func(d db.DueRound) bool { return d.CoolerID == room.ID }); k >= 0 {
			lines[i].Due = &due[k]
		}
		walked, err := p.DB.WalkedRounds(ctx, room.ID, now.Add(-recent))
		if err != nil {
			return err
		}
		if len(walked) > 0 {
			lines[i].Last = &walked[0]
		}
	}
	return ui.Render(w, r, http.StatusOK, roomsPage(lines, now))
}

// railView is one rail of the walk.
type railView struct {
	db.Rail
	Hung   []db.HungHere
	Rest   []db.HungHere // not to be looked at by themselves
	Others []ui.Option   // the same, to choose from
	Touch  []ui.Option   // who of them may speak for the rail
	Newest string        // of those, the one that speaks for the most
}

// single is a carcass that must be looked at by itself.
type single struct {
	db.HungHere
	Condition string
	Why       []domain.Words
}

// walkView is the page of one round.
type walkView struct {
	Room    db.Cooler
	Due     *db.DueRound
	Items   []round.Item
	Oldest  domain.ShopNumber // "": nothing hangs
	Newest  domain.ShopNumber
	Rails   []railView
	Singles []single
	Count   int
	Form    form
	Wrong   *domain.Error
	Now     time.Time
}

// ShowRound serves GET /round/{room}.
func (p *Pages) ShowRound(w http.ResponseWriter, r *http.Request) error {
	v, err := p.walk(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	v.Form = form{"act": {signin.NewAct()}, "from": {p.Now().UTC().Format(time.RFC3339)}}
	return ui.Render(w, r, http.StatusOK, walkPage(v))
}

// Save serves POST /round/{room}: the walk is over.
func (p *Pages) Save(w http.ResponseWriter, r *http.Request) error {
	v, err := p.walk(r.Context(), chi.URLParam(r, "room"))
	if err != nil {
		return err
	}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v.Form = form(r.PostForm).byShopClock(act)
	walked, err := v.read(r.Context(), act)
	if err == nil {
		err = p.DB.SaveRound(r.Context(), act, walked)
	}
	if e := domain.As(err); err != nil && e.Kind != domain.Internal {
		v.Wrong = e
		return ui.Render(w, r, http.StatusUnprocessableEntity, walkPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/round/walked/"+act.ID.String(), http.StatusSeeOther)
	return nil
}

// walk gathers what a round of the room is made of.
func (p *Pages) walk(ctx context.Context, name string) (walkView, error) {
	now := p.Now()
	room, err := p.DB.Cooler(ctx, name)
	if err != nil {
		return walkView{}, err
	}
	v := walkView{Room: room, Now: now, Items: round.Short()}
	if room.Kind == "freezer" {
		v.Items = round.Frozen()
	}
	due, err := p.DB.OpenRounds(ctx, now)
	if err != nil {
		return v, err
	}
	if k := slices.IndexFunc(due, func(d db.DueRound) bool { return d.CoolerID == room.ID }); k >= 0 {
		v.Due = &due[k]
	}
	if room.Kind == "freezer" {
		return v, nil // boxes stand in it; they are counted at hand-over
	}
	return v, p.addCarcasses(ctx, &v, now)
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
	last, err := p.lastWalk(ctx, v.Room.ID, now)
	if err != nil {
		return err
	}
	rails, err := p.DB.Rails(ctx)
	if err != nil {
		return err
	}
	v.Singles = singles(hung, conditions, last, now)
	v.Count = len(hung)
	v.Oldest, v.Newest = oldestAndNewest(hung)
	for _, rail := range rails {
		if rail.CoolerID == v.Room.ID {
			v.Rails = append(v.Rails, viewRail(ctx, rail, hung, v.Singles))
		}
	}
	return nil
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

// lastWalk is when the round before this one ended; zero if there was none of
// late.
func (p *Pages) lastWalk(ctx context.Context, room int16, now time.Time) (time.Time, error) {
	walked, err := p.DB.WalkedRounds(ctx, room, now.AddDate(0, 0, -30))
	if err != nil || len(walked) == 0 {
		return time.Time{}, err
	}
	return walked[0].WalkedTo, nil
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
func oldestAndNewest(hung []db.HungHere) (oldest, newest domain.ShopNumber) {
	if len(hung) == 0 {
		return "", ""
	}
	came := func(a, b db.HungHere) int { return a.ReceivedAt.Compare(b.ReceivedAt) }
	return slices.MinFunc(hung, came).Number, slices.MaxFunc(hung, came).Number
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
		if slices.ContainsFunc(alone, func(s single) bool { return s.Number == h.Number }) {
			continue
		}
		if k := len(v.Rest); k > 0 && v.Rest[k-1].Number == h.Number {
			continue // the other side of the same animal
		}
		v.Rest = append(v.Rest, h)
		option := ui.Option{Value: string(h.Number), Label: ui.T(ctx, "%s, hook %d", h.Number.Short(), h.Position)}
		v.Others = append(v.Others, option)
		if h.Form != domain.Whole {
			continue
		}
		v.Touch = append(v.Touch, option)
		if v.Newest == "" || h.HungAt.After(newest) {
			v.Newest, newest = string(h.Number), h.HungAt
		}
	}
	return v
}

// place names where something hangs: R2-7.
func place(h db.HungHere) string { return fmt.Sprintf("%s-%d", h.Rail, h.Position) }

// days is the age of a carcass in whole days since the kill.
func days(h db.HungHere, now time.Time) int { return int(now.Sub(h.KilledAt).Hours() / 24) }
