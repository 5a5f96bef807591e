package demo

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
)

// planCounter is the counter's book: a kill day to come with two farmers on it, and
// what was turned away.
func (s *season) planCounter() error {
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
