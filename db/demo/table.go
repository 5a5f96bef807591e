package demo

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
)

// planTable plans the cutting of the last days: two cutters, three animals each
// on a working day. Which ones, the program's own queue says at the time.
func (s *season) planTable() error {
	for ago := 13; ago >= 1; ago-- {
		if s.day(ago, 12, 0).Weekday() == time.Sunday {
			continue
		}
		for i, cutter := range []string{"MT", "SB", "MT", "SB", "MT", "SB"} {
			s.on(s.day(ago, 8, 10+75*i), "cut", func(at time.Time) error { return s.cutOne(at, cutter, true) })
		}
	}
	s.on(s.now.Add(-minutes(34)), "cut", func(at time.Time) error { return s.cutOne(at, "MT", false) })
	s.on(s.now.Add(-minutes(19)), "cut", func(at time.Time) error { return s.cutOne(at, "SB", false) })
	return nil
}

// cutOne brings the first animal of the queue that has no story to keep to the
// table, and through to the freezer if it is to be finished.
func (s *season) cutOne(at time.Time, cutter string, finish bool) error {
	queue, _, err := s.db.CuttingQueue(s.ctx, at)
	if err != nil {
		return err
	}
	for i, q := range queue {
		a := s.actorOf(q.Number)
		if a.keep || a.weight == 0 || !mayBeCut(q) {
			continue
		}
		order, _, err := s.db.NewestOrder(s.ctx, q.Number)
		if err != nil {
			return err
		}
		take, by := db.Taking{TagRead: string(q.Number), Version: order.Version}, cutter
		if i > 0 {
			take.Why, by = "promised", "MT" // only a lead takes another than the first
		}
		if err := s.db.Start(s.ctx, s.act(by, at), q.Number, take); err != nil {
			return err
		}
		return s.cutUp(a, at, cutter, finish)
	}
	return nil // nothing was ready: the crew sweeps the floor
}

// mayBeCut reports whether a crew would take it: hung long enough, or not to wait.
func mayBeCut(q db.Queued) bool {
	switch q.Condition {
	case cutting.Ready, cutting.Past, cutting.CutFirst:
		return true
	}
	return false
}

// cutUp packs what comes off the carcass, notes the bone, boxes it and makes the
// bill.
func (s *season) cutUp(a *actor, at time.Time, cutter string, finish bool) error {
	number, packed := a.drop.Number, a.weight*domain.Kilogram(s.between(0.47, 0.55))
	for i, c := range a.cuts {
		if !finish && i == 2 {
			_, err := s.db.CutOff(s.ctx, s.act(cutter, at.Add(minutes(13))), number, db.NewPiece{Kind: cutting.TubPiece, Kg: a.weight * 0.08, Instruction: "grind"})
			return err // still on the table now, its trim in a tub
		}
		net := packed * domain.Kilogram(c.share)
		if err := s.db.Pack(s.ctx, s.act(cutter, at.Add(minutes(6*(i+1)))), number, db.Wrapped{Cut: c.name, Count: max(1, int(net/c.each+0.5)), Net: net}); err != nil {
			return err
		}
	}
	bone := db.Trimmed{Kind: "bone", Kg: a.weight*0.945 - packed} // the rest dried away or was shot
	shot := db.Trimmed{Kind: "shot", Kg: a.weight * 0.025, Note: "behind the shoulder"}
	boxed := at.Add(minutes(58))
	return errors.Join(
		s.db.Trim(s.ctx, s.act(cutter, at.Add(minutes(44))), number, bone),
		s.db.Trim(s.ctx, s.act(cutter, at.Add(minutes(45))), number, shot),
		s.db.Finish(s.ctx, s.act(cutter, at.Add(minutes(47))), number, db.Finishing{Labelled: true, AllWeighed: true}),
		s.boxUp(number, boxed),
		s.db.Bill(s.ctx, s.act("PN", boxed.Add(minutes(20))), number),
	)
}

// boxUp puts the packs into two boxes on the next free places of the freezer.
func (s *season) boxUp(number domain.ShopNumber, at time.Time) error {
	spots, err := s.db.FreezerSpots(s.ctx)
	if err != nil {
		return err
	}
	spots = slices.DeleteFunc(spots, func(p db.Spot) bool { return p.Boxes > 0 }) // one owner to a place
	if len(spots) < 2 {
		return fmt.Errorf("the freezer has no place for the boxes of %s", number)
	}
	packs, err := s.db.Packs(s.ctx, number)
	if err != nil {
		return err
	}
	boxes := []db.NewBox{{N: 1}, {N: 2}}
	for i, p := range packs {
		boxes[i*2/len(packs)].Packs = append(boxes[i*2/len(packs)].Packs, p.ID)
	}
	for i := range boxes {
		boxes[i].Place = spots[i].ID
	}
	return s.db.BoxUp(s.ctx, s.act("LG", at), number, boxes)
}

// planPickups lets the owners of the oldest boxes come for them.
func (s *season) planPickups() error {
	for ago := 6; ago >= 1; ago-- {
		for i := range 4 {
			s.on(s.day(ago, 16, 5+23*i), "pick up", s.pickUpOne)
		}
	}
	return nil
}

// pickUpOne hands the boxes that wait longest to their owner, paid.
func (s *season) pickUpOne(at time.Time) error {
	for _, a := range s.cast {
		row, err := s.db.Animal(s.ctx, a.drop.Number)
		if domain.As(err).Kind == domain.NotFound && err != nil {
			continue // not here yet at this time
		}
		if err != nil {
			return err
		}
		if row.Physical != animal.Stored {
			continue
		}
		account, err := s.db.Account(s.ctx, a.drop.Number)
		if err != nil {
			return err
		}
		if owed := account.Invoice().Balance(); owed > 0 {
			if _, err := s.db.Pay(s.ctx, s.act("PN", at), a.drop.Number, owed, pick(s, "cash", "card", "check")); err != nil {
				return err
			}
		}
		return s.handOver(a, at.Add(minutes(4)))
	}
	return nil
}

func (s *season) handOver(a *actor, at time.Time) error {
	boxes, err := s.db.Boxes(s.ctx, a.drop.Number)
	if err != nil {
		return err
	}
	c := db.Collection{Collector: a.drop.Owner.Name, Authority: animal.ByOwner, Seen: "driving licence", TagReturned: a.drop.Species.Game()}
	for _, b := range boxes {
		c.Boxes = append(c.Boxes, domain.BoxCode(a.drop.Number, b.N))
	}
	return s.db.HandOver(s.ctx, s.act("PN", at), a.drop.Number, c)
}

func (s *season) actorOf(number domain.ShopNumber) *actor {
	for _, a := range s.cast {
		if a.drop.Number == number {
			return a
		}
	}
	return &actor{keep: true}
}

// leaveToday opens what stands open at the end: a person to call, a hold.
func (s *season) leaveToday() error {
	for _, a := range s.cast {
		if a.story == "past its ceiling" {
			return s.db.LogCall(s.ctx, s.act("PN", s.opened(0.3)), a.drop.Number, "call", "left word", "Asked to call back about cutting today.")
		}
	}
	return nil
}
