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
		return domain.Wrong("at", "That look was not made during its round. Look again.")
	}
	return nil
}

// LongestWalk is how long one round may take, from its first step to its end.
// Whoever comes back later begins a new one. Common practice, no source: a full
// cooler takes half an hour.
const LongestWalk = 3 * time.Hour

// CheckStep says whether a step made at a moment can belong to the walk, whose To
// may still be moving.
func (w Walk) CheckStep(at time.Time) error {
	if err := (Saved{WalkedAt: at, ArrivedAt: w.Arrived}).Check(); err != nil {
		return err
	}
	if at.After(w.From.Add(LongestWalk)) || at.Before(w.To.Add(-LongestWalk)) {
		return domain.Refuse("walked", "This round was begun too long ago to go on with. Open the round again and begin a new one.")
	}
	return nil
}

// PaperWithin is how long after a paper round its sheet may be typed in. An
// outage is over by then, and what is written down later is memory. Common
// practice, no source.
const PaperWithin = 7 * 24 * time.Hour

// CheckPaper says whether a round walked on paper can be typed in now.
func (w Walk) CheckPaper() error {
	if err := w.Check(); err != nil {
		return err
	}
	if w.Arrived.Sub(w.To) > PaperWithin {
		return domain.Refuse("written", "That sheet is older than a week. Keep the sheet itself; it is not typed in any more.")
	}
	return nil
}
