package animal

import (
	"time"

	"coldrail/domain"
)

// Ladder is how the shop goes about meat nobody fetches: the days are counted from
// the first notice. Nothing of it happens while it is off. Where the state counts days
// of its own, those take the place of the shop's (trade.md 8, 7; the shop's are common
// practice, no source).
type Ladder struct {
	On              bool
	SecondDays      int // a second notice
	LetterDays      int // a letter, approved by the owner
	DecideDays      int // the owner decides: given away, never sold
	AfterLetterDays int // and not before so many days after the letter was sent

	State Terms // of one animal; empty where the state counts nothing
}

// Terms are the days the state's rules set for one animal. A zero time: the rules say
// nothing of it.
type Terms struct {
	Letter      time.Time // no letter before
	Report      time.Time // the agency is told from then on
	Decide      time.Time // it may be given away after
	FromMailing bool      // the decision is counted from the mailing of a letter
}

// Counts reports whether the state counts any days at all.
func (t Terms) Counts() bool { return !t.Letter.IsZero() || t.FromMailing }

// Rung is how far the ladder has come for one animal.
type Rung string

// The rungs.
const (
	NotTold     Rung = "not-told"
	Waits       Rung = "waits"
	TellAgain   Rung = "tell-again"
	WriteLetter Rung = "write-letter"
	ApproveIt   Rung = "approve-letter"
	SendIt      Rung = "send-letter"
	LetterOut   Rung = "letter-out"
	TellAgency  Rung = "tell-agency"
	Decide      Rung = "decide"
)

// Told is what was done so far to reach the owner.
type Told struct {
	First    time.Time // the first notice; zero: none
	Tries    int       // calls, texts and visits, the busy line among them
	Last     time.Time
	Lately   int // tries in the last seven days
	Letters  int // sent
	SentAt   time.Time
	BackAt   time.Time // the last letter came back undelivered
	Drafted  bool      // a letter is written and not approved
	Approved bool      // and approved, not sent

	ReportOpen bool // the state wants a report, and nobody has made it yet
	BackSeen   bool // there is a picture of the letter that came back
}

// triesForLetter is how many tries in a week are enough for a letter before its day
// (trade.md 8, 2).
const triesForLetter = 3

// Rung says what comes next for the animal at now.
func (l Ladder) Rung(t Told, now time.Time) Rung {
	switch {
	case !l.On && t.First.IsZero():
		return NotTold
	case !l.On:
		return Waits
	case t.Approved:
		return SendIt
	case t.Drafted:
		return ApproveIt
	case t.Letters > 0:
		return l.afterLetter(t, now)
	case l.letterDue(t, now):
		return WriteLetter
	case t.First.IsZero():
		return NotTold
	case daysSince(t.First, now) >= l.SecondDays && t.Tries < 2:
		return TellAgain
	}
	return Waits
}

// afterLetter is the rung once a letter is out.
func (l Ladder) afterLetter(t Told, now time.Time) Rung {
	switch {
	case t.ReportOpen && !now.Before(l.State.Report):
		return TellAgency
	case !t.ReportOpen && !now.Before(l.DecideOn(t)):
		return Decide
	}
	return LetterOut
}

// letterDue reports whether a letter is to be written: on the state's day, or where
// the state names none on the shop's, or after three tries in a week.
func (l Ladder) letterDue(t Told, now time.Time) bool {
	if !l.State.Letter.IsZero() {
		return !now.Before(l.State.Letter)
	}
	return !t.First.IsZero() && daysSince(t.First, now) >= l.LetterDays || t.Lately >= triesForLetter
}

// AnswerWithin is how many days a letter of today gives for an answer: as many as lie
// before the meat may be given away by the shop's days, least at the least. Where the
// state counts from the mailing the letter gives its rule in its own words besides.
func (l Ladder) AnswerWithin(least int) int { return max(l.AfterLetterDays, least) }

func daysSince(from, now time.Time) int { return int(now.Sub(from).Hours() / 24) }

// DecideOn is the first moment at which the owner may decide; zero before a letter is
// out.
func (l Ladder) DecideOn(t Told) time.Time {
	if t.Letters == 0 {
		return time.Time{}
	}
	if l.State.FromMailing {
		return l.State.Decide.Add(time.Minute)
	}
	byNotice, byLetter := t.First.AddDate(0, 0, l.DecideDays), t.SentAt.AddDate(0, 0, l.AfterLetterDays)
	if byLetter.After(byNotice) {
		return byLetter
	}
	return byNotice
}

// Due reports whether somebody has to write, approve, send or decide now.
func (r Rung) Due() bool {
	return r == WriteLetter || r == ApproveIt || r == SendIt || r == TellAgency || r == Decide
}

