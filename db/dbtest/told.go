package dbtest

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/message"

	"github.com/google/uuid"
)

// TellOwners turns messages to owners on, at any hour and without a wait for the
// frost, through the gateway and the mail server of these settings.
func (s *Shop) TellOwners(t testing.TB, by db.AlarmSettings) {
	t.Helper()
	if by.MailPort == 0 {
		by.MailPort = 587
	}
	by.SilentMin = 60
	if err := s.SetAlarms(t.Context(), s.Act(s.Ann, Noon), by); err != nil {
		t.Fatal(err)
	}
	if err := s.SetMessages(t.Context(), s.Act(s.Ann, Noon), db.MessageSettings{Sending: true}); err != nil {
		t.Fatal(err)
	}
}

// OwnedBy makes a person the animal's owner, told by this way; a mail address goes
// with the way e-mail.
func (s *Shop) OwnedBy(t testing.TB, number domain.ShopNumber, name, phone, way, mail string) uuid.UUID {
	t.Helper()
	id := s.Own(t, number, name, phone)
	if err := s.SetReach(t.Context(), s.Act(s.Bob, Noon), number, id, message.Reach{TellBy: way, Mail: mail}); err != nil {
		t.Fatal(err)
	}
	return id
}

// MovePromise names a day at at, and another right after, which the owner is told.
func (s *Shop) MovePromise(t testing.TB, number domain.ShopNumber, at time.Time) {
	t.Helper()
	for _, days := range []int{3, 5} {
		if err := s.Promise(t.Context(), s.Act(s.Bob, at), number, at.AddDate(0, 0, days)); err != nil {
			t.Fatal(err)
		}
	}
}
