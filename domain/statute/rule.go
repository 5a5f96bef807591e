package statute

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/register"
)

// Topic is what a rule is about.
type Topic string

// The topics, as Annex D has them.
const (
	Register    Topic = "register"
	Retention   Topic = "retention"
	Proof       Topic = "proof"
	Tag         Topic = "tag"
	Transport   Topic = "transport"
	Report      Topic = "report"
	Receipt     Topic = "receipt"
	Test        Topic = "test"
	Abandonment Topic = "abandonment"
	Donation    Topic = "donation"
	Livestock   Topic = "livestock"
	SamePlant   Topic = "same-plant"
	Possession  Topic = "possession"
)

var topicWords = map[Topic]string{
	Register: "What the register asks", Retention: "How long records are kept", Proof: "What is needed to take it in", Tag: "The official tag",
	Transport: "Zones and hours on the road", Report: "Reports", Receipt: "Receipts", Test: "Disease tests", Abandonment: "Meat nobody fetches",
	Donation: "Giving meat away", Livestock: "Livestock and its marks", SamePlant: "Game and livestock in one plant", Possession: "How long parts may be held",
}

// Topics lists every topic in the order of the rules page.
var Topics = []Topic{Register, Proof, Transport, Tag, Report, Test, Retention, Receipt, Abandonment, Donation, Livestock, SamePlant, Possession}

// Words names the topic.
func (t Topic) Words() domain.Words {
	if w, ok := topicWords[t]; ok {
		return domain.Say(w)
	}
	return domain.Say("%s", string(t))
}

// Trigger is what makes a report due.
type Trigger string

// The triggers. The first three come up by themselves; the others are raised on
// the page of notices.
const (
	FromOutside Trigger = "from-outside" // a head or spine from another state was taken in
	FromZone    Trigger = "from-zone"    // a carcass of a listed place without a result
	Positive    Trigger = "positive"     // a test came back detected
	MonthEnd    Trigger = "month-end"
	SeasonEnd   Trigger = "season-end"
	Yearly      Trigger = "yearly"
	Abandoned   Trigger = "abandoned"
	ComesIn     Trigger = "in" // of a receipt: an animal comes in
	GoesOut     Trigger = "out"
)

// AnyState stands for the shop's own default, Federal for the United States.
const (
	AnyState = "*"
	Federal  = "US"
)

// Rule is one thing a state asks, as a row has it.
type Rule struct {
	Key       string // such as wi-72h
	State     string // two or three letters, AnyState or Federal
	StateName string
	Topic     Topic
	Covers    string // game, livestock or both
	Species   []string
	Form      string // whole, quarters, boned; empty: each
	Fields    []string
	Trigger   Trigger
	Starts    Start
	Count     int
	Unit      Unit
	Tell      string
	Must      string // what a report has to say
	EachOwner bool   // a report that goes to each owner whose meat was reached
	Pending   string // a test that is out: no, bone-and-hold, yes
	Accepts   []Evidence
	Origin    Origin
	Mark      string // what carcass, pack or label has to bear
	Custody   Custody
	// CleanBetween asks for a cleaned table between game and livestock, and for one of
	// the two at a time.
	CleanBetween bool
	Places       []string
	Says         string
	Cites        string
	TextDate     string
	CheckedBy    string
	CheckedOn    *time.Time
	ReviewOn     *time.Time
}