// Words says the rung as what to do.
func (r Rung) Words() domain.Words {
	switch r {
	case NotTold:
		return domain.Say("nobody was told yet: call them")
	case TellAgain:
		return domain.Say("tell them a second time")
	case WriteLetter:
		return domain.Say("a letter is due")
	case ApproveIt:
		return domain.Say("a letter waits for the owner of the shop")
	case SendIt:
		return domain.Say("a letter is approved: print and send it")
	case LetterOut:
		return domain.Say("the letter is out")
	case TellAgency:
		return domain.Say("the state wants a report: make it")
	case Decide:
		return domain.Say("the owner of the shop decides")
	}
	return domain.Say("waits")
}

// Check says whether the days make a ladder.
func (l Ladder) Check() error {
	switch {
	case l.SecondDays < 1 || l.SecondDays > 60:
		return domain.Wrong("second", "A second notice comes after 1 to 60 days.")
	case l.LetterDays < 7 || l.LetterDays > 180 || l.LetterDays <= l.SecondDays:
		return domain.Wrong("letter", "A letter comes after the second notice, within 7 to 180 days.")
	case l.DecideDays < l.LetterDays || l.DecideDays < 14 || l.DecideDays > 365:
		return domain.Wrong("decide", "You decide no earlier than the letter, within 14 to 365 days.")
	case l.AfterLetterDays < 0 || l.AfterLetterDays > 180:
		return domain.Wrong("after_letter", "Give 0 to 180 days after the letter.")
	}
	return nil
}

// MayWrite says whether a letter may be written now.
func (l Ladder) MayWrite(t Told, now time.Time) error {
	switch r := l.Rung(t, now); {
	case !l.On:
		return domain.Refuse("ladder", "Letters are off. The owner of the shop turns them on first.")
	case r == ApproveIt || r == SendIt:
		return domain.Taken("A letter is written already. Look at it first.")
	case r != WriteLetter && r != LetterOut && r != TellAgency && r != Decide:
		if !l.State.Letter.IsZero() {
			return domain.Refuse("ladder", "It is too early for a letter: your state's rule wants it kept until %s.", l.State.Letter)
		}
		return domain.Refuse("ladder", "It is too early for a letter: first %v.", r.Words())
	}
	return nil
}

// MayGiveAway says whether the meat may be given away now. Selling it is never
// offered: it is the owner's, and it was never inspected.
func (l Ladder) MayGiveAway(t Told, now time.Time) error {
	switch r := l.Rung(t, now); {
	case !l.On:
		return domain.Refuse("ladder", "The steps for meat nobody fetches are off. The owner of the shop turns them on first.")
	case t.Letters > 0 && t.ReportOpen:
		return domain.Refuse("ladder", "Your state wants a report first. Print it, make it, and note it on the page of notices.")
	case l.State.FromMailing && !t.BackAt.IsZero() && !t.BackSeen:
		return domain.Refuse("ladder", "Take a picture of the letter that came back first: it is kept with the report.")
	case r != Decide:
		return domain.Refuse("ladder", "It is too early to give it away: %v. Your state may ask for more days and a report.", r.Words())
	}
	return nil
}

// LetterTo is what a letter about meat nobody fetches says.
type LetterTo struct {
	Species domain.Species
	Number  domain.ShopNumber
	Since   time.Time // in the freezer
	Boxes   int
	Kg      domain.Kilogram
	Told    Told
	Owed    domain.Cents
	Phone   string         // the shop's
	Within  int            // days to answer
	Law     []domain.Words // what the state's rules say, each with where it stands
}

// Sentences are the letter, sentence by sentence. It never speaks of a sale but to
// say that there is none.
func (l LetterTo) Sentences() []domain.Words {
	said := []domain.Words{
		domain.Say("Your %s, number %s, has been cut, wrapped and frozen since %s: %s, %v.", l.Species.Words(), string(l.Number), l.Since, domain.Say("%d boxes", l.Boxes), l.Kg),
	}
	if !l.Told.First.IsZero() {
		said = append(said, domain.Say("We have tried to reach you %d times, the first time on %s.", l.Told.Tries, l.Told.First))
	}
	if l.Owed > 0 {
		said = append(said, domain.Say("For the work %s is still owed.", l.Owed.String()))
	}
	come := domain.Say("Please come for it, or call us, within %d days of this letter.", l.Within)
	if l.Phone != "" {
		come = domain.Say("Please come for it, or call us at %s, within %d days of this letter.", l.Phone, l.Within)
	}
	said = append(said, come)
	said = append(said, l.Law...)
	return append(said,
		domain.Say("If we do not hear from you it may then be given away, as the law of the state allows. It will not be sold."))
}
