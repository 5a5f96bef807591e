package demo

import (
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// roundDays is how far back rounds were walked.
const roundDays = 16

// planRounds plans the two rounds of each day in every room. One Sunday evening
// nobody walked, and stays missed.
func (s *season) planRounds() error {
	for ago := roundDays; ago >= 0; ago-- {
		for _, hour := range []int{7, 19} {
			at := s.day(ago, hour, s.random.IntN(25)-10)
			s.on(s.day(ago, hour-2, 1), "watch", func(at time.Time) error { return s.db.WatchRounds(s.ctx, at) })
			if ago == missedDaysAgo && hour == 19 {
				continue
			}
			for i, room := range []string{"main", "back", "freezer"} {
				s.on(at.Add(minutes(9*i)), "round", func(at time.Time) error { return s.walk(room, at) })
			}
		}
	}
	s.on(s.now.Add(-time.Second), "watch", func(at time.Time) error { return s.db.WatchRounds(s.ctx, at) })
	return nil
}

const missedDaysAgo = 12

// walk is one round of one room.
func (s *season) walk(name string, at time.Time) error {
	room, err := s.db.Cooler(s.ctx, name)
	if err != nil {
		return err
	}
	hung, err := s.db.HangingIn(s.ctx, room.ID)
	if err != nil {
		return err
	}
	air, fans := s.air(name, at), room.Fans
	r := db.Round{Cooler: name, WalkedFrom: at.Add(-minutes(7)), WalkedTo: at, RoomCheck: db.RoomCheck{AirPanel: &air, AirOwn: own(air), FansRunning: &fans, Smell: round.SmellClean}}
	if name != "freezer" && len(hung) > 0 {
		old, fresh := air+0.4, air+1.3
		r.MeatOld, r.MeatNew = &old, &fresh
	}
	if s.failing(name, at) {
		r.Comment = "Air far too warm: compressor off, fans running. Breaker reset 7:10, owner called, product temperatures taken."
	}
	r.Counts = counts(s, room.ID, hung)
	speaks := touched(hung, at)
	for _, h := range hung {
		a, days, touch := s.actorOf(h.Number), at.Sub(h.KilledAt).Hours()/24, speaks[h.RailID] == h.Number
		switch {
		case a.story == "not reached lately" && s.now.Sub(at) < 50*time.Hour:
			continue // behind the others, at the far end
		case a.drop.ReceivedAt.After(at.Add(-minutes(3))):
			continue // hung behind the round's back
		}
		if touch || a.keep || surfaceAfter(days-0.5) != round.SurfaceDry || days > 14 {
			r.Looks = append(r.Looks, s.look(a, h, at, touch))
		}
	}
	act := s.act(pick(s, "SB", "LG", "MT"), at)
	return s.db.SaveRound(s.ctx, act, r)
}

// touched picks on each rail the carcass whose skin speaks for the longer-hung
// ones: the newest that is dry.
func touched(hung []db.HungHere, at time.Time) map[int16]domain.ShopNumber {
	pick, killed := map[int16]domain.ShopNumber{}, map[int16]time.Time{}
	for _, h := range hung {
		if surfaceAfter(at.Sub(h.KilledAt).Hours()/24) == round.SurfaceDry && h.KilledAt.After(killed[h.RailID]) {
			pick[h.RailID], killed[h.RailID] = h.Number, h.KilledAt
		}
	}
	return pick
}

// own is what an independent thermometer at the warm spot reads.
func own(air domain.Celsius) *domain.Celsius {
	warm := air + 0.5
	return &warm
}

// counts says what was counted on each rail: what hangs there.
func counts(s *season, room int16, hung []db.HungHere) []db.RailCount {
	on := map[int16]int{}
	for _, h := range hung {
		on[h.RailID]++
	}
	var list []db.RailCount
	for rail, n := range on {
		list = append(list, db.RailCount{Rail: rail, Counted: n})
	}
	return list
}

// look is what was seen and felt: skins dry from the second day on; the stories
// have more to tell.
func (s *season) look(a *actor, h db.HungHere, at time.Time, touched bool) db.Look {
	days := at.Sub(h.KilledAt).Hours() / 24
	l := db.Look{ID: uuid.Must(uuid.NewV7()), Number: h.Number, Touched: touched}
	l.At, l.Smell, l.Surface = at.Add(-minutes(3)), round.SmellClean, surfaceAfter(days)
	last := s.now.Sub(at) < 24*time.Hour
	switch {
	case a.story == "long hang agreed and mould under way" && days > 15:
		l.Mould = []round.Mould{{Site: round.SiteRibs, Length: domain.Millimetre(0.4 + 0.45*(days-15)), Colour: round.White}}
	case a.story == "black specks at the neck" && last:
		l.Mould = []round.Mould{{Site: round.SiteNeck, Length: 1, Colour: round.Black}}
		l.Note = "Specks do not wipe off. Lead to look before anybody touches it."
	case a.story == "mould on the meat" && last:
		l.Mould = []round.Mould{{Site: round.SiteMeat, Length: 2, Colour: round.Grey}}
		l.Note = "Left ham, a palm wide."
	case a.story == "sticky under the shoulder" && last:
		l.Surface, l.Note = round.SurfaceSticky, "Under the right shoulder only."
	case days > 13:
		l.Mould = []round.Mould{{Site: round.SiteRibs, Length: domain.Millimetre(0.2 * (days - 12)), Colour: round.White}}
	}
	return l
}

func surfaceAfter(days float64) round.Surface {
	switch {
	case days < 1.2:
		return round.SurfaceWet
	case days < 2.6:
		return round.SurfaceDrying
	}
	return round.SurfaceDry
}
