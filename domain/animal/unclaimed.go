package animal

import (
	"time"

	"coldrail/domain"
)

// Ladder is how the shop goes about meat nobody fetches: the days are counted from
// the first notice. Nothing of it happens while it is off. The state's own rule goes
// before these days (trade.md 8, 7; common practice, no source).
type Ladder struct {
	On              bool
	SecondDays      int // a second notice
	LetterDays      int // a letter, approved by the owner
	DecideDays      int // the owner decides: given away, never sold
	AfterLetterDays int // and not before so many days after the letter was sent
}

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
}

// triesForLetter is how many tries in a week are enough for a letter before its day
// (trade.md 8, 2).
const triesForLetter = 3

// Rung says what comes next for the animal at now.
func (l Ladder) Rung(t Told, now time.Time) Rung {
	if t.First.IsZero() {
		return NotTold
	}
	days := int(now.Sub(t.First).Hours() / 24)
	switch {
	case !l.On:
		return Waits
	case t.Approved:
		return SendIt
	case t.Drafted:
		return ApproveIt
	case t.Letters > 0:
		if days >= l.DecideDays && now.Sub(t.SentAt) >= time.Duration(l.AfterLetterDays)*24*time.Hour {
			return Decide
		}
		return LetterOut
	case days >= l.LetterDays || t.Lately >= triesForLetter:
		return WriteLetter
	case days >= l.SecondDays && t.Tries < 2:
		return TellAgain
	}
	return Waits
}

// DecideOn is the first day on which the owner may decide; zero before a letter is out.
func (l Ladder) DecideOn(t Told) time.Time {
	if t.Letters == 0 {
		return time.Time{}
	}
	byNotice, byLetter := t.First.AddDate(0, 0, l.DecideDays), t.SentAt.AddDate(0, 0, l.AfterLetterDays)
	if byLetter.After(byNotice) {
		return byLetter
	}
	return byNotice
}

// Due reports whether somebody has to write, approve, send or decide now.
func (r Rung) Due() bool { return r == WriteLetter || r == ApproveIt || r == SendIt || r == Decide }

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
	case r != WriteLetter && r != LetterOut && r != Decide:
		return domain.Refuse("ladder", "It is too early for a letter: first %v.", r.Words())
	}
	return nil
}

// MayGiveAway says whether the meat may be given away now. Selling it is never
// offered: it is the owner's, and it was never inspected.
func (l Ladder) MayGiveAway(t Told, now time.Time) error {
	switch r := l.Rung(t, now); {
	case !l.On:
		return domain.Refuse("ladder", "The ladder for meat nobody fetches is off. The owner of the shop turns it on first.")
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
	Phone   string // the shop's
	Within  int    // days to answer
}

// Sentences are the letter, sentence by sentence. It never speaks of a sale but to
// say that there is none.
func (l LetterTo) Sentences() []domain.Words {
	said := []domain.Words{
		domain.Say("Your %s, number %s, has been cut, wrapped and frozen since %s: %d boxes, %v.", l.Species.Words(), string(l.Number), l.Since, l.Boxes, l.Kg),
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
	return append(said, come,
		domain.Say("If we do not hear from you it may then be given away, as the law of the state allows. It will not be sold."))
}
