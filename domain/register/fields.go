package register

import (
	"strings"

	"coldrail/domain"
)

// Field is one thing the register can be asked for.
type Field struct {
	Name      string // the key in Line.Facts or Line.Personal
	Label     domain.Words
	Personal  bool // names or reaches a person: kept apart, blanked in time
	Game      bool // owed for game while it is empty
	Livestock bool // owed for livestock while it is empty
}

// Fields lists every field in the order it is printed.
//
// Game: union of the state rules in trade.md 2.1. Livestock: 9 CFR 303.1 and
// 320.1 (numbers and kinds, owner's name and address, dates; trade.md 3.1), and
// the age that 9 CFR 310.22 turns on, asked for cattle only.
var Fields = []Field{
	{Name: "received", Label: domain.Say("Received"), Game: true, Livestock: true},
	{Name: "deliverer", Label: domain.Say("Brought by"), Personal: true, Game: true, Livestock: true},
	{Name: "deliverer_address", Label: domain.Say("Address of who brought it"), Personal: true},
	{Name: "taker", Label: domain.Say("Killed by"), Personal: true, Game: true},
	{Name: "taker_address", Label: domain.Say("Address of who killed it"), Personal: true, Game: true},
	{Name: "licence", Label: domain.Say("Licence or ID number"), Personal: true, Game: true},
	{Name: "owner", Label: domain.Say("Owner"), Personal: true, Game: true, Livestock: true},
	{Name: "owner_address", Label: domain.Say("Address of the owner"), Personal: true, Livestock: true},
	{Name: "phone", Label: domain.Say("Phone"), Personal: true, Game: true, Livestock: true},
	{Name: "tag", Label: domain.Say("Tag, permit or confirmation number"), Game: true},
	{Name: "tag_state", Label: domain.Say("Issued by"), Game: true},
	{Name: "species", Label: domain.Say("Species"), Game: true, Livestock: true},
	{Name: "sex", Label: domain.Say("Sex"), Game: true, Livestock: true},
	{Name: "points", Label: domain.Say("Points")},
	{Name: "ear_tag", Label: domain.Say("Ear tag or brand"), Livestock: true},
	{Name: "age", Label: domain.Say("Age, and how it is known")},
	{Name: "form", Label: domain.Say("Whole, quarters or boned"), Game: true, Livestock: true},
	{Name: "weight", Label: domain.Say("Weight")},
	{Name: "kill_state", Label: domain.Say("State of kill"), Game: true},
	{Name: "county", Label: domain.Say("County of kill"), Game: true},
	{Name: "unit", Label: domain.Say("Unit or zone")},
	{Name: "property", Label: domain.Say("Ranch or property")},
	{Name: "killed", Label: domain.Say("Killed on"), Game: true, Livestock: true},
	{Name: "handed_over", Label: domain.Say("Handed over")},
	{Name: "collector", Label: domain.Say("Handed to"), Personal: true},
	{Name: "boxes", Label: domain.Say("Boxes handed over")},
	{Name: "tag_returned", Label: domain.Say("Tag given back")},
	{Name: "disposition", Label: domain.Say("What became of the rest")},
	{Name: "disposal", Label: domain.Say("How it was disposed of")},
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

// Owed lists the fields still owed for an animal of species s that came in as
// form f; given holds what is known, by field name, blanks counting as empty.
// Boned meat owes its weight (Illinois, trade.md 1.10), cattle their age.
func Owed(s domain.Species, f domain.Form, given map[string]string) []Field {
	var owed []Field
	for _, field := range Fields {
		must := field.Livestock
		switch {
		case s.Game():
			must = field.Game
		case field.Name == "age":
			must = s == domain.Beef || s == domain.Veal
		}
		if field.Name == "weight" && f == domain.Boned {
			must = true
		}
		if must && strings.TrimSpace(given[field.Name]) == "" {
			owed = append(owed, field)
		}
	}
	return owed
}
