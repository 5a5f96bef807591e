package domain

import "errors"

// Kind says what the person at the screen can do about an error.
type Kind int

// The five kinds. Package web turns each into one HTTP status.
const (
	Internal Kind = iota // our fault: it is logged, the screen shows a reference number
	Invalid              // the form is wrong: it is shown again with the field marked
	NotFound             // no such animal, round or hook
	Conflict             // somebody else changed it first: reload and look
	Refused              // a rule of the shop forbids it now: the message says which
)

// Error is the only error type whose words reach a person.
type Error struct {
	Kind Kind
	At   string // Invalid: the form field. Refused: a short name of the rule.
	Msg  Words  // what happened and what to do now, in plain words; no ids, no SQL
}

// Error returns the English sentence.
func (e *Error) Error() string { return e.Msg.String() }

// Wrong says that the form field at cannot be taken as it is.
func Wrong(at, format string, args ...any) *Error {
	return &Error{Kind: Invalid, At: at, Msg: Say(format, args...)}
}

// Missing says that what was asked for does not exist.
func Missing(format string, args ...any) *Error {
	return &Error{Kind: NotFound, Msg: Say(format, args...)}
}

// Taken says that somebody else was first.
func Taken(format string, args ...any) *Error {
	return &Error{Kind: Conflict, Msg: Say(format, args...)}
}

// Refuse says that the rule forbids the act now.
func Refuse(rule, format string, args ...any) *Error {
	return &Error{Kind: Refused, At: rule, Msg: Say(format, args...)}
}

// As finds the *Error in err's chain. Any other error comes back as Internal,
// with no words of its own, so that nothing inside the program leaks out.
func As(err error) *Error {
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	return &Error{Kind: Internal, Msg: Say("Something went wrong on our side. Nothing was changed.")}
}
