package demo

import (
	"time"

	"coldrail/db"
	"coldrail/domain/cutting"
)

// shareSteer has a farmer bring the steer for two owners who bought a half each while
// it lived; the farmer is told the weight.
func (s *season) shareSteer(a *actor) {
	at := len(s.people) / 2
	farmer, other := s.people[at], s.people[at+1]
	a.drop.Deliverer = &farmer
	a.halves = []cutting.Buyer{
		{Portion: cutting.Left, Name: a.drop.Owner.Name, Phone: a.drop.Owner.Phone, Evidence: "bill of sale, copy in the binder"},
		{Portion: cutting.Right, Name: other.Name, Phone: other.Phone, Evidence: "the farmer's list"},
	}
	sold := a.drop.KilledAt.In(s.zone).AddDate(0, 0, -12)
	for i := range a.halves {
		a.halves[i].SoldOn = time.Date(sold.Year(), sold.Month(), sold.Day(), 0, 0, 0, 0, s.zone)
	}
	n, received := a.drop.Number, a.drop.ReceivedAt
	s.on(s.nextOpen(received.Add(20*time.Hour)), "tell the weight", func(at time.Time) error {
		return s.db.LogCall(s.ctx, s.act("PN", at), n, "call", "spoke", db.WeightTold)
	})
}

// takeOrder writes the order down, one for each owner where it is shared.
func (s *season) takeOrder(a *actor, at time.Time, complete bool) error {
	w := s.order(a, complete)
	a.cuts = cutsOf(w.Lines)
	if len(a.halves) == 0 {
		return s.db.TakeOrder(s.ctx, s.act("LG", at), a.drop.Number, w)
	}
	for i, half := range a.halves {
		w.Portion, w.ForWhom, w.After = half.Portion, half.Name, i
		if err := s.db.TakeOrder(s.ctx, s.act("LG", at.Add(minutes(4*i))), a.drop.Number, w); err != nil {
			return err
		}
	}
	return nil
}
