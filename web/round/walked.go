package round

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// walkedView is what a round found and what follows from it.
type walkedView struct {
	Walked    db.WalkedRound
	Room      db.Cooler
	Findings  []round.Finding
	Wrong     []db.CountedRail                     // rails whose count did not agree
	Listed    map[string][]db.HungHere             // what hangs there by the list, by rail
	Looks     []db.LookRow                         // the ones from which something follows
	Follows   map[domain.ShopNumber][]domain.Words // what
	Uncounted []string                             // rails nobody counted
	Empty     []string                             // of those, the ones where nothing hangs by the list
	Unseen    []single                             // not looked at, though they had to be
	Mould     bool
	Sheet     uuid.UUID // picture of the sheet of a round on paper
	Now       time.Time
}

// ShowWalked serves GET /round/walked/{id}: what was found and what follows.
func (p *Pages) ShowWalked(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(chi.URLParam(r, "id"))
	if err != nil {
		return domain.Missing("That round is not in the records.")
	}
	v, err := p.walked(r.Context(), id)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, walkedPage(v))
}

func (p *Pages) walked(ctx context.Context, id uuid.UUID) (walkedView, error) {
	v := walkedView{Now: p.Now(), Listed: map[string][]db.HungHere{}, Follows: map[domain.ShopNumber][]domain.Words{}}
	var err error
	if v.Walked, err = p.DB.WalkedRound(ctx, id); err != nil {
		return v, err
	}
	if v.Room, err = p.DB.Cooler(ctx, v.Walked.Cooler); err != nil {
		return v, err
	}
	hung, err := p.DB.HangingIn(ctx, v.Room.ID)
	if err != nil {
		return v, err
	}
	v.Findings = v.Walked.Answers(v.Room, newestHours(hung, v.Walked.WalkedTo)).Findings()
	if err := p.addWrongRails(ctx, &v, hung); err != nil {
		return v, err
	}
	looks, err := p.DB.LooksOfRound(ctx, id)
	if err != nil {
		return v, err
	}
	v.addLooks(looks)
	if v.Sheet, err = p.DB.SheetOf(ctx, id); err != nil {
		return v, err
	}
	conditions, err := p.conditions(ctx, v.Now)
	if err != nil {
		return v, err
	}
	v.Unseen = unseen(hung, conditions, v.Walked)
	return v, nil
}

// newestHours is how long the newest carcass had been here when the round ended.
func newestHours(hung []db.HungHere, at time.Time) float64 {
	hours := 0.0
	for i, h := range hung {
		if in := at.Sub(h.ReceivedAt).Hours(); i == 0 || in < hours {
			hours = in
		}
	}
	return hours
}

// addWrongRails finds the rails whose count did not agree, and what the list has
// on them.
func (p *Pages) addWrongRails(ctx context.Context, v *walkedView, hung []db.HungHere) error {
	counts, err := p.DB.CountedRails(ctx, v.Walked.ID)
	if err != nil {
		return err
	}
	rails, err := p.DB.Rails(ctx)
	if err != nil {
		return err
	}
	if v.Room.Kind != "freezer" {
		for _, name := range uncounted(rails, v.Room.ID, counts) {
			if slices.ContainsFunc(hung, func(h db.HungHere) bool { return h.Rail == name }) {
				v.Uncounted = append(v.Uncounted, name)
			} else {
				v.Empty = append(v.Empty, name)
			}
		}
	}
	for _, c := range counts {
		if c.Expected == c.Counted || c.Read {
			continue
		}
		v.Wrong = append(v.Wrong, c)
		for _, h := range hung {
			if h.Rail == c.Rail {
				v.Listed[c.Rail] = append(v.Listed[c.Rail], h)
			}
		}
	}
	return nil
}

// addLooks keeps the looks from which something follows, those that stop their
// carcass first.
func (v *walkedView) addLooks(looks []db.LookRow) {
	for _, l := range looks {
		if follows := l.Look().Follows(l.Species, l.Form); len(follows) > 0 {
			v.Looks = append(v.Looks, l)
			v.Follows[l.Number] = follows
			v.Mould = v.Mould || len(l.Mould) > 0
		}
	}
	slices.SortStableFunc(v.Looks, func(a, b db.LookRow) int { return cmp.Compare(rank(a), rank(b)) })
}

// rank orders looks by what they call for: what stops, what is cut early (a sticky
// surface), the rest.
func rank(l db.LookRow) int {
	switch {
	case l.Look().Stops():
		return 0
	case l.Surface == round.SurfaceSticky:
		return 1
	}
	return 2
}

// unseen are the carcasses that had to be looked at by themselves on this round
// and were not. Those judged since by another look are not named.
func unseen(hung []db.HungHere, conditions map[domain.ShopNumber]string, w db.WalkedRound) []single {
	var list []single
	for _, s := range singles(hung, conditions, w.WalkedFrom, w.WalkedTo) {
		late := s.CameAt.After(w.WalkedFrom)
		if !late && (s.LookAt == nil || s.LookAt.Before(w.WalkedFrom)) {
			list = append(list, s)
		}
	}
	return list
}
