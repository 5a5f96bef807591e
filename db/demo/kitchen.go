package demo

import (
	"errors"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/cure"
	"coldrail/domain/cutting"
)

// slicer and smokehouse are machines by their number in the shop.
const (
	slicer     = 5
	smokehouse = 6
)

// planKitchen lets one owner's jerky go into the house today.
func (s *season) planKitchen() error {
	s.on(s.now.Add(-minutes(200)), "jerky", s.jerky)
	return nil
}

// jerky takes the sliced hinds of the first boxed deer whose owner asked for it
// through slicer, cure and smokehouse; it is still in there now.
func (s *season) jerky(at time.Time) error {
	a, err := s.wantsJerky()
	if err != nil || a == nil {
		return err // nobody asked: the house stays cold
	}
	number, err := s.db.StartBatch(s.ctx, s.act("SB", at), db.NewBatch{Product: batch.JerkySlices, Flavour: "pepper", Kind: batch.Own, Pork: "no", Beef: "no"})
	if err != nil {
		return err
	}
	const meat = domain.Kilogram(6)
	inside := func(after int, f float64) error {
		when, c := at.Add(minutes(after)), domain.Fahrenheit(f)
		house := domain.Fahrenheit(170)
		return s.db.Probe(s.ctx, s.act("SB", when), number, db.BatchProbe{At: when, LowC: c, HighC: c + 1, HouseC: &house})
	}
	return errors.Join(
		s.db.CleanOut(s.ctx, s.act("SB", at), slicer, batch.Full, "own meat next"),
		s.db.AddToBatch(s.ctx, s.act("SB", at.Add(minutes(5))), number, a.drop.Number, meat),
		s.db.RunMachine(s.ctx, s.act("SB", at.Add(minutes(8))), db.Through{Machine: slicer, Batch: number}),
		s.db.Cure(s.ctx, s.act("SB", at.Add(minutes(25))), number, db.WeighedCure{Method: cure.DryCured, Grams: 15, Fraction: 0.0625, Lot: "C-0926", Second: s.crew["MT"].ID}),
		s.db.Mix(s.ctx, s.act("SB", at.Add(minutes(30))), number),
		s.db.CleanOut(s.ctx, s.act("SB", at.Add(minutes(35))), smokehouse, batch.Full, "own meat next"),
		s.db.RunMachine(s.ctx, s.act("SB", at.Add(minutes(40))), db.Through{Machine: smokehouse, Batch: number}),
		inside(45, 52), inside(190, 141),
	)
}

// wantsJerky finds a deer in boxes, under no hold and no test, whose order asks for
// whole slices; nil where there is none.
func (s *season) wantsJerky() (*actor, error) {
	for _, a := range s.cast {
		row, err := s.db.Animal(s.ctx, a.drop.Number)
		if domain.As(err).Kind == domain.NotFound && err != nil {
			continue
		}
		if err != nil {
			return nil, err
		}
		if row.Physical != animal.Stored || row.Disease != animal.NotNeeded {
			continue
		}
		order, _, err := s.db.NewestOrder(s.ctx, a.drop.Number)
		if err != nil {
			return nil, err
		}
		holds, err := s.db.Holds(s.ctx, a.drop.Number)
		if err != nil {
			return nil, err
		}
		for _, l := range order.Lines {
			if l.Treatment == cutting.JerkySlices && len(holds) == 0 {
				return a, nil
			}
		}
	}
	return nil, nil
}
