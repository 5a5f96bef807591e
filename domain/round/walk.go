package round

import (
	"time"

	"coldrail/domain"
)

// Walk is the time of one round on the device that was carried, and when it
// reached the server.
type Walk struct {
	From, To, Arrived time.Time
}

// Check says whether the walk's times can be true. A round is made when it is
// finished: To is what its window is judged by.
func (w Walk) Check() error {
	if err := (Saved{WalkedAt: w.To, ArrivedAt: w.Arrived}).Check(); err != nil {
		return err
	}
	if w.From.IsZero() || w.From.After(w.To) {
		return domain.Wrong("walked", "The round ends before it begins. Walk it again.")
	}
	return nil
}

// CheckLook says whether a look can have been made on this walk: inside it, give
// or take what a clock may be off.
func (w Walk) CheckLook(at time.Time) error {
	if at.Before(w.From.Add(-clockSlack)) || at.After(w.To.Add(clockSlack)) {
		return domain.Wrong("at", "A look does not lie within its round. Look again.")
	}
	return nil
}
