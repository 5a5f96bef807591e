package round

import (
	"fmt"
	"time"

	"coldrail/domain"
)

// TimeOfDay is minutes after midnight by the clock on the wall.
type TimeOfDay int

// Hours are the shop's times for the two rounds.
type Hours struct {
	Morning, Evening TimeOfDay
	Half             time.Duration // a window opens this long before its time and closes as long after
}

// Check says whether two windows a day fit without touching, on the shortest
// day too: the one that loses an hour in spring has 23.
func (h Hours) Check() error {
	between := time.Duration(h.Evening-h.Morning) * time.Minute
	overnight := 23*time.Hour - between
	switch {
	case h.Morning < 0 || h.Evening >= 24*60 || h.Evening <= h.Morning:
		return domain.Wrong("hours", "Give a morning and an evening time within one day.")
	case h.Half < 15*time.Minute:
		return domain.Wrong("half", "Leave at least 15 minutes either way.")
	case 2*h.Half >= between || 2*h.Half >= overnight:
		return domain.Wrong("half", "The two windows run into each other. Make them shorter.")
	}
	return nil
}

// Part says which of the day's two rounds it is.
type Part string

// The two rounds of a day.
const (
	Morning Part = "morning"
	Evening Part = "evening"
)

// Window is the time in which one round is due.
type Window struct {
	Day    string // the shop's own date, such as 2026-11-07
	Part   Part
	Due    time.Time
	Opens  time.Time
	Closes time.Time
	Next   time.Time // when the next window opens: until then a late walk belongs here
}

// Windows returns the windows that open in [from, to), in order. Due is the
// time on the shop's wall clock; the half window runs in elapsed time, so that
// it is as long on the night the clocks change. A time of day the clocks jump
// over falls an hour to one side, as package time has it.
func Windows(from, to time.Time, shop Hours, zone *time.Location) []Window {
	var found []Window
	// A window may open on the day before its own date, hence a day each way.
	day := from.In(zone).AddDate(0, 0, -1)
	last := to.In(zone).AddDate(0, 0, 2)
	for ; day.Before(last); day = day.AddDate(0, 0, 1) {
		found = append(found, window(day, Morning, shop.Morning, shop, zone), window(day, Evening, shop.Evening, shop, zone))
	}
	kept := found[:0]
	for i, w := range found {
		if i+1 == len(found) || w.Opens.Before(from) || !w.Opens.Before(to) {
			continue
		}
		w.Next = found[i+1].Opens
		kept = append(kept, w)
	}
	return kept
}

func window(day time.Time, part Part, at TimeOfDay, shop Hours, zone *time.Location) Window {
	y, m, d := day.Date()
	due := time.Date(y, m, d, int(at)/60, int(at)%60, 0, 0, zone)
	return Window{Day: due.Format(time.DateOnly), Part: part, Due: due, Opens: due.Add(-shop.Half), Closes: due.Add(shop.Half)}
}

// Saved is what is known of one round that was walked.
type Saved struct {
	WalkedAt  time.Time // true time of the walk; on paper, the time written down
	ArrivedAt time.Time // when it reached the server
	OnPaper   bool
}

// State says how one due round stands.
type State string

// The states of a due round.
const (
	Waiting State = "waiting"
	Open    State = "open"
	Done    State = "done"
	Late    State = "late"
	Missed  State = "missed"
	OnPaper State = "paper"
)

// Missed reports whether the window passed without its round. A late walk is
// worth having and does not undo that.
func (s State) Missed() bool { return s == Missed || s == Late }

// Words names the state as the shop says it.
func (s State) Words() domain.Words {
	switch s {
	case Waiting:
		return domain.Say("not yet due")
	case Open:
		return domain.Say("due now")
	case Done:
		return domain.Say("done")
	case Late:
		return domain.Say("missed, walked late")
	case Missed:
		return domain.Say("missed")
	case OnPaper:
		return domain.Say("done on paper")
	}
	return domain.Say("%s", string(s))
}

// State says how the window stands at now, given the rounds saved so far. Only
// the walk's own time counts: a round walked inside the window that arrives
// hours later turns missed into done.
func (w Window) State(saved []Saved, now time.Time) State {
	late := false
	paper := false
	for _, s := range saved {
		inside := !s.WalkedAt.Before(w.Opens) && !s.WalkedAt.After(w.Closes)
		switch {
		case inside && !s.OnPaper:
			return Done
		case inside:
			paper = true
		case s.WalkedAt.After(w.Closes) && s.WalkedAt.Before(w.Next):
			late = true
		}
	}
	switch {
	case paper:
		return OnPaper
	case late:
		return Late
	case now.Before(w.Opens):
		return Waiting
	case !now.After(w.Closes):
		return Open
	}
	return Missed
}

// clockSlack is how far a tablet's clock may run ahead (readiness.md section 8).
const clockSlack = 10 * time.Minute

// Check says whether a walk's times can be true.
func (s Saved) Check() error {
	if s.WalkedAt.IsZero() {
		return domain.Wrong("walked", "The round has no time. Walk it again.")
	}
	if s.WalkedAt.After(s.ArrivedAt.Add(clockSlack)) {
		return domain.Wrong("walked", "The round lies in the future. Set the clock of this tablet and send again.")
	}
	return nil
}

// MissedInARow counts the missed rounds at the end of a list in order of time.
// Rounds not yet due or open do not break the row. At two the owner is phoned
// (trade.md 4.3).
func MissedInARow(states []State) int {
	n := 0
	for i := len(states) - 1; i >= 0; i-- {
		switch {
		case states[i].Missed():
			n++
		case states[i] != Waiting && states[i] != Open:
			return n
		}
	}
	return n
}

// Clock writes the time of day as it stands on the wall, such as 7:00.
func (t TimeOfDay) Clock() string { return fmt.Sprintf("%d:%02d", int(t)/60, int(t)%60) }

// ReadTimeOfDay reads a time of day as a field of kind time sends it, such as
// 07:00.
func ReadTimeOfDay(at, typed string) (TimeOfDay, error) {
	t, err := time.Parse("15:04", typed)
	if err != nil {
		return 0, domain.Wrong(at, "Give a time of day, such as 07:00 or 19:00.")
	}
	return TimeOfDay(t.Hour()*60 + t.Minute()), nil
}
