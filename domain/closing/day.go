package closing

import (
	"slices"
	"strings"
	"time"

	"coldrail/domain"
)

// Heads is the count of animals that has to come out: what was in the house, plus
// what came, less what left, is what is in the house (trade.md 4.5).
type Heads struct {
	Before int // at the last close
	In     int
	Out    int // went home, given away, thrown out
	Now    int
}

// Astray is how many animals the book cannot account for: now - (before + in -
// out). Below zero some are missing; the answer is to count the tags.
func (h Heads) Astray() int { return h.Now - (h.Before + h.In - h.Out) }

// Check is a thing that is looked at before the door is locked.
type Check string

// The checks of the day's end (trade.md 4.5: machines cleaned, doors shut, alarm
// armed; waste out: 4.1, inedible).
const (
	MachinesClean Check = "machines-clean"
	DoorsShut     Check = "doors-shut"
	WasteOut      Check = "waste-out"
	AlarmArmed    Check = "alarm-armed"
)

// Checks lists them in the order of the walk.
var Checks = []Check{MachinesClean, WasteOut, DoorsShut, AlarmArmed}

var checkWords = map[Check]string{
	MachinesClean: "Machines and tables are clean", WasteOut: "Waste is out, or denatured and shut away",
	DoorsShut: "Cooler and freezer doors are shut", AlarmArmed: "The alarm is on",
}

// Words says the check as it is ticked.
func (c Check) Words() domain.Words { return domain.Say(checkWords[c]) }

// CheckDone refuses a close in which something was neither done nor explained, and names
// all of it at once.
func CheckDone(done []Check, note string) error {
	var missing domain.Words
	for _, c := range Checks {
		switch {
		case slices.Contains(done, c):
		case missing.Format == "":
			missing = c.Words()
		default:
			missing = domain.Say("%s; %s", missing, c.Words())
		}
	}
	if missing.Format == "" || strings.TrimSpace(note) != "" {
		return nil
	}
	return domain.Wrong("note", "Not ticked: %s. Do it and tick it, or write beneath why not.", missing)
}

// MayClose says whether the day may be closed now: today's or yesterday's, and no
// day that a later close covers. Days are midnights UTC of the shop's calendar; a
// zero last means that none was closed yet.
func MayClose(day, today, last time.Time) error {
	switch {
	case day.After(today):
		return domain.Refuse("close", "That day has not come yet.")
	case day.Before(today.AddDate(0, 0, -1)):
		return domain.Refuse("close", "Only today and yesterday can be closed. The next close covers the days between.")
	case !last.IsZero() && !day.After(last):
		return domain.Taken("That day is closed already, by its own close or a later one.")
	}
	return nil
}

// Open is one kind of thing that stands open overnight.
type Open struct {
	Kind  OpenKind `json:"kind"`
	Count int      `json:"count"`
	Which []string `json:"which"` // numbers of animals, rooms; the first of them, no person
}

// OpenKind names it.
type OpenKind string

// The kinds, in the order they are read out.
const (
	Incidents    OpenKind = "incidents"
	RoundsDue    OpenKind = "rounds-due"
	RoundsGone   OpenKind = "rounds-missed"
	ToPutRight   OpenKind = "to-put-right"
	OnTable      OpenKind = "on-table"
	NotBoxed     OpenKind = "not-boxed"
	Tubs         OpenKind = "tubs"
	Bay          OpenKind = "bay"
	Holds        OpenKind = "holds"
	NoOrder      OpenKind = "no-order"
	NotBilled    OpenKind = "not-billed"
	CallsDue     OpenKind = "calls-due"
	NoticesDue   OpenKind = "notices-due"
	FieldsOwed   OpenKind = "fields-owed"
	MoneyOpen    OpenKind = "money-open"
	mostStanding          = 40 // of a kind are named
)

// OpenKinds lists them in that order.
var OpenKinds = []OpenKind{Incidents, RoundsGone, RoundsDue, ToPutRight, OnTable, NotBoxed, Tubs, Bay, Holds, NoOrder, NotBilled, MoneyOpen, CallsDue, NoticesDue, FieldsOwed}

var openWords = map[OpenKind]string{
	Incidents: "Rooms that were too warm, not settled", RoundsDue: "Rounds due and not walked", RoundsGone: "Rounds missed",
	ToPutRight: "Found out of its limit and not put right", OnTable: "Still on the table", NotBoxed: "Cut and not all in boxes",
	Tubs: "Tubs open", Bay: "Found in the bay, not paired", Holds: "Held", NoOrder: "Hanging without a whole order",
	NotBilled: "In boxes and not billed", CallsDue: "Owners to call", NoticesDue: "Notices to send", FieldsOwed: "The register still lacks something",
	MoneyOpen: "Billed and not paid",
}

// Words says what stands open.
func (k OpenKind) Words() domain.Words { return domain.Say(openWords[k]) }

// Standing puts what stands open in order: kinds of which there is none are left
// out, and of each the first forty are named.
func Standing(which map[OpenKind][]string) []Open {
	list := []Open{}
	for _, k := range OpenKinds {
		if all := which[k]; len(all) > 0 {
			list = append(list, Open{Kind: k, Count: len(all), Which: all[:min(len(all), mostStanding)]})
		}
	}
	return list
}
