package demo

import (
	"errors"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
)

// planCounter is the counter's book: a kill day to come with two farmers on it, what
// was turned away, and who came to look.
func (s *season) planCounter() error {
	s.on(s.day(3, 10, 15), "the inspector's visit", s.visit)
	opened := s.day(6, 9, 0)
	s.on(opened, "open a kill day", func(at time.Time) error {
		day := s.now.In(s.zone).AddDate(0, 0, 2)
		kill := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, time.UTC)
		if err := s.db.OpenDay(s.ctx, s.act("PN", at), animal.KillDay, kill, 6, ""); err != nil {
			return err
		}
		days, err := s.db.BookingDays(s.ctx, kill)
		if err != nil {
			return err
		}
		for i, b := range []animal.Booking{
			{Species: domain.Hog, Heads: 2, BringAt: "07:00"},
			{Species: domain.Lamb, Heads: 3, BringAt: "09:30", Note: "wants the hides"},
		} {
			b.Name, b.Phone = s.people[i].Name, s.people[i].Phone
			if err := s.db.Book(s.ctx, s.act("PN", at), days[0].ID, b); err != nil {
				return err
			}
		}
		return nil
	})
	s.on(s.day(4, 19, 40), "turn one away", func(at time.Time) error {
		deep := domain.Fahrenheit(66)
		return s.db.RefuseAtDoor(s.ctx, s.act("PN", at), animal.Refusal{Finding: animal.Spoiled, Reason: "shot the day before, sweet smell at the hip, green inside",
			Species: domain.Whitetail, Deep: &deep}, "", nil)
	})
	return nil
}

// visit is an inspector's walk through shop and books; one thing is left to mend.
func (s *season) visit(at time.Time) error {
	began := s.act("JH", at)
	due := at.AddDate(0, 0, 14)
	return errors.Join(
		s.db.BeginVisit(s.ctx, began, "R. Ellery, badge 218", "State meat inspection", "records of custom slaughter, cooler temperatures, the floor"),
		s.db.ShowVisitor(s.ctx, s.act("JH", at.Add(minutes(12))), began.ID, "register of the last 30 days, printed"),
		s.db.ShowVisitor(s.ctx, s.act("JH", at.Add(minutes(31))), began.ID, "temperatures of both coolers, two weeks"),
		s.db.EndVisit(s.ctx, s.act("JH", at.Add(minutes(55))), began.ID, "Records in order. Drain cover in the back cooler is cracked: replace it.",
			time.Date(due.Year(), due.Month(), due.Day(), 0, 0, 0, 0, s.zone)),
	)
}

// keepCape takes the cape off as soon as it hangs and freezes it for the taxidermist.
func (s *season) keepCape(a *actor) {
	n := a.drop.Number
	s.on(a.drop.ReceivedAt.Add(minutes(100)), "cape", func(at time.Time) error {
		mark, err := s.db.CutOff(s.ctx, s.act("SB", at), n, db.NewPiece{Kind: cutting.CapePiece, Kg: domain.Pounds(21), Instruction: "Shoulder mount, to the taxidermist"})
		if err != nil {
			return err
		}
		return s.db.Lay(s.ctx, s.act("SB", at.Add(minutes(25))), n, mark, "Chest freezer, left side", true)
	})
}
