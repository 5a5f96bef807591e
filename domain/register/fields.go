package register

import (
	"strings"

	"coldrail/domain"
)

// Field is one thing the register can be asked for.
type Field struct {
	Name     string // the key in Line.Facts or Line.Personal
	Label    domain.Words
	Personal bool // names or reaches a person: kept apart, blanked in time

	Private domain.Private // whose work needs it (domain/sight.go); empty: everyone's
}

// Fields lists every field in the order it is printed.
//
// It is the union of the state rules in trade.md 2.1, of 9 CFR 303.1 and 320.1 for
// livestock, and the age that 9 CFR 310.22 turns on. Which of them are owed is for
// the rules of the shop's state to say (domain/statute).
var Fields = []Field{
	{Name: "received", Label: domain.Say("Received")},
	{Name: "deliverer", Label: domain.Say("Brought by"), Personal: true, Private: domain.Names},
	{Name: "deliverer_address", Label: domain.Say("Address of who brought it"), Personal: true, Private: domain.Addresses},
	{Name: "taker", Label: domain.Say("Killed by"), Personal: true, Private: domain.Names},
	{Name: "taker_address", Label: domain.Say("Address of who killed it"), Personal: true, Private: domain.Addresses},
	{Name: "licence", Label: domain.Say("License or ID number"), Personal: true, Private: domain.Licences},
	{Name: "owner", Label: domain.Say("Owner"), Personal: true},
	{Name: "owner_address", Label: domain.Say("Address of the owner"), Personal: true, Private: domain.Addresses},
	{Name: "phone", Label: domain.Say("Phone"), Personal: true, Private: domain.Phones},
	{Name: "tag", Label: domain.Say("Tag, permit or confirmation number")},
	{Name: "tag_state", Label: domain.Say("Issued by")},
	{Name: "proof", Label: domain.Say("Proof that was shown")},
	{Name: "receipt", Label: domain.Say("Receipt given at drop-off")},
	{Name: "species", Label: domain.Say("Species")},
	{Name: "sex", Label: domain.Say("Sex")},
	{Name: "points", Label: domain.Say("Points")},
	{Name: "ear_tag", Label: domain.Say("Ear tag or brand")},
	{Name: "age", Label: domain.Say("Age, and how it is known")},
	{Name: "form", Label: domain.Say("Whole, quarters or boned")},
	{Name: "weight", Label: domain.Say("Weight")},
	{Name: "kill_state", Label: domain.Say("State of kill")},
	{Name: "county", Label: domain.Say("County of kill")},
	{Name: "unit", Label: domain.Say("Unit or zone")},
	{Name: "property", Label: domain.Say("Ranch or property")},
	{Name: "killed", Label: domain.Say("Killed on")},
	{Name: "handed_over", Label: domain.Say("Handed over")},
	{Name: "collector", Label: domain.Say("Handed to"), Personal: true, Private: domain.Names},
	{Name: "boxes", Label: domain.Say("Boxes handed over")},
	{Name: "receipt_out", Label: domain.Say("Receipt given at pick-up")},
	{Name: "tag_returned", Label: domain.Say("Tag given back")},
	{Name: "disposition", Label: domain.Say("What became of the rest")},
	{Name: "disposal", Label: domain.Say("How it was disposed of")},
}

// Reason is what was typed as the reason of a correction. Nobody is asked for it by a
// rule, and since it may hold a name it stands beside its line, as what is personal does.
var Reason = Field{Name: "reason", Personal: true}

// IsPersonal reports whether the values of a field stand beside their line, the line
// holding their digests.
func IsPersonal(name string) bool {
	f, _ := FieldNamed(name)
	return f.Personal || name == Reason.Name
}

// FieldNamed finds a field by its name.
func FieldNamed(name string) (Field, bool) {
	for _, f := range Fields {
		if f.Name == name {
			return f, true
		}
	}
	return Field{}, false
}

// Owed lists the fields still owed of those that are asked, in the order they are
// printed; given holds what is known, by field name, blanks counting as empty.
func Owed(asked map[string]bool, given map[string]string) []Field {
	var owed []Field
	for _, field := range Fields {
		if asked[field.Name] && strings.TrimSpace(given[field.Name]) == "" {
			owed = append(owed, field)
		}
	}
	return owed
}
