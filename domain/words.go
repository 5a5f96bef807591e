package domain

import "fmt"

// Words is a sentence for a person: an English format that is also its key in
// the message catalogue, and the values that go into it. The domain speaks
// Words so that a screen in another language can say the same thing.
type Words struct {
	Format string
	Args   []any
}

// Say makes Words. Format follows package fmt.
func Say(format string, args ...any) Words { return Words{Format: format, Args: args} }

// String returns the sentence in English. Arguments that are Words themselves
// are written in English too.
func (w Words) String() string {
	if len(w.Args) == 0 {
		return w.Format
	}
	return fmt.Sprintf(w.Format, w.Args...)
}

// MarshalText writes the English sentence, for the calculator contract and logs.
func (w Words) MarshalText() ([]byte, error) { return []byte(w.String()), nil }