var keyed = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{1,60}$`)
var stated = regexp.MustCompile(`^([A-Z]{2,3}|\*)$`)

// Check says what is wrong with a rule somebody typed.
func (r Rule) Check() error {
	switch {
	case !keyed.MatchString(r.Key):
		return domain.Wrong("rule", "Give the rule a short name of small letters, digits and dashes, such as oh-register.")
	case !stated.MatchString(r.State):
		return domain.Wrong("state", "Give the state's letters, such as NY, US for federal, or * for any state.")
	case topicWords[r.Topic] == "":
		return domain.Wrong("topic", "Say what the rule is about.")
	case r.Covers != "game" && r.Covers != "livestock" && r.Covers != "both":
		return domain.Wrong("covers", "Say whether it is about game, livestock or both.")
	case strings.TrimSpace(r.Says) == "":
		return domain.Wrong("says", "Write in a sentence what the rule asks.")
	case strings.TrimSpace(r.Cites) == "":
		return domain.Wrong("cites", "Say where the rule stands: the section, the letter, or who told you.")
	case (strings.TrimSpace(r.CheckedBy) == "") != (r.CheckedOn == nil):
		return domain.Wrong("checked_by", "Say both who checked it and on which day, or neither.")
	}
	return r.checkParts()
}

func (r Rule) checkParts() error {
	switch {
	case (r.Count == 0) != (r.Unit == "") || r.Count < 0 || r.Unit == OnDate && !r.realDate():
		return domain.Wrong("count", "Give both the number and what it counts, or neither. A day of the year is month and day, such as 601 for June 1.")
	case r.Unit != "" && r.Starts == "":
		return domain.Wrong("starts", "Say from when it is counted.")
	case r.Topic == Report && (r.Unit == "" || r.Trigger == "" || r.Tell == ""):
		return domain.Wrong("trigger", "A report needs what makes it due, to whom it goes, and by when.")
	case r.EachOwner && (r.Topic != Report || r.Trigger != Positive):
		return domain.Wrong("each_owner", "Only a report after a test that came back detected goes to each owner.")
	case r.Topic == Register && len(r.Fields) == 0:
		return domain.Wrong("fields", "Tick what the register has to hold.")
	}
	for _, name := range r.Fields {
		if _, known := register.FieldNamed(name); !known {
			return domain.Wrong("fields", "The register has no field %s.", name)
		}
	}
	if err := r.checkDuties(); err != nil {
		return err
	}
	return r.checkShares()
}

// realDate reports whether the count is a month and a day, such as 601.
func (r Rule) realDate() bool {
	month, day := r.Count/100, r.Count%100
	return month >= 1 && month <= 12 && day >= 1 && day <= time.Date(2027, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// Stale says why the rule must not be leaned on as it stands, or has no format
// where it was checked within twelve months and its review day has not come.
func (r Rule) Stale(now time.Time) domain.Words {
	switch {
	case r.CheckedOn == nil:
		return domain.Say("Nobody here has checked it. Confirm with your state before relying on it.")
	case now.After(r.CheckedOn.AddDate(1, 0, 0)):
		return domain.Say("Stale: last checked more than 12 months ago, by %s. Confirm it with your state again.", r.CheckedBy)
	case r.ReviewOn != nil && !now.Before(*r.ReviewOn):
		return domain.Say("Due to be looked at again. Confirm it with your state.")
	}
	return domain.Words{}
}

// Quoted is the rule in its own words, with where it stands and the date of that text.
func (r Rule) Quoted() domain.Words {
	name := r.StateName
	if name == "" {
		name = r.State
	}
	if r.TextDate == "" {
		return domain.Say("%s: %s (%s)", name, r.Says, r.Cites)
	}
	return domain.Say("%s: %s (%s; %s)", name, r.Says, r.Cites, r.TextDate)
}

// For reports whether the rule is about an animal of species s in form f.
//
// An empty form asks about every form.
func (r Rule) For(s domain.Species, f domain.Form) bool {
	if r.Covers == "game" && !s.Game() || r.Covers == "livestock" && s.Game() {
		return false
	}
	if len(r.Species) > 0 && !slices.Contains(r.Species, string(s)) {
		return false
	}
	return r.Form == "" || f == "" || r.Form == string(f) || r.Form == string(domain.Whole) && f == domain.WholeHideOn
}

// At reports whether the rule reaches a place: its county or its unit. A rule that
// names no places reaches all of its state; one of any state every state.
func (r Rule) At(state, county, unit string) bool {
	if !r.reaches(state) {
		return false
	}
	if len(r.Places) == 0 {
		return true
	}
	return slices.ContainsFunc(r.Places, func(p string) bool {
		p = strings.TrimSpace(p)
		return p != "" && (strings.EqualFold(p, strings.TrimSpace(county)) || strings.EqualFold(p, strings.TrimSpace(unit)))
	})
}

// reaches reports whether the rule holds in a state: its own, or each.
func (r Rule) reaches(state string) bool {
	return r.State == AnyState || r.State == Federal || r.In(state)
}

// In reports whether the rule is the state's own, by its letters or its name.
func (r Rule) In(state string) bool {
	state = strings.TrimSpace(state)
	return strings.EqualFold(r.State, state) || state != "" && strings.EqualFold(r.StateName, state)
}

// AtDoor reports whether an animal may be turned away by the rule: a law of the state
// or of the country, no habit of the shop's, about what may come in.
func (r Rule) AtDoor() bool {
	return r.State != AnyState && slices.Contains([]Topic{Proof, Tag, Transport, Report, Test, Livestock, SamePlant}, r.Topic)
}

// MayWhilePending says whether an animal of species s in form f whose test is out may
// be boned and held, by the hardest of the rules that speak of it: "no" before
// "bone-and-hold". Where none speaks, it may be boned, bagged and kept apart
// (trade.md 2.4).
func MayWhilePending(rules []Rule, s domain.Species, f domain.Form) (boneAndHold bool, by *Rule) {
	boneAndHold = true
	for i, r := range rules {
		switch {
		case r.Topic != Test || r.Pending == "" || !r.For(s, f):
		case r.Pending == "no":
			return false, &rules[i]
		default:
			by = &rules[i]
		}
	}
	return boneAndHold, by
}
