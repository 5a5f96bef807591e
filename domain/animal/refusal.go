package animal

import (
	"strings"

	"coldrail/domain"
)

// Finding is what was found at the door for which an animal is turned away. The
// list and what to do follow trade.md 1.6 and the sources named there; the state's
// own rule goes before it.
type Finding string

// The findings.
const (
	NoTag      Finding = "no-tag"
	TagDiffers Finding = "tag-differs"
	Spoiled    Finding = "spoiled"
	WarmLong   Finding = "warm-long"
	Sick       Finding = "sick"
	OutOfTime  Finding = "out-of-time"
	OtherState Finding = "other-state"
	TestWaits  Finding = "test-waits"
	BadBag     Finding = "bad-bag"
	NoPermit   Finding = "no-permit"
	Full       Finding = "full"
	SickStock  Finding = "sick-stock"
)

// Findings lists them in the order of trade.md 1.6.
var Findings = []Finding{NoTag, TagDiffers, Spoiled, WarmLong, Sick, OutOfTime, OtherState, TestWaits, BadBag, NoPermit, Full, SickStock}

var findingWords = map[Finding][2]string{
	NoTag:      {"no legal tag, or not checked in", "Offer to wait while they check it in by phone."},
	TagDiffers: {"tag does not fit the animal", "Give them the warden's number. Take a picture of tag and animal."},
	Spoiled:    {"spoiled: green, putrid, maggots or gas", "Take a picture and note the smell. In some states an officer replaces the tag of unfit game: say so."},
	WarmLong:   {"warm too long after the kill", "Write down temperature, place of the probe and hours since the kill."},
	Sick:       {"looked sick, thin, abscesses, odd behavior", "Do not open it. Tell the wildlife agency and write down whom you told."},
	OutOfTime:  {"whole carcass past its time to be moved", "Ask the state's agency before anything else is done with it."},
	OtherState: {"whole carcass or head from another state", "Some states want a report within hours. Look at the rules page."},
	TestWaits:  {"disease test not back yet", "Write down the sample's number; they may come back with the result."},
	BadBag:     {"meat in bags that are not for food", "Last in line, or not at all."},
	NoPermit:   {"road-kill or nuisance animal without its permit", "They may come back with the permit."},
	Full:       {"cooler full, or this form closed", "Tell them who else cuts game nearby."},
	SickStock:  {"livestock down, sick, lame or treated", "Write down what the farmer said about treatment."},
}

// Known reports whether f is one of Findings.
func (f Finding) Known() bool { _, known := findingWords[f]; return known }

// Words names the finding.
func (f Finding) Words() domain.Words {
	if w, known := findingWords[f]; known {
		return domain.Say(w[0])
	}
	return domain.Say("%s", string(f))
}

// Advice says what else the counter does.
func (f Finding) Advice() domain.Words { return domain.Say(findingWords[f][1]) }

// ToThem is what whoever brought it is told, and reads on the slip they take home.
func (f Finding) ToThem() domain.Words {
	switch f {
	case NoTag, NoPermit:
		return domain.Say("We may not take it in without its tag or permit. You may bring it back once it has them.")
	case TagDiffers:
		return domain.Say("The tag and the animal do not fit together. Please ask the game warden before anything else is done with it.")
	case Spoiled, WarmLong, Sick:
		return domain.Say("We did not take it in for the reason above. We do not judge whether it may be eaten. Ask your state's wildlife agency what to do with it, and about its tag.")
	case OutOfTime, OtherState:
		return domain.Say("Ask your state's wildlife agency before it is moved any further.")
	case TestWaits:
		return domain.Say("You may bring it back when the result of its test is here.")
	case SickStock:
		return domain.Say("We did not take it in for the reason above. Please call a veterinarian.")
	}
	return domain.Say("We do not take it in today. You may ask us again, or another shop.")
}

// Refusal is what is written down when something is turned away. The name may be
// kept back by whoever brought it.
type Refusal struct {
	Finding Finding
	Reason  string // what was seen, in the counter's own words
	Species domain.Species
	Name    string
	Phone   string
	Tag     string // the state's number, if it could be read
	Deep    *domain.Celsius
	Told    string // which agency was told
	Said    string // what they were told besides, in the counter's own words
}

// Check says whether the refusal may be written down.
func (r Refusal) Check() error {
	switch {
	case !r.Finding.Known():
		return domain.Wrong("finding", "Choose what was found.")
	case strings.TrimSpace(r.Reason) == "":
		return domain.Wrong("reason", "Write what you saw, in a few words.")
	case r.Species != "" && !r.Species.Known():
		return domain.Wrong("species", "We do not know this species. Choose one from the list.")
	case r.Deep != nil && !(*r.Deep >= minTemp && *r.Deep <= maxTemp):
		return domain.Wrong("deep", "That temperature cannot be right. Measure again, from %v to %v.", minTemp, maxTemp)
	case r.Finding == Sick && strings.TrimSpace(r.Told) == "":
		return domain.Wrong("told", "Write down whom you told: the wildlife agency wants to hear of a sick animal.")
	}
	return nil
}
