package plan

import "time"

// Waiting is an animal that may be cut, as the shop's records and the models tell
// of it. Days are midnights UTC of the shop's calendar.
type Waiting struct {
	ID         string
	Livestock  bool
	AtOnce     bool // cut first, or past its day
	Chilling   bool // not cold yet
	LongHang   bool // the owner was promised the hanging
	Rush       bool // paid to go first
	ReadyFrom  time.Time
	CutBy      time.Time
	Promise    time.Time // zero: none
	AfterCut   int       // days for freezing and specials
	DroppedOff time.Time
	Minutes    int
}

// Job is what the planner is asked. What is to be cut at once has to be cut by
// today and waits for nothing. What is not cold yet is cold by tomorrow: 24 h is
// the mark of the FSIS generic plan (science.md D.1). What was promised its
// hanging is not cut before it is ready. A paid rush is late from the day after
// it could first be cut.
func (w Waiting) Job(today time.Time) Job {
	j := Job{ID: w.ID, Earliest: today, ReadyFrom: w.ReadyFrom, CutBy: w.CutBy, DroppedOff: w.DroppedOff, Minutes: w.Minutes, Run: Game}
	if w.Livestock {
		j.Run = Livestock
	}
	if w.Chilling {
		j.Earliest = today.AddDate(0, 0, 1)
	}
	if w.LongHang && w.ReadyFrom.After(j.Earliest) {
		j.Earliest = w.ReadyFrom
	}
	if w.AtOnce {
		j.CutBy, j.ReadyFrom, j.Earliest = today, time.Time{}, today
	}
	if !w.Promise.IsZero() {
		j.Promise = w.Promise.AddDate(0, 0, -w.AfterCut)
	}
	if w.Rush {
		first := j.Earliest
		if j.ReadyFrom.After(first) {
			first = j.ReadyFrom
		}
		if j.Promise.IsZero() || first.Before(j.Promise) {
			j.Promise = first
		}
	}
	return j
}

// StillFreezes reports whether what was boxed at a moment is not frozen through yet, by
// Freezing: nobody is late who has not come for it.
func StillFreezes(boxed, now time.Time) bool { return now.Sub(boxed) < Freezing*24*time.Hour }

// Freezing and Specials are how many days lie between the knife and the day the
// meat may go home: packs freeze through in one to two days (trade.md 6.1), and
// sausage, sticks, jerky, cured and smoked meat take two weeks more at the least
// (1.2: two to six). Common practice, no source.
const (
	Freezing = 1
	Specials = 14
)
