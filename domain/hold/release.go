package hold

import (
	"strings"
	"time"

	"coldrail/domain"
)

// Source says where a disease result was read.
type Source string

// The sources of a result. OwnerSays is recorded, and closes nothing.
const (
	AgencySite   Source = "agency-site"
	AgencyLetter Source = "agency-letter"
	LabReport    Source = "lab-report"
	AgencyCall   Source = "agency-call" // called by the shop, name of the officer in the note
	OwnerSays    Source = "owner-says"
)

// Result is the laboratory's word.
type Result string

// The results. There is no word for "fine": a negative is "not detected".
const (
	NotDetected Result = "not-detected"
	Detected    Result = "detected"
)

// Evidence is what was seen that ends a hold.
type Evidence struct {
	By     string // who closes it
	Second string // a second person, where two have to look
	Note   string // what was seen or done

	// Only for disease holds.
	Result     Result
	ResultDay  time.Time // the date on the result
	Source     Source
	SeenBy     string // who of the shop read it with their own eyes
	Surrenders bool   // after a positive: the owner gives the meat up
	Keeps      bool   // after a positive: the owner was told and wants it
}

// CheckClose says whether the evidence ends the hold at now. What is missing
// comes back as Invalid at its field; what cannot end this hold is Refused, and
// the hold stays.
func CheckClose(h Hold, e Evidence, now time.Time) error {
	switch {
	case !h.Open():
		return domain.Taken("This hold is already closed.")
	case strings.TrimSpace(e.By) == "":
		return domain.Wrong("by", "Say who closes the hold.")
	case h.Kind.Disease():
		return checkDisease(h, e, now)
	case strings.TrimSpace(e.Note) == "":
		return domain.Wrong("note", "%s", Needed(h.Kind))
	case needsTwo(h.Kind) && (strings.TrimSpace(e.Second) == "" || sameName(e.Second, e.By)):
		return domain.Wrong("second", "A second person has to look at this one too. Say who.")
	}
	return nil
}

// checkDisease: a result counts only when someone of the shop read it at its
// source. The hunter often knows first; "he says it is fine" keeps the hold
// (trade.md 2.4).
func checkDisease(h Hold, e Evidence, now time.Time) error {
	switch e.Source {
	case AgencySite, AgencyLetter, LabReport, AgencyCall:
	case OwnerSays:
		return domain.Refuse("hold", "The owner's word does not end this hold. Read the result yourself: site, letter, laboratory or agency.")
	default:
		return domain.Wrong("source", "Say where the result was read: agency site, agency letter, laboratory report or a call to the agency.")
	}
	switch {
	case e.ResultDay.IsZero():
		return domain.Wrong("result_day", "Give the date on the result.")
	case e.ResultDay.After(now):
		return domain.Wrong("result_day", "The date on the result lies in the future. Read it again.")
	case strings.TrimSpace(e.SeenBy) == "":
		return domain.Wrong("seen_by", "Say who read the result.")
	case e.Result != NotDetected && e.Result != Detected:
		return domain.Wrong("result", "Enter the result as the laboratory wrote it: not detected, or detected.")
	}
	if h.Kind == TestPending && e.Result == Detected {
		return domain.Refuse("hold", "The result is detected. Open the hold for a positive test first; this one stays.")
	}
	if h.Kind == Positive {
		return checkPositive(e)
	}
	return nil
}

// checkPositive: a positive ends only by the owner's own choice, after being
// told, with the agency's way written down (trade.md 2.5). As when meat is
// condemned, the lead and a second person sign (Annex B).
func checkPositive(e Evidence) error {
	switch {
	case e.Surrenders == e.Keeps:
		return domain.Wrong("owner", "The owner has to be told, and to choose: give the meat up or keep it.")
	case strings.TrimSpace(e.Note) == "":
		return domain.Wrong("note", "Write down what the agency said and what was done.")
	case strings.TrimSpace(e.Second) == "" || sameName(e.Second, e.By):
		return domain.Wrong("second", "A second person has to look at this one too. Say who.")
	}
	return nil
}

// needsTwo: whose animal it is takes two signatures (trade.md Annex C, 31). In a
// shop of one the second is the officer or the owner of the animal.
func needsTwo(k Kind) bool { return k == Identity }

func sameName(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}

// Needed says what has to be seen or written down to end a hold of this kind.
func Needed(k Kind) domain.Words {
	switch k {
	case TestPending:
		return domain.Say("The result, where it was read, its date, and who read it.")
	case Positive:
		return domain.Say("The result, what the agency said, the owner's choice, and two people.")
	case Tag:
		return domain.Say("What was wrong with the tag, and what put it right.")
	case Warden:
		return domain.Say("The officer's name and badge, and what was said.")
	case OrderIncomplete:
		return domain.Say("Who gave the rest of the order, and when.")
	case Payment:
		return domain.Say("How it was paid, or who of the owners let it go unpaid.")
	case Quality:
		return domain.Say("What was found at the second look, and what was trimmed.")
	case Temperature:
		return domain.Say("The meat temperatures measured, the decision, and the reason.")
	case Identity:
		return domain.Say("What shows whose it is: tag, photo, weight, antlers; and two people.")
	case ShareMate:
		return domain.Say("That the other owner's order is in and the two agree.")
	case Dispute:
		return domain.Say("The paper that ends the dispute.")
	}
	return domain.Say("Say what was seen.")
}
