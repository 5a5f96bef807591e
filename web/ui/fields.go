package ui

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"coldrail/domain"

	"github.com/a-h/templ"
)

// Input describes a form field. Label, Hint and Unit are text as shown, so
// they have been through T. Only Name and Label are needed.
type Input struct {
	Name     string        // the form value
	Label    string        // what it is called
	Value    string        // what was typed, or what is known
	Hint     string        // one line of help, beneath the label
	Unit     string        // "lb", "°F": stands after the field; a "$" it begins with stands before it
	Kind     string        // text (default), number, decimal, tel, date, datetime-local, password, email, scan
	Wrong    *domain.Error // the error of the last try; shown if it is about this field
	Required bool
	Focus    bool     // the first field of the page
	Max      int      // longest text; 200 if zero
	Fill     string   // the autocomplete token; "off" if empty
	Known    []string // words offered while typing
	ID       string   // only where one page has two fields of the same name
}

// Option is one choice of a Select, Choice or Names field.
type Option struct {
	Value string
	Label string
	Note  string // a second, smaller line
	Off   bool   // shown but cannot be chosen; Note says why
}

// LabelOf is what the options call a value; the value itself where none of them has it.
func LabelOf(options []Option, value string) string {
	for _, o := range options {
		if o.Value == value {
			return o.Label
		}
	}
	return value
}

func (in Input) id() string {
	if in.ID != "" {
		return in.ID
	}
	return "f-" + in.Name
}

// sign stands before the field and unit after it, as a price is written on paper.
func (in Input) sign() string {
	if strings.HasPrefix(in.Unit, "$") {
		return "$"
	}
	return ""
}

func (in Input) unit() string { return strings.TrimSpace(strings.TrimPrefix(in.Unit, "$")) }

// wrong returns the error if it is about this field.
func (in Input) wrong() *domain.Error {
	if in.Wrong != nil && in.Wrong.At == in.Name {
		return in.Wrong
	}
	return nil
}

// marks are the attributes that tie a field to its hint and its error.
func (in Input) marks() templ.Attributes {
	attrs := templ.Attributes{}
	var described []string
	if in.Hint != "" {
		described = append(described, in.id()+"-hint")
	}
	if in.wrong() != nil {
		described = append(described, in.id()+"-wrong")
		attrs["aria-invalid"] = "true"
	}
	if len(described) > 0 {
		attrs["aria-describedby"] = strings.Join(described, " ")
	}
	if in.Required {
		attrs["required"] = true
	}
	if in.Focus || in.wrong() != nil {
		attrs["autofocus"] = true
	}
	return attrs
}

// attributes are the marks and what the kind of an input element asks for.
// Numbers use text fields with a number pad: a number field drops what it
// cannot read, and the sentence about it with it.
func (in Input) attributes() templ.Attributes {
	attrs := in.marks()
	attrs["type"], attrs["autocomplete"] = "text", "off"
	attrs["maxlength"] = strconv.Itoa(cmp.Or(in.Max, 200))
	switch in.Kind {
	case "number":
		attrs["inputmode"] = "numeric"
	case "decimal":
		attrs["inputmode"] = "decimal"
	case "scan":
		attrs["autocapitalize"], attrs["spellcheck"], attrs["inputmode"] = "characters", "false", "numeric"
	case "":
	default:
		attrs["type"] = in.Kind
	}
	if in.Fill != "" {
		attrs["autocomplete"] = in.Fill
	}
	if len(in.Known) > 0 {
		attrs["list"] = in.id() + "-known"
	}
	return attrs
}

// tiled is the class of tiles by what stands on them: more than a word or two, or a
// second line, needs room; short words stand closer, two beside each other on a phone.
func tiled(options []Option) string {
	label, word := 0, 0 // letters of the longest
	for _, o := range options {
		if o.Note != "" {
			return "tiles wide-tiles"
		}
		label = max(label, utf8.RuneCountInString(o.Label))
		for w := range strings.FieldsSeq(o.Label) {
			word = max(word, utf8.RuneCountInString(w))
		}
	}
	switch {
	case label > 18:
		return "tiles wide-tiles"
	case label <= 12 && word <= 8:
		return "tiles tight"
	}
	return "tiles"
}

func (in Input) class() string {
	class := "field"
	switch in.Kind {
	case "number", "decimal", "scan":
		class += " short"
	}
	if in.wrong() != nil {
		class += " is-wrong"
	}
	return class
}

// describedBy ties a group of tiles to its hint and its error.
func describedBy(in Input) templ.Attributes {
	marks := in.marks()
	delete(marks, "required") // a fieldset has neither
	delete(marks, "autofocus")
	delete(marks, "aria-invalid")
	return marks
}

// among reports whether a value is one of list.
func among(list []string) func(string) bool {
	return func(value string) bool { return slices.Contains(list, value) }
}
